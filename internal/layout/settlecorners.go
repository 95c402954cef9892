package layout

import (
	"cmp"
	"slices"

	"brushfall/internal/geom"
)

// What a stance costs besides the steps of its runs.
const (
	settleLost = 1.0  // a stone less
	settleOpen = 1.0  // a step that has become an opening, for either stone beside it
	settleWay  = 0.05 // a pitch that stones are moved by
	settleDear = 6.0  // what a corner is worth at most
	settleBest = 3    // so many of the nearest stones are tried for a corner
)

// settleRows moves the stones of rows together where corners have none, and where
// steps limp.
func (s *site) settleRows() {
	if len(s.rows) == 0 {
		return
	}
	w := s.newSettler()
	w.settleCorners()
	w.settleRuns()
	w.settleWide()
	w.settleCorners()
}

// settleCorners brings stones to the corners that have none, where all rows stay as
// even as they were.
func (w *settler) settleCorners() {
	for again := true; again; {
		again = false
		for _, c := range w.corners {
			if !w.holdsCorner(c, stance{}) && w.settleCorner(c) {
				again = true
			}
		}
	}
}

// settleCorner brings a stone to a corner; it says whether it could.
func (w *settler) settleCorner(c geom.Point) bool {
	near := w.stonesNear(c)
	now := w.judge(stance{})
	var best stance
	least := settleDear
	try := func(id int, gone ...int) {
		a, places, ok := w.aimAt(id, c, gone)
		if !ok {
			return
		}
		v, then, ok := w.tryAim(a, places, now)
		if !ok || then.missed >= now.missed {
			return
		}
		if cost := w.price(v, now, then); cost < least {
			best, least = v, cost
		}
	}
	movers := near[:min(len(near), settleBest)]
	for _, id := range movers {
		try(id)
	}
	if least == settleDear {
		for _, id := range movers {
			for _, o := range w.spare(id, near) {
				try(id, o)
			}
		}
	}
	if least == settleDear {
		return false
	}
	w.apply(best)
	return true
}

// tryAim seeks a stance for an aim, with the stones around some places loose, and judges
// it: openings that were asked for are none. It is not ok where there is none, or one
// that is worse than what stands.
func (w *settler) tryAim(a aim, places []geom.Point, now verdict) (v stance, then verdict, ok bool) {
	if v, ok = w.settle(w.looseAround(places), a); !ok {
		return v, then, false
	}
	then = w.judge(v)
	then.opened = max(0, then.opened-2*len(a.open))
	return v, then, !then.worse(now)
}

// stonesNear lists the stones that stand in the way of one at a corner, the nearest
// first, but for those that hold one themselves.
func (w *settler) stonesNear(c geom.Point) []int {
	var out []int
	w.index.Each(c, w.pitch, func(id int, _ geom.Point) bool {
		if !w.pin[id] {
			out = append(out, id)
		}
		return true
	})
	slices.SortFunc(out, func(a, b int) int {
		return cmp.Or(cmp.Compare(w.pieces[a].at.Dist(c), w.pieces[b].at.Dist(c)), cmp.Compare(a, b))
	})
	return out
}

// spare lists the stones that may go for another to have a corner: those beside it.
func (w *settler) spare(id int, near []int) []int {
	var out []int
	for _, o := range slices.Concat(near, w.links[id]) {
		if o != id && !w.pin[o] && !slices.Contains(out, o) {
			out = append(out, o)
		}
	}
	return out
}

// aimAt asks for a stone at a corner, and for its images at the images of it, and for
// some to go; false where images are in each other's way.
func (w *settler) aimAt(id int, c geom.Point, gone []int) (a aim, places []geom.Point, ok bool) {
	a = aim{hold: map[int]geom.Point{id: c}}
	places = []geom.Point{c}
	if a.gone, ok = w.allImages(gone); !ok || w.group == nil {
		return a, places, ok
	}
	mates := w.orbit[id]
	if len(mates) == 0 {
		return a, nil, false
	}
	for k, m := range mates {
		at := w.group.ops[k].Apply(c)
		if was, set := a.hold[m]; set && was.Dist(at) > imageOff {
			return a, nil, false
		}
		a.hold[m] = at
		places = append(places, at)
	}
	for m := range a.hold {
		if a.gone[m] {
			return a, nil, false
		}
	}
	return a, places, true
}
