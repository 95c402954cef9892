package layout

import (
	"maps"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// stand gives the centres of a plan's stones, false if it does not hold them.
func (s *site) stand(t track, plan mendPlan) ([]geom.Point, bool) {
	var out []geom.Point
	total := t.total()
	for i, r := range plan.stretches {
		if i > 0 && plan.joined {
			out = out[:len(out)-1]
		}
		from := wrap(r.from, total)
		if r.steps == 0 {
			out = append(out, round(t.loopAt(r.from)))
			continue
		}
		if r.to <= r.from {
			return nil, false
		}
		part := t.cut(from, from+r.to-r.from)
		if part.fit(s.pitch+slack) < r.steps {
			return nil, false
		}
		for _, v := range part.chords(r.steps, s.pitch+slack) {
			out = append(out, round(part.at(v)))
		}
		out = append(out, round(part.points[len(part.points)-1]))
	}
	return out, true
}

// try sets the stones of a part, and their images, as planned, unless that would
// break a rule; it says whether it did. Where there are fewer than before, those
// beside the opening go.
func (s *site) try(m mending, plan mendPlan, places []geom.Point) bool {
	ids := slices.Clone(plan.ids[plan.lo : plan.hi+1])
	head := len(places)
	if plan.loop && plan.lo == 0 && plan.hi == len(plan.ids)-1 {
		places, ids = places[:len(places)-1], ids[:len(ids)-1]
		head--
	}
	if len(plan.stretches) > 1 {
		head = plan.stretches[0].steps + 1
	}
	var gone []int
	for len(ids) > len(places) {
		k := min(head, len(ids)-1)
		gone = append(gone, ids[k])
		ids = slices.Delete(ids, k, k+1)
	}
	to, gone, ok := s.imagesOf(ids, places, gone, m.orbit)
	return ok && s.shiftAll(to, gone, m.corners)
}

// imageOff is how far, in mm, a stone of a row may be moved off the image of
// another to follow the outline: two of them differ by less than the 0.02 asked.
const imageOff = 0.009

// imagesOf gives where stones and their images go, and which are taken away with
// their images; false where two images of one stone would part.
func (s *site) imagesOf(ids []int, places []geom.Point, gone []int, orbit map[int][]int) (to map[int]geom.Point, all []int, ok bool) {
	to = map[int]geom.Point{}
	if s.group == nil {
		for i, id := range ids {
			to[id] = places[i]
		}
		return to, gone, true
	}
	for _, id := range gone {
		all = append(all, orbit[id]...)
	}
	for i, id := range ids {
		mates := orbit[id]
		if len(mates) == 0 {
			return nil, nil, false
		}
		for k, m := range s.group.ops {
			at := s.rowImage(m, places[i], s.pieces[id].role)
			if at.Dist(m.Apply(places[i])) > imageOff {
				return nil, nil, false
			}
			if was, set := to[mates[k]]; set && was.Dist(at) > imageOff || slices.Contains(all, mates[k]) {
				return nil, nil, false
			} else if !set {
				to[mates[k]] = at
			}
		}
	}
	return to, distinct(all), true
}

// shiftAll moves stones and takes others away, unless one would break a rule or a
// corner would lose its stone.
func (s *site) shiftAll(to map[int]geom.Point, gone []int, corners []geom.Point) bool {
	was := map[int]geom.Point{}
	for id := range to {
		was[id] = s.pieces[id].at
	}
	stood := maps.Clone(was)
	for _, id := range gone {
		stood[id] = s.pieces[id].at
	}
	if s.losesCorner(corners, stood, to) {
		return false
	}
	moved := slices.Sorted(maps.Keys(to)) // the index depends on the order
	for _, id := range moved {
		s.move(id, to[id])
	}
	roles := map[int]design.Role{}
	for _, id := range gone {
		roles[id] = s.pieces[id].role
		s.take(id)
	}
	clear := true
	for id, at := range to {
		clear = clear && s.clearOfOwn(at, id) && s.clearOfOthers(at)
	}
	if clear {
		return true
	}
	for _, id := range moved {
		s.move(id, was[id])
	}
	for _, id := range gone {
		s.pieces[id].role = roles[id]
		s.index.Insert(id, s.pieces[id].at)
	}
	return false
}
