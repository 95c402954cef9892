package layout

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// How a bed makes way for a stone set by hand.
const (
	handRoom    = 3.5 // how far around the stone the bed moves, in pitches
	handVoids   = 2.5 // how far around it voids are filled again
	handRefills = 24  // how many
)

// own gives what was set by hand in a region.
func (req Request) own(region int) []*fixed {
	var out []*fixed
	for _, f := range req.fixed {
		if f.region == region {
			out = append(out, f)
		}
	}
	return out
}

// heldByOthers gives what was set by hand in other regions, as stones to keep
// clear of: where they stand in regions that are laid, else where they were asked for.
func (req Request) heldByOthers(region int, laid []int) []foreign {
	r := req.Regions[region]
	diameter, gap := r.widest()
	box := r.bounds().Grow(diameter / 2)
	var out []foreign
	for _, f := range req.fixed {
		if f.region == region {
			continue
		}
		at, reach := f.asked, f.reach(r.Diameter, r.Gap)
		if slices.Contains(laid, f.region) {
			at = f.stands
		}
		if box.Grow(f.reach(diameter, gap)).Overlaps(geom.Bounds([]geom.Point{at})) {
			out = append(out, foreign{at, reach})
		}
	}
	return out
}

// heldIn gives what was set by hand in a region as stones to keep clear of.
func heldIn(r Region, own []*fixed) []foreign {
	var out []foreign
	for _, f := range own {
		out = append(out, foreign{f.asked, f.reach(r.Diameter, r.Gap)})
	}
	return out
}

// stonesByHand gives the stones that were set by hand in a region.
func stonesByHand(r Region, own []*fixed) []design.Stone {
	var out []design.Stone
	for _, f := range own {
		if !f.free {
			out = append(out, design.Stone{X: f.stands.X, Y: f.stands.Y, Size: f.size, Colour: f.colour, Region: r.ID, Role: design.RoleHand})
		}
	}
	return out
}

// setByHand brings what was set by hand into a region that has been laid without
// it. A stone that stands there already is the one asked for. Where a row is in
// the way, again lays the region around the stones that rows can meet; of a bed
// only the stones around make way.
func (s *site) setByHand(ctx context.Context, own []*fixed, again func(around []*fixed) (*site, error)) (*site, error) {
	p := newPlacing(s.Region)
	rows := func(f *fixed) bool { return p.meetsRows(f) }
	if slices.ContainsFunc(own, func(f *fixed) bool { return !s.adopt(f, own) && rows(f) }) {
		var around []*fixed
		for _, f := range own {
			if f.stands = f.asked; rows(f) {
				around = append(around, f)
			}
		}
		var err error
		if s, err = again(around); err != nil {
			return nil, err
		}
		own = slices.DeleteFunc(slices.Clone(own), rows)
	}
	moved := false
	for _, f := range own {
		if !s.adopt(f, own) {
			s.makeWay(f)
			moved = true
		}
	}
	if !moved || s.Sparse() > 0 || !p.may(design.Bed) {
		return s, nil
	}
	if err := s.refill(ctx, own); err != nil {
		return nil, err
	}
	return s, s.saturate(ctx)
}

// refill squeezes stones into the voids that are left around what was set by hand,
// as far as they go.
func (s *site) refill(ctx context.Context, own []*fixed) error {
	rnd := rand.New(rand.NewPCG(shakeSeed, uint64(len(own))))
	near := func(v void) bool {
		return slices.ContainsFunc(own, func(f *fixed) bool { return v.at.Dist(f.stands) < handVoids*s.pitch })
	}
	for range handRefills {
		if err := ctx.Err(); err != nil {
			return err
		}
		voids := slices.DeleteFunc(s.voids(), func(v void) bool { return !near(v) })
		tried := voids[:min(len(voids), shakeVoids*len(own))]
		if !slices.ContainsFunc(tried, func(v void) bool {
			return s.squeeze(v.at, gentle(), nil) || s.squeeze(v.at, shaken(0), rnd)
		}) {
			return nil
		}
	}
	return nil
}

// adopt takes a stone of the region's own kind that stands where one was asked for
// to be that one.
func (s *site) adopt(f *fixed, own []*fixed) bool {
	id, _, ok := s.index.Nearest(f.asked, handSame*s.pitch, -1)
	if !ok || f.free || f.diameter != s.Diameter || f.gap != s.Gap {
		return false
	}
	at := s.pieces[id].at
	for _, o := range own {
		if o != f && at.Dist(o.stands) < o.reach(f.diameter, f.gap)-gapEase {
			return false
		}
	}
	s.pieces[id].role = design.RoleHand
	f.stands = at
	return true
}

// obstacle adds a stone to those that the region must keep clear of.
func (s *site) obstacle(o foreign) {
	if s.near == nil {
		s.near = geom.NewIndex(s.bounds().Grow(2*s.pitch), s.pitch)
	}
	s.near.Insert(len(s.others), o.at)
	s.others = append(slices.Clip(s.others), o)
	s.reach = math.Max(s.reach, o.reach)
}

// makeWay sets an obstacle into what is laid: as few stones as can be are taken
// away for it, the nearest first, and the bed around is pushed clear.
func (s *site) makeWay(f *fixed) {
	reach := f.reach(s.Diameter, s.Gap)
	s.obstacle(foreign{f.asked, reach})
	var hit, bed []int
	s.index.Each(f.asked, math.Max(reach, handRoom*s.pitch), func(id int, q geom.Point) bool {
		near := f.asked.Dist(q) < reach-gapEase
		switch {
		case s.pieces[id].role == design.RoleHand:
		case s.pieces[id].role != design.RoleBed && near:
			hit = append(hit, id)
		case near || s.pieces[id].role == design.RoleBed:
			bed = append(bed, id)
		}
		return true
	})
	for _, id := range hit { // rows do not move
		s.take(id)
	}
	slices.SortFunc(bed, func(a, b int) int {
		return cmp.Or(cmp.Compare(f.asked.Dist(s.pieces[a].at), f.asked.Dist(s.pieces[b].at)), cmp.Compare(a, b))
	})
	for len(bed) > 0 && f.asked.Dist(s.pieces[bed[0]].at) < reach-gapEase {
		s.take(bed[0])
		if bed = bed[1:]; s.pushClear(bed) {
			break
		}
	}
}

// pushClear pushes stones of the bed clear of everything; it leaves them as they
// were when that fails.
func (s *site) pushClear(ids []int) bool {
	ids = slices.Clone(ids)
	slices.Sort(ids)
	troubled := func(id int) bool { return s.trouble(id) > gapEase }
	if !slices.ContainsFunc(ids, troubled) {
		return true
	}
	was := make([]geom.Point, len(ids))
	for i, id := range ids {
		was[i] = s.pieces[id].at
	}
	c := s.gather(ids)
	c.settle(pushRounds, false)
	c.place()
	if !slices.ContainsFunc(ids, troubled) {
		return true
	}
	for i, id := range ids {
		s.move(id, was[i])
	}
	return false
}
