package inspect

import (
	"fmt"
	"math"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// checkRoom finds places where a bed could hold one more stone. A bed that was
// asked to be sparse need not be full.
func (m *model) checkRoom() {
	for i := range m.regions {
		r := &m.regions[i]
		if !r.has(design.Bed) || r.sparse() {
			continue
		}
		for _, p := range m.rooms(i) {
			m.add(Finding{
				ID: Room, Region: r.ID, Stone: NoStone, X: p.X, Y: p.Y, Limit: reach(r.diameter, r.Gap, r.diameter, r.Gap),
				Message: fmt.Sprintf("one more %s fits here", r.Size),
			})
		}
	}
}

// rooms gives the places of a closed region where one more stone of its size
// could be set: places far enough from the outline and from every stone of any
// region, from every place that was left free as from a stone there, and from
// each other, so that all could be set. Exact: where one more stone fits, one
// also fits at a place as near as allowed to two stones, to a stone and the
// outline, or in a corner of the border of the allowed centres, and all those
// places are tried.
func (m *model) rooms(region int) []geom.Point {
	r := &m.regions[region]
	if r.Open || r.diameter <= 0 || r.shape.Empty() {
		return nil
	}
	s := m.newSearch(region)
	s.tryPairs()
	s.tryBorder()
	slices.SortFunc(s.found, func(a, b geom.Point) int {
		if a.Y != b.Y {
			return sign(a.Y - b.Y)
		}
		return sign(a.X - b.X)
	})
	pitch := reach(r.diameter, r.Gap, r.diameter, r.Gap)
	taken := geom.NewIndex(geom.Bounds(s.found), pitch)
	var out []geom.Point
	for _, p := range s.found {
		if _, _, near := taken.Nearest(p, pitch-RoomTolerance, -1); !near {
			taken.Insert(len(out), p)
			out = append(out, p)
		}
	}
	return out
}

func sign(v float64) int {
	if v < 0 {
		return -1
	}
	return 1
}

// search looks for room in one region.
type search struct {
	m      *model
	r      *region
	depth  float64 // least distance of a centre from the outline
	widest float64 // largest least distance to any stone
	walls  *walls
	found  []geom.Point
}

func (m *model) newSearch(region int) *search {
	r := &m.regions[region]
	s := &search{m: m, r: r, depth: r.inset(r.diameter)}
	s.widest = reach(r.diameter, r.Gap, m.widest, m.farthest)
	s.walls = newWalls(r.shape, s.depth)
	return s
}

// keepOff gives the least distance of the new stone's centre from a stone's.
func (s *search) keepOff(i int) float64 {
	o := &s.m.held[i]
	return reach(s.r.diameter, s.r.Gap, o.diameter, o.gap)
}

// try keeps a place if a stone can be set there.
func (s *search) try(p geom.Point) {
	free := true
	s.m.heldNear.Each(p, s.widest, func(i int, at geom.Point) bool {
		least := s.keepOff(i) - RoomTolerance
		free = p.Dist2(at) >= least*least
		return free
	})
	if free && !s.r.outline.Within(p, s.depth-RoomTolerance) && s.r.outline.Inside(p) {
		s.found = append(s.found, p)
	}
}

// tryPairs tries the places as near as allowed to two stones, and to a stone
// and the border.
func (s *search) tryPairs() {
	box := s.r.shape.Bounds().Grow(s.widest)
	for i, a := range s.m.held {
		if !box.Overlaps(geom.Box{MinX: a.at.X, MinY: a.at.Y, MaxX: a.at.X, MaxY: a.at.Y}) {
			continue
		}
		ring := circle{a.at, s.keepOff(i)}
		s.m.heldNear.Each(a.at, ring.r+s.widest, func(j int, at geom.Point) bool {
			if j > i {
				for _, p := range ring.meetCircle(circle{at, s.keepOff(j)}) {
					s.try(p)
				}
			}
			return true
		})
		s.walls.near(a.at, ring.r, func(w wall) {
			for _, p := range w.meetCircle(ring) {
				s.try(p)
			}
		})
	}
}

// tryBorder tries the corners of the border of the allowed centres, and, for a
// piece of border that no stone is near, its start.
func (s *search) tryBorder() {
	for _, w := range s.walls.all {
		s.try(w.start())
		s.walls.overlapping(w, func(o wall) {
			for _, p := range w.meet(o) {
				s.try(p)
			}
		})
	}
}

// circle is a circle.
type circle struct {
	c geom.Point
	r float64
}

// touching is the slack, in mm, within which two curves that touch count as
// meeting; far below RoomTolerance.
const touching = 1e-9

// meetCircle gives the points that two circles share; one at a touch, none if
// they are the same.
func (a circle) meetCircle(b circle) []geom.Point {
	d := b.c.Sub(a.c)
	l := d.Len()
	if l == 0 || l > a.r+b.r+touching || l < math.Abs(a.r-b.r)-touching {
		return nil
	}
	along := (l*l + a.r*a.r - b.r*b.r) / (2 * l)
	across := math.Sqrt(math.Max(0, a.r*a.r-along*along))
	foot, side := a.c.Add(d.Mul(along/l)), d.Perp().Mul(across/l)
	if across == 0 {
		return []geom.Point{foot}
	}
	return []geom.Point{foot.Add(side), foot.Sub(side)}
}
