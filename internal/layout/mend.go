package layout

import (
	"cmp"
	"math"
	"slices"

	"brushfall/internal/geom"
)

// Rows are set run by run and thinned where they come too near to each other, and
// spines come last. What is left where two runs meet, or where a stone was taken,
// is a step that limps, or a corner without its stone. Mending goes through the
// rows once all of them stand.

// strand is what stands along one closed path of a rim, in order along it.
type strand struct {
	t     track
	ids   []int
	at    []float64 // the place of each along the path
	fixed []bool    // whether it holds a corner
}

// ringRow says which of the site's rows stands along which ring of its path.
type ringRow struct{ row, ring int }

// onPath is how far from a path, in mm, a stone may stand that belongs to it: images
// in a symmetry are moved by so much.
const onPath = 1.5 * imageIn

// mendRims evens out the rims where they limp.
func (s *site) mendRims() {
	if !slices.ContainsFunc(s.rims, func(r ringRow) bool { return s.limps(s.rows[r.row]) }) {
		return
	}
	var orbit map[int][]int
	if s.group != nil {
		orbit, _ = s.pairUp(s.group)
	}
	corners := s.pathCorners()
	for _, r := range s.rims {
		if !s.limps(s.rows[r.row]) {
			continue
		}
		t := newTrack(s.path.Rings[r.ring], true)
		st := s.strandOf(t, s.rows[r.row], s.stopsByHand(t, t.pins(s.pitch, s.depth, s.group != nil)))
		for _, p := range s.partsOf(st) {
			if !s.stale(t, p) && !s.besideHand(p) {
				s.mendPart(mending{t, p, corners, orbit})
			}
		}
		s.rows[r.row] = slices.DeleteFunc(st.ids, func(id int) bool { return s.pieces[id].role == "" })
	}
}

// pathCorners gives the corners of all rings of the path.
func (s *site) pathCorners() []geom.Point {
	var out []geom.Point
	for _, ring := range s.path.Rings {
		t := newTrack(ring, true)
		for _, c := range t.hardCorners(s.pitch, halfArc*s.depth) {
			out = append(out, t.at(c.s))
		}
	}
	return out
}

// stale says whether stones of a part stand elsewhere by now, or are gone: images of
// those of a part before it.
func (s *site) stale(t track, p part) bool {
	for i, id := range p.ids {
		if s.pieces[id].role == "" || s.pieces[id].at.Dist(t.loopAt(p.at[i])) > onPath {
			return true
		}
	}
	return false
}

// besideHand says whether a stone set by hand stands next to a part: that is to keep
// its place, and the rest of the row as it was.
func (s *site) besideHand(p part) bool {
	for _, o := range s.hand {
		for _, id := range p.ids {
			if s.pieces[id].at.Dist(o.at) < mouth*s.pitch {
				return true
			}
		}
	}
	return false
}

// mending is a part of a strand that is to be set anew, with the corners of all
// paths and the images of all stones in the region's symmetry, if it has one.
type mending struct {
	track
	part
	corners []geom.Point
	orbit   map[int][]int
}

// limps says whether any step of a row around a path is neither like the others
// nor clearly an opening.
func (s *site) limps(ids []int) bool {
	for i, id := range ids {
		d := s.pieces[id].at.Dist(s.pieces[ids[(i+1)%len(ids)]].at) / s.pitch
		if d > looseStep && d < mouth && len(ids) > 1 {
			return true
		}
	}
	return false
}

// cornerHold is how near to a corner a stone holds it, in pitches; a little less than
// what is measured.
const cornerHold = 0.098

// losesCorner says whether a corner is held by one of the stones where they stood and
// by none where they are to stand.
func (s *site) losesCorner(corners []geom.Point, stood, to map[int]geom.Point) bool {
	held := func(c geom.Point, by map[int]geom.Point) bool {
		for _, at := range by {
			if at.Dist(c) <= cornerHold*s.pitch {
				return true
			}
		}
		return false
	}
	return slices.ContainsFunc(corners, func(c geom.Point) bool { return held(c, stood) && !held(c, to) })
}

// strandOf gives the stones of a row in order along its path.
func (s *site) strandOf(t track, row []int, pins []float64) strand {
	st := strand{t: t}
	type placed struct {
		id int
		at float64
	}
	var all []placed
	for _, id := range row {
		if s.pieces[id].role == "" {
			continue
		}
		if at, far := t.nearest(s.pieces[id].at); far <= onPath {
			all = append(all, placed{id, at})
		}
	}
	slices.SortStableFunc(all, func(a, b placed) int { return cmp.Compare(a.at, b.at) })
	for _, p := range all {
		st.ids, st.at = append(st.ids, p.id), append(st.at, p.at)
		st.fixed = append(st.fixed, slices.ContainsFunc(pins, func(pin float64) bool {
			return t.at(pin).Dist(s.pieces[p.id].at) <= cornerHold*s.pitch
		}))
	}
	return st
}

