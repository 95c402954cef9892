package layout

import "brushfall/internal/geom"

// besideOthers adds to a list of points the places that touch two stones that are
// not the region's own, or one and the border of the allowed set.
func (s *site) besideOthers(border *border, points []geom.Point) []geom.Point {
	add := func(p geom.Point) { points = append(points, p) }
	for i, o := range s.others {
		s.near.Each(o.at, o.reach+s.reach, func(j int, q geom.Point) bool {
			if j > i {
				meet(o.at, o.reach, q, s.others[j].reach, add)
			}
			return true
		})
		border.cross(o.at, o.reach, add)
	}
	return points
}
