package layout

import (
	"context"
	"math"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// task is all that the layout of one region depends on, in the region's frame.
type task struct {
	frame
	effort Effort
	areas  int         // how many regions of the design are areas
	before []neighbour // earlier regions whose stones can reach this one
	others []foreign   // what stands in the way and is not the region's own
	own    []*fixed    // what was set by hand in it
	made   *made       // what was made of its outline before; nil: nothing
}

// outcome is what one region became, in its frame.
type outcome struct {
	stones []design.Stone
	did    []design.Treatment
}

// taskOf gathers what region i depends on, when the given earlier ones are laid. The
// stones of those stand where they do in the design.
func (req Request) taskOf(i int, earlier []int, laid []outcome) task {
	home := req.frames[i]
	t := task{frame: home, effort: req.Effort, areas: req.areas}
	for _, j := range earlier {
		t.before = append(t.before, neighbour{req.frames[j], geom.Snap(req.frames[j].at.Sub(home.at))})
		t.others = append(t.others, reachable(req.Regions[i], req.Regions[j], laid[j].stones)...)
	}
	t.others = append(t.others, req.heldByOthers(i, earlier)...)
	for k, o := range t.others {
		t.others[k].at = round(o.at.Sub(home.at))
	}
	for _, f := range req.own(i) {
		local := *f
		local.asked, local.stands = round(f.asked.Sub(home.at)), round(f.stands.Sub(home.at))
		t.own = append(t.own, &local)
	}
	return t
}

// brought gives an outcome of region i with its stones where they stand in the design,
// and notes where what was set by hand stands.
func (req Request) brought(i int, t task, o outcome) outcome {
	out := outcome{did: o.did, stones: slices.Clone(o.stones)}
	for k, s := range out.stones {
		at := round(geom.Point{X: s.X, Y: s.Y}.Add(t.at))
		out.stones[k].X, out.stones[k].Y = at.X, at.Y
	}
	for k, f := range req.own(i) {
		f.stands = round(t.own[k].stands.Add(t.at))
	}
	return out
}

// lay sets the region's stones and says what was done with it. What was set by hand
// in it then stands where it is to stand.
func (t task) lay(ctx context.Context) (*site, []design.Treatment, error) {
	var did []design.Treatment
	lay := func(around []*fixed) (s *site, err error) {
		s = newSite(t.Region, append(slices.Clip(t.others), heldIn(t.Region, around)...), t.made)
		s.hand = s.others[len(t.others):]
		s.areas = t.areas
		s.yield(t)
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		did, err = s.lay(ctx, t.effort)
		return s, err
	}
	s, err := lay(nil)
	if err == nil && len(t.own) > 0 {
		s, err = s.setByHand(ctx, t.own, lay)
	}
	if err == nil && slices.Contains(did, design.Bed) {
		err = s.fillGaps(ctx)
	}
	return s, did, err
}

// outcome gives the stones of the region in their colours.
func (t task) outcome(s *site, did []design.Treatment) outcome {
	return outcome{stones: append(s.finished(), stonesByHand(t.Region, t.own)...), did: did}
}

// keepFrom gives how far the path of a region's rows keeps from where an earlier
// one's stones reach up to.
func (r Region) keepFrom(e Region) float64 {
	return r.Diameter/2 + math.Max(r.Gap, e.Gap) - depthEase
}

// mayYield says whether the boxes of the region and an earlier one leave it open
// that the path of the one's rows gives way to the other.
func (t task) mayYield(e neighbour) bool {
	return !t.Shape.Empty() && e.box().Grow(t.keepFrom(e.Region)+e.Diameter/2).Overlaps(t.bounds())
}

// places gives the digest of all that the places of the region's stones depend on.
func (t task) places() digest {
	d := newDigester()
	d.count(int(t.effort))
	if t.effort == Live {
		d.count(t.areas)
	}
	d.places(t.Region)
	d.digest(t.drawn)
	for _, e := range t.before {
		if d.yes(t.mayYield(e)); t.mayYield(e) {
			d.lengths(t.keepFrom(e.Region), e.Diameter)
			d.digest(e.drawn)
			d.point(e.by)
		}
	}
	d.count(len(t.others))
	for _, o := range t.others {
		d.point(o.at)
		d.lengths(o.reach)
	}
	d.count(len(t.own))
	for _, f := range t.own {
		d.point(f.asked)
		d.point(f.stands)
		d.text(f.size)
		d.lengths(f.diameter, f.gap)
		d.yes(f.free)
	}
	return d.sum()
}

// colours gives the digest of all that their colours depend on, beside the places.
func (t task) colours() digest {
	d := newDigester()
	d.colours(t.Region)
	for _, f := range t.own {
		d.text(f.colour)
	}
	return d.sum()
}
