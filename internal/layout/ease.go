package layout

import (
	"context"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// How the stones of a full bed are spread.
const (
	finalEase  = 60 // rounds at effort final
	liveEase   = 25
	liveMoves  = 20000 // but no more than this many moves in all
	easeReach  = 1.2   // stones nearer than this, in pitches, press on each other
	easeGain   = 0.3   // how far a stone yields to the press, as a share of the overlaps
	easeStill  = 0.002 // a round that moves no stone farther, in pitches, is the last
	easeLeast  = 0.001 // moves shorter than this, in pitches, are not made
	easeHalves = 3     // a move that would break a rule is tried at its half, and at the half of that
)

// spread moves the stones of a bed apart without letting one break a rule on the
// way, so that the room left lies evenly between them and not in a few holes along
// the seam. The stones are soft discs a little larger than the pitch that yield to
// the press of their neighbours: what is left when none moves is a state of least
// overlap, as of compressed soft discs (O'Hern et al., Phys. Rev. E 68 (2003)
// 011306). Where that opens room for a stone, it is set.
func (s *site) spread(ctx context.Context, rounds int) error {
	ids := s.bed()
	for range rounds {
		if err := ctx.Err(); err != nil {
			return err
		}
		most := 0.0
		for _, id := range ids {
			most = max(most, s.ease(id))
		}
		if most < easeStill*s.pitch {
			break
		}
	}
	return s.saturate(ctx)
}

// bed lists the living stones of the bed.
func (s *site) bed() []int {
	var out []int
	for id, p := range s.pieces {
		if p.role == design.RoleBed {
			out = append(out, id)
		}
	}
	return out
}

// ease moves a stone, and its images with it, to where its neighbours press it, and
// gives how far. A stone on a mirror, whose images are in one, stays.
func (s *site) ease(id int) float64 {
	images := []int{id}
	if s.orbits != nil {
		if n, ok := s.orbits.of[id]; ok {
			images = s.orbits.members[n]
		}
		if images[0] != id || len(images) > 1 && slices.Contains(images[1:], id) {
			return 0
		}
	}
	at := s.pieces[id].at
	for push, half := s.press(id), 0; half < easeHalves && push.Len() >= easeLeast*s.pitch; half++ {
		if s.shift(images, at.Add(push)) {
			return push.Len()
		}
		push = push.Mul(0.5)
	}
	return 0
}

// press gives how far and where to the neighbours of a stone press it.
func (s *site) press(id int) geom.Point {
	at, over := s.pieces[id].at, (easeReach-1)*s.pitch
	var sum geom.Point
	add := func(q geom.Point, keep float64) {
		d := at.Sub(q)
		if l := d.Len(); l > 0 && l < keep {
			sum = sum.Add(d.Mul((keep - l) / l))
		}
	}
	s.index.Each(at, s.pitch+over, func(_ int, q geom.Point) bool {
		add(q, s.pitch+over)
		return true
	})
	if s.near != nil {
		s.near.Each(at, s.reach+over, func(other int, q geom.Point) bool {
			add(q, s.others[other].reach+over)
			return true
		})
	}
	return sum.Mul(easeGain)
}

// shift moves a stone to a place and its images to the images of that, unless one
// would break a rule there; it says whether it did. images is in the order of the
// group's ops, or holds the stone alone.
func (s *site) shift(images []int, to geom.Point) bool {
	if !s.outline.Inside(to) {
		return false
	}
	to = round(s.holdInside(to))
	was := make([]geom.Point, len(images))
	for k, id := range images {
		was[k] = s.pieces[id].at
		if k == 0 {
			s.move(id, to)
		} else {
			s.move(id, s.image(s.orbits.group.ops[k], to))
		}
	}
	if !slices.ContainsFunc(images, func(id int) bool { return s.trouble(id) > 0 }) {
		return true
	}
	for k, id := range images {
		s.move(id, was[k])
	}
	return false
}
