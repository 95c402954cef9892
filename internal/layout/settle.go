package layout

import (
	"maps"
	"math"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Rows are set one after the other, each as even as it can be between what stands
// already. What is left where they meet is a corner without its stone, or a step that
// limps, that no row alone can mend. Settling lets the stones around such a place
// move together: each to the middle between its neighbours in the row, none nearer than
// the pitch to another, those of a rim along its path, those of a corner in its reach,
// and images alike; position-based dynamics (Müller et al., J. Vis. Commun. Image R. 18
// (2007) 109–118) finds where they can stand.

// settler is a site whose rows are being settled.
type settler struct {
	*site
	corners []geom.Point
	order   []int         // the stones of the rows in the order of the record
	ring    []int         // of the outline that a rim's stone is nearest to
	pin     []bool        // whether a stone holds a corner where it stands
	orbit   map[int][]int // the images of each stone
	tracks  []track       // of the rings of the path
	along   map[int]int   // which of them a rim's stone stands on
	links   map[int][]int // the neighbours of each stone in its rows
	triples [][3]int      // stones that follow each other
}

// newSettler prepares for settling.
func (s *site) newSettler() *settler {
	w := &settler{site: s, corners: s.pathCorners(), along: map[int]int{}}
	for _, ring := range s.path.Rings {
		w.tracks = append(w.tracks, newTrack(ring, true))
	}
	for _, r := range s.rims {
		for _, id := range s.rows[r.row] {
			w.along[id] = r.ring
		}
	}
	if s.group != nil {
		w.orbit, _ = s.pairUp(s.group)
	}
	w.ring = make([]int, len(s.pieces))
	for id, p := range s.pieces {
		if p.role == design.RoleRim {
			w.ring[id] = s.outline.Nearest(p.at).Ring
		}
	}
	w.survey()
	return w
}

// survey notes who follows whom, as the rows stand.
func (w *settler) survey() {
	w.order = w.rowOrder()
	w.pin = make([]bool, len(w.pieces))
	for id, p := range w.pieces {
		w.pin[id] = p.role != "" && w.holds(p.at)
	}
	w.links, w.triples = map[int][]int{}, nil
	known := map[[3]int]bool{}
	add := func(ids []int, loop bool) {
		n := len(ids)
		for i := 1; i < n; i++ {
			w.link(ids[i-1], ids[i])
		}
		for i := 1; i+1 < n; i++ {
			w.triple(known, [3]int{ids[i-1], ids[i], ids[i+1]})
		}
		if loop && n > 3 {
			w.triple(known, [3]int{ids[n-2], ids[0], ids[1]})
		}
	}
	for _, c := range w.chains(stance{}) {
		add(c.ids, c.loop)
	}
	for _, row := range w.rows {
		var part []int
		for _, id := range row {
			if w.pieces[id].role == "" {
				continue
			}
			if n := len(part); n > 0 && w.pieces[part[n-1]].at.Dist(w.pieces[id].at) >= runBreak*w.pitch {
				add(part, false)
				part = nil
			}
			part = append(part, id)
		}
		add(part, false)
	}
	w.bridge(known)
}

// jointReach is how near to the end of a spine's row, in pitches, a stone stands that
// the eye takes for the next.
const jointReach = 1.3

// bridge notes which rows of spines run on into each other at joints.
func (w *settler) bridge(known map[[3]int]bool) {
	for _, id := range w.order {
		if w.pieces[id].role != design.RoleSpine || len(w.links[id]) != 1 {
			continue
		}
		before := w.links[id][0]
		next, near := -1, jointReach*w.pitch
		w.index.Each(w.pieces[id].at, near, func(o int, q geom.Point) bool {
			d := w.pieces[id].at.Dist(q)
			if o != id && o != before && w.pieces[o].role == design.RoleSpine && d < near && q.Dist(w.pieces[before].at) > jointReach*w.pitch {
				next, near = o, d
			}
			return true
		})
		if next >= 0 {
			w.triple(known, [3]int{before, id, next})
		}
	}
}

// link notes two stones that follow each other.
func (w *settler) link(a, b int) {
	if !slices.Contains(w.links[a], b) {
		w.links[a], w.links[b] = append(w.links[a], b), append(w.links[b], a)
	}
}

// triple notes three.
func (w *settler) triple(known map[[3]int]bool, t [3]int) {
	if back := [3]int{t[2], t[1], t[0]}; !known[t] && !known[back] {
		known[t] = true
		w.triples = append(w.triples, t)
	}
}

// aim is what a stance is sought for: stones that are to hold a corner, stones that are
// to go, and steps that are to be openings. Where a stone is to come in, it also says
// where those beside it start from, which is not where they stand.
type aim struct {
	hold  map[int]geom.Point
	gone  map[int]bool
	open  [][2]int
	start map[int]geom.Point
}

// opens says whether a step is to be an opening.
func (a aim) opens(p, q int) bool {
	return slices.Contains(a.open, [2]int{p, q}) || slices.Contains(a.open, [2]int{q, p})
}

// How stones are let loose around a place, in pitches and stones.
const (
	looseReach = 2.6 // stones this near to it move
	looseAlong = 14  // and as many to either side along their rows
	looseMost  = 120 // and no more than these
)

// looseAround lists the stones that may move for a place, their images among them.
func (w *settler) looseAround(places []geom.Point) []int {
	picked := map[int]bool{}
	var out []int
	pick := func(id int) bool {
		if picked[id] || len(out) >= looseMost || w.pieces[id].role == "" || w.besideHand(part{ids: []int{id}}) {
			return false
		}
		picked[id] = true
		out = append(out, id)
		return true
	}
	for _, at := range places {
		w.index.Each(at, looseReach*w.pitch, func(id int, _ geom.Point) bool {
			pick(id)
			return true
		})
	}
	slices.Sort(out)
	edge := slices.Clone(out)
	for range looseAlong {
		var next []int
		for _, id := range edge {
			if w.pin[id] {
				continue
			}
			for _, o := range w.links[id] {
				if pick(o) {
					next = append(next, o)
				}
			}
		}
		edge = next
	}
	if w.group != nil {
		for _, id := range slices.Clone(out) {
			for _, m := range w.orbit[id] {
				if !picked[m] {
					picked[m] = true
					out = append(out, m)
				}
			}
		}
	}
	slices.Sort(out)
	return out
}

// apply moves stones to a stance.
func (w *settler) apply(v stance) {
	for _, id := range slices.Sorted(maps.Keys(v.to)) { // the index depends on the order
		w.move(id, v.to[id])
	}
	for _, id := range slices.Sorted(maps.Keys(v.gone)) {
		w.take(id)
	}
	for i, row := range w.rows {
		w.rows[i] = slices.DeleteFunc(slices.Clone(row), func(id int) bool { return v.gone[id] })
	}
	w.survey()
}

// overhang is by how much further than before, in pitches, a stone of a spine may stand
// over the outline.
const overhang = 0.03

// legal says whether all stones of a stance keep clear of each other and of all else,
// and lie as deep in the region as before, or as they must.
func (w *settler) legal(v stance) bool {
	for id, at := range v.to {
		deep := math.Min(w.depth, w.outline.Depth(w.pieces[id].at))
		if w.pieces[id].role == design.RoleSpine {
			deep -= overhang * w.pitch
		}
		ok := w.clearOfOthers(at) && w.outline.Depth(at) >= deep-depthEase
		w.index.Each(at, 2*w.pitch, func(o int, q geom.Point) bool {
			if _, moved := v.to[o]; o != id && !moved && !v.gone[o] {
				ok = ok && at.Dist(q) >= w.pitch
			}
			return ok
		})
		for o, q := range v.to {
			ok = ok && (o == id || at.Dist(q) >= w.pitch)
		}
		if !ok {
			return false
		}
	}
	return true
}

// effort gives the way that stones have to go to a stance, in pitches, and how many
// stones it costs.
func (w *settler) effort(v stance) (way float64, lost int) {
	for _, id := range slices.Sorted(maps.Keys(v.to)) { // a sum depends on the order
		way += v.to[id].Dist(w.pieces[id].at) / w.pitch
	}
	return way, len(v.gone)
}
