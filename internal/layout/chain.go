package layout

import (
	"math"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// What the eye follows as one row is more than what was set as one: rows whose ends
// come near each other run on. The inspection reads them off the order of the stones;
// so does what settles rows once all of them stand.

// chain is a stretch of stones that follow each other, each nearer to the next than an
// opening. A loop ends with the stone that it begins with.
type chain struct {
	role design.Role
	ring int
	ids  []int
	loop bool
}

// stance is a way that the stones of the rows could stand: some elsewhere, some gone.
// Its nil maps change nothing.
type stance struct {
	to   map[int]geom.Point
	gone map[int]bool
}

// where gives the place of a stone in a stance.
func (s *site) where(v stance, id int) geom.Point {
	if at, moved := v.to[id]; moved {
		return at
	}
	return s.pieces[id].at
}

// rowOrder lists the stones of rims and spines in the order of the record.
func (s *site) rowOrder() []int {
	return slices.DeleteFunc(s.recordOrder(), func(id int) bool {
		role := s.pieces[id].role
		return role != design.RoleRim && role != design.RoleSpine
	})
}

// chains reads the chains of a stance off the order of its stones.
func (w *settler) chains(v stance) []chain {
	var out []chain
	var last geom.Point
	for _, id := range w.order {
		if v.gone[id] {
			continue
		}
		role, ring, at := w.pieces[id].role, w.ring[id], w.where(v, id)
		k := len(out) - 1
		if k < 0 || out[k].role != role || out[k].ring != ring || last.Dist(at) >= runBreak*w.pitch {
			out = append(out, chain{role: role, ring: ring})
			k++
		}
		out[k].ids = append(out[k].ids, id)
		last = at
	}
	return w.close(out, v)
}

// runBreak is how far apart, in pitches, two stones are no neighbours in a row.
const runBreak = 1.6

// close joins the last chain of a ring to its first where they meet, and makes loops
// of the chains whose ends do.
func (w *settler) close(all []chain, v stance) []chain {
	near := func(a, b int) bool { return w.where(v, a).Dist(w.where(v, b)) < runBreak*w.pitch }
	last := func(c chain) int { return c.ids[len(c.ids)-1] }
	var out []chain
	for start := 0; start < len(all); {
		end := start + 1
		for end < len(all) && all[end].role == all[start].role && all[end].ring == all[start].ring {
			end++
		}
		group := all[start:end]
		if n := len(group) - 1; n > 0 && group[0].role == design.RoleRim && near(last(group[n]), group[0].ids[0]) {
			group[0].ids = append(group[n].ids, group[0].ids...)
			group = group[:n]
		}
		for _, c := range group {
			if c.loop = len(c.ids) > 2 && near(last(c), c.ids[0]); c.loop {
				c.ids = append(c.ids, c.ids[0])
			}
			out = append(out, c)
		}
		start = end
	}
	return out
}

// limp is a run of a chain: between two stones that hold a corner, or its ends.
type limp struct {
	ids   []int
	ratio float64 // largest ÷ smallest step
	most  float64 // largest step, in pitches
	wide  int     // its place
	mean  float64 // mean step, in pitches
}

// runsOf cuts a chain at the stones that hold a corner.
func (w *settler) runsOf(c chain, v stance) []limp {
	ids := c.ids
	if c.loop {
		for i, id := range ids[:len(ids)-1] {
			if w.pinned(id, v) {
				turned := append(append([]int(nil), ids[i:len(ids)-1]...), ids[:i]...)
				ids = append(turned, turned[0])
				break
			}
		}
	}
	var out []limp
	from := 0
	for i := 1; i < len(ids); i++ {
		if i == len(ids)-1 || w.pinned(ids[i], v) {
			out = append(out, w.limpOf(ids[from:i+1], v))
			from = i
		}
	}
	return out
}

// limpOf measures the steps of a run.
func (w *settler) limpOf(ids []int, v stance) limp {
	r := limp{ids: ids}
	least := math.Inf(1)
	for i := range ids[1:] {
		d := w.where(v, ids[i]).Dist(w.where(v, ids[i+1])) / w.pitch
		least = math.Min(least, d)
		if d > r.most {
			r.most, r.wide = d, i
		}
		r.mean += d / float64(len(ids)-1)
	}
	r.ratio = r.most / least
	return r
}

// pinned says whether a stone holds a corner in a stance.
func (w *settler) pinned(id int, v stance) bool {
	if at, moved := v.to[id]; moved {
		return w.holds(at)
	}
	return w.pin[id]
}

// holds says whether a stone at a place holds a corner.
func (w *settler) holds(at geom.Point) bool {
	for _, c := range w.corners {
		if at.Dist(c) <= cornerSeen*w.pitch {
			return true
		}
	}
	return false
}

// cornerSeen is how near to a corner, in pitches, a stone counts as its own.
const cornerSeen = 0.1

// verdict is what a stance is judged by.
type verdict struct {
	missed        int     // corners without a stone
	limping, lame int     // runs of three stones that limp beyond runFair, and beyond runBad
	opened        int     // steps that have become openings
	jolts         int     // stones whose steps to both sides are unlike, of one row or of rows that meet
	cost          float64 // of all steps
}

// How unlike the steps of a run may be, largest ÷ smallest: not seen; seen at a glance.
const (
	runFair = 1.05
	runBad  = 1.15
)

// worse says whether a stance is worse than another by what anyone sees.
func (a verdict) worse(b verdict) bool {
	return a.missed > b.missed || a.lame > b.lame || a.limping+a.opened > b.limping || a.jolts > b.jolts
}

// From how many stones on a run with wide steps is called loose, and what that costs.
const (
	looseRun  = 6
	looseCost = 0.7
)

// judge judges a stance.
func (w *settler) judge(v stance) verdict {
	var out verdict
	for _, c := range w.chains(v) {
		for _, r := range w.runsOf(c, v) {
			out.cost += mouthUnlike*math.Max(0, r.ratio-mouthLike) + stepCost(r.most)
			if len(r.ids) < 3 {
				continue
			}
			if len(r.ids) >= looseRun && r.mean > softLoose {
				out.cost += looseCost
			}
			if r.ratio > runFair {
				out.limping++
			}
			if r.ratio > runBad {
				out.lame++
			}
		}
	}
	out.opened, out.jolts = w.opened(v), w.jolts(v)
	for _, c := range w.corners {
		if !w.holdsCorner(c, v) {
			out.missed++
		}
	}
	return out
}

// opened counts the steps of rows that are openings in a stance and were none.
func (w *settler) opened(v stance) int {
	n := 0
	open := func(a, b int) bool { return w.where(v, a).Dist(w.where(v, b)) >= runBreak*w.pitch }
	for _, t := range w.triples {
		switch {
		case v.gone[t[0]] || v.gone[t[2]]:
		case v.gone[t[1]]:
			if open(t[0], t[2]) {
				n += 2
			}
		default:
			for _, o := range [2]int{t[0], t[2]} {
				if open(t[1], o) {
					n++
				}
			}
		}
	}
	return n
}

// jolt is how unlike the steps to both sides of a stone are, largest ÷ smallest, that
// holds no corner, for the eye to stop at it.
const jolt = 1.2

// jolts counts the stones that the eye stops at.
func (w *settler) jolts(v stance) int {
	n := 0
	for _, t := range w.triples {
		if v.gone[t[0]] || v.gone[t[1]] || v.gone[t[2]] || w.pinned(t[1], v) {
			continue
		}
		at := w.where(v, t[1])
		a, b := at.Dist(w.where(v, t[0])), at.Dist(w.where(v, t[2]))
		if math.Max(a, b) > jolt*math.Min(a, b) {
			n++
		}
	}
	return n
}

// holdsCorner says whether a stone of a stance holds a corner.
func (w *settler) holdsCorner(c geom.Point, v stance) bool {
	held := false
	for _, at := range v.to {
		held = held || at.Dist(c) <= cornerHold*w.pitch
	}
	w.index.Each(c, cornerHold*w.pitch, func(id int, _ geom.Point) bool {
		_, moved := v.to[id]
		held = held || !moved && !v.gone[id]
		return !held
	})
	return held
}