// part is a piece of a strand between two stones that stay or two openings, or
// a whole loop, which then begins and ends with the stone opposite its widest step.
type part struct {
	ids  []int
	at   []float64 // rising, past a whole turn where it runs over the path's first place
	free [2]bool   // whether an end may be drawn in
	loop bool
}

// partsOf cuts a strand.
func (s *site) partsOf(st strand) []part {
	n := len(st.ids)
	if n < leastLoop {
		return nil
	}
	step := func(k int) float64 {
		return s.pieces[st.ids[k%n]].at.Dist(s.pieces[st.ids[(k+1)%n]].at)
	}
	open := func(k int) bool { return step(k+n) >= mouth*s.pitch }
	var starts []int
	widest := 0
	for k := range n {
		if st.fixed[k] || open(k-1) {
			starts = append(starts, k)
		}
		if step(k) > step(widest) {
			widest = k
		}
	}
	if starts == nil {
		k := (widest + n/2) % n
		p := st.slice(k, n)
		p.loop = true
		return []part{p}
	}
	var out []part
	for _, k := range starts {
		count := 0
		for !open(k+count) && count < n {
			if count++; st.fixed[(k+count)%n] {
				break
			}
		}
		if count > 0 {
			p := st.slice(k, count)
			p.free = [2]bool{!st.fixed[k], !st.fixed[(k+count)%n]}
			out = append(out, p)
		}
	}
	return out
}

// slice gives the part of so many steps from the k-th stone on.
func (st strand) slice(k, steps int) part {
	var p part
	n := len(st.ids)
	for i := range steps + 1 {
		j := (k + i) % n
		at := st.at[j]
		if i > 0 && at <= p.at[i-1] {
			at += st.t.total()
		}
		p.ids, p.at = append(p.ids, st.ids[j]), append(p.at, at)
	}
	return p
}

// centresOf gives where stones stand.
func (s *site) centresOf(ids []int) []geom.Point {
	out := make([]geom.Point, len(ids))
	for i, id := range ids {
		out[i] = s.pieces[id].at
	}
	return out
}

// limpCost says how bad the steps of a row are, openings left out, and where its
// widest step is.
func (s *site) limpCost(at []geom.Point) (cost, ratio float64, widest int) {
	least, most := math.Inf(1), 0.0
	for i := range at[1:] {
		d := at[i].Dist(at[i+1]) / s.pitch
		if d >= mouth {
			continue
		}
		least = math.Min(least, d)
		if d > most {
			most, widest = d, i
		}
	}
	if most == 0 {
		return 0, 1, 0
	}
	return mouthUnlike*math.Max(0, most/least-mouthLike) + stepCost(most), most / least, widest
}

// mendPart sets a part that limps anew by the best plan that can be followed and is
// better than what stands; it says whether it did.
func (s *site) mendPart(m mending) bool {
	t, p := m.track, m.part
	at := s.centresOf(p.ids)
	now, ratio, widest := s.limpCost(at)
	if len(p.ids) < 3 || ratio <= mouthLike {
		return false
	}
	plans := s.evenPlans(t, p)
	plans = append(plans, s.pullPlans(p, widest)...)
	plans = append(plans, s.kinkPlans(t, p)...)
	if !p.loop {
		plans = append(plans, s.splitPlans(t, p, widest)...)
	}
	type choice struct {
		mendPlan
		places []geom.Point
		real   float64
	}
	var choices []choice
	for _, plan := range plans {
		places, ok := s.stand(t, plan)
		if !ok || len(places) > plan.hi-plan.lo+1 {
			continue
		}
		row := slices.Concat(at[:plan.lo], places, at[plan.hi+1:])
		cost, _, _ := s.limpCost(row)
		if cost += plan.cost; cost < now-mendGain {
			choices = append(choices, choice{plan, places, cost})
		}
	}
	slices.SortStableFunc(choices, func(a, b choice) int { return cmp.Compare(a.real, b.real) })
	for _, c := range choices {
		if s.try(m, c.mendPlan, c.places) {
			return true
		}
	}
	return false
}

// room gives how many steps of a pitch a path holds between two places, with the
// last as a fraction.
func (s *site) room(t track, from, to float64) float64 {
	if to <= from {
		return 0
	}
	total := t.total()
	f := wrap(from, total)
	_, have := t.cut(f, f+to-from).walk(s.pitch+slack, false)
	return have + 1e-9
}
