package layout

import (
	"slices"

	"brushfall/internal/geom"
)

// evenOut spaces the stones that thinning has left of a run evenly again: those
// between the first and the last left, or round the whole loop. It leaves them
// where they are if that would bring any too near to another.
func (s *site) evenOut(r run, ids []int) {
	if len(ids) < 2 {
		return
	}
	part, n, moved := r.part, len(ids), ids
	if !r.closed {
		from, to := r.placeOf(s.pieces[ids[0]].at), r.endPlace(s, ids)
		part = r.part.cut(from, to)
		moved = ids[1:]
		if to < r.part.total() { // the last one left stays too
			n, moved = len(ids)-1, ids[1:len(ids)-1]
		}
	}
	if n < 2 || len(moved) == 0 || part.fit(s.pitch+slack) < n {
		return
	}
	places := part.chords(n, s.pitch+slack)
	if !r.closed {
		places = places[1:]
	}
	if len(places) == len(moved) {
		s.moveAll(moved, places, part)
	}
}

// endPlace gives the place on the run's part up to which its stones are to be
// spaced: its end where the next run begins with a stone there, else the last
// stone left.
func (r run) endPlace(s *site, ids []int) float64 {
	end := r.part.points[len(r.part.points)-1]
	if s.standsAt(round(end)) {
		return r.part.total()
	}
	return r.placeOf(s.pieces[ids[len(ids)-1]].at)
}

// placeOf gives the place on the part of a stone that was set along it.
func (r run) placeOf(at geom.Point) float64 {
	place, _ := r.part.nearest(at)
	return place
}

// moveAll moves stones to places of a track if none of them comes too near to
// another stone.
func (s *site) moveAll(ids []int, places []float64, t track) {
	was := make([]geom.Point, len(ids))
	for i, id := range ids {
		was[i] = s.pieces[id].at
		s.move(id, round(t.at(places[i])))
	}
	if !slices.ContainsFunc(ids, func(id int) bool {
		at := s.pieces[id].at
		return !s.clearOfOwn(at, id) || !s.clearOfOthers(at)
	}) {
		return
	}
	for i, id := range ids {
		s.move(id, was[i])
	}
}
