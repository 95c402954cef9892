package layout

import (
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// orbits keeps which stones are images of each other: of[id] is the number of a
// stone's orbit, members[n] its stones, one for each op of the group, so that a
// stone on a mirror stands there twice.
type orbits struct {
	group   *symmetry
	of      map[int]int
	members [][]int
}

func newOrbits(y *symmetry) *orbits { return &orbits{group: y, of: map[int]int{}} }

// size is how many stones are set at once: a stone and its images.
func (o *orbits) size() int {
	if o == nil {
		return 1
	}
	return len(o.group.ops)
}

// fork gives a copy that grows apart.
func (o *orbits) fork() *orbits {
	if o == nil {
		return nil
	}
	f := &orbits{group: o.group, of: make(map[int]int, len(o.of)), members: slices.Clip(o.members)}
	for id, n := range o.of {
		f.of[id] = n
	}
	return f
}

// mates gives the stones that go with one, itself among them.
func (s *site) mates(id int) []int {
	if s.orbits != nil {
		if n, ok := s.orbits.of[id]; ok {
			return distinct(s.orbits.members[n])
		}
	}
	return []int{id}
}

// distinct sorts ids and leaves out repeated ones.
func distinct(ids []int) []int {
	out := slices.Clone(ids)
	slices.Sort(out)
	return slices.Compact(out)
}

// putAll sets a bed stone and its images, and gives their numbers.
func (s *site) putAll(at geom.Point) []int {
	if s.orbits == nil {
		return []int{s.put(at, design.RoleBed)}
	}
	var members []int
	for _, m := range s.orbits.group.ops {
		q := s.image(m, at)
		k := slices.IndexFunc(members, func(id int) bool { return s.pieces[id].at.Dist(q) < sameStone })
		if k < 0 {
			members = append(members, s.put(q, design.RoleBed))
			continue
		}
		members = append(members, members[k])
	}
	s.orbits.members = append(s.orbits.members, members)
	for _, id := range members {
		s.orbits.of[id] = len(s.orbits.members) - 1
	}
	return distinct(members)
}

// image gives where the image of a stone stands: an outline may lie up to
// symmetryOff from its own image, and the stone follows it.
func (s *site) image(m geom.Affine, p geom.Point) geom.Point {
	q := m.Apply(p)
	if s.outline != nil && !s.inside(q) && s.outline.Depth(q) > s.depth-2*symmetryOff {
		q = s.holdInside(q)
	}
	return round(q)
}

// sameStone is the distance below which two images are one stone, in mm: the
// rounding of its place.
const sameStone = 4 * grid

// takeAll removes a stone and its images, and gives their numbers.
func (s *site) takeAll(id int) []int {
	mates := s.mates(id)
	for _, m := range mates {
		s.take(m)
		if s.orbits != nil {
			delete(s.orbits.of, m)
		}
	}
	return mates
}

// clearOfImages says whether a place is a pitch away from its images, or one
// with them.
func (s *site) clearOfImages(p geom.Point) bool {
	if s.orbits == nil {
		return true
	}
	for _, m := range s.orbits.group.ops[1:] {
		if d := s.image(m, p).Dist(p); d >= sameStone && d < s.pitch-gapEase {
			return false
		}
	}
	return true
}

// withImages makes a place one that can be set with its images: where it is, or
// on the mirror or centre that it is too near to. It says whether it can.
func (s *site) withImages(p geom.Point) (geom.Point, bool) {
	if s.orbits == nil {
		return p, true
	}
	if !s.clearOfImages(p) {
		p = round(s.orbits.group.settled(p, s.pitch-gapEase))
		if !s.clearOfImages(p) {
			return p, false
		}
	}
	for _, m := range s.orbits.group.ops {
		if !s.free(s.image(m, p)) {
			return p, false
		}
	}
	return p, true
}

// closed adds to a list of stones all of their images.
func (s *site) closed(ids []int) []int {
	if s.orbits == nil {
		return ids
	}
	var out []int
	for _, id := range ids {
		out = append(out, s.mates(id)...)
	}
	return distinct(out)
}

// findImages lists the orbits whose stones are all in the crowd.
func (c *crowd) findImages(mine map[int]int) {
	o := c.site.orbits
	if o == nil {
		return
	}
	seen := map[int]bool{}
	for _, id := range c.ids {
		n, ok := o.of[id]
		if !ok || seen[n] {
			continue
		}
		seen[n] = true
		var members []int
		for _, m := range o.members[n] {
			i, in := mine[m]
			if !in {
				members = nil
				break
			}
			members = append(members, i)
		}
		if members != nil {
			c.images = append(c.images, members)
		}
	}
}

// mirror puts the stones of every orbit back to images of each other: of the
// mean of where they are.
func (c *crowd) mirror() {
	if len(c.images) == 0 {
		return
	}
	ops := c.site.orbits.group.ops
	back := make([]geom.Affine, len(ops))
	for k, m := range ops {
		back[k], _ = m.Inverse() // a turn or a mirror always has one
	}
	for _, members := range c.images {
		var mean geom.Point
		for k, i := range members {
			mean = mean.Add(back[k].Apply(c.at[i]))
		}
		mean = mean.Mul(1 / float64(len(members)))
		for k, i := range members {
			c.at[i] = ops[k].Apply(mean)
			if c.walled[i] {
				c.at[i] = c.site.holdInside(c.at[i])
			}
		}
	}
}
