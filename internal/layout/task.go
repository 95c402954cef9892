package layout

import (
	"context"
	"math"
	"slices"

	"brushfall/internal/design"
)

// task is all that the layout of one region depends on.
type task struct {
	Region
	effort Effort
	before []Region  // earlier regions whose stones can reach this one
	drawn  []digest  // the outlines of those, and then of this one; nil where nothing is remembered
	others []foreign // what stands in the way and is not the region's own
	own    []*fixed  // what was set by hand in it
	made   *made     // what was made of its outline before; nil: nothing
}

// outcome is what one region became.
type outcome struct {
	stones []design.Stone
	did    []design.Treatment
}

// taskOf gathers what region i depends on, when the given earlier ones are laid.
func (req Request) taskOf(i int, earlier []int, laid []outcome) task {
	t := task{Region: req.Regions[i], effort: req.Effort, own: req.own(i)}
	for _, j := range earlier {
		e := req.Regions[j]
		t.before = append(t.before, e)
		t.others = append(t.others, reachable(t.Region, e, laid[j].stones)...)
		if req.drawn != nil {
			t.drawn = append(t.drawn, req.drawn[j])
		}
	}
	if req.drawn != nil {
		t.drawn = append(t.drawn, req.drawn[i])
	}
	t.others = append(t.others, req.heldByOthers(i, earlier)...)
	return t
}

// lay sets the region's stones and says what was done with it. What was set by hand
// in it then stands where it is to stand.
func (t task) lay(ctx context.Context) (*site, []design.Treatment, error) {
	var did []design.Treatment
	lay := func(around []*fixed) (s *site, err error) {
		s = newSite(t.Region, append(slices.Clip(t.others), heldIn(t.Region, around)...), t.made)
		s.hand = s.others[len(t.others):]
		s.yield(t.before)
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

// mayYield says whether the boxes of a region and an earlier one leave it open
// that the path of the one's rows gives way to the other.
func (r Region) mayYield(e Region) bool {
	return !r.Shape.Empty() && e.bounds().Grow(r.keepFrom(e)+e.Diameter/2).Overlaps(r.bounds())
}

// places gives the digest of all that the places of the region's stones depend on.
func (t task) places() digest {
	d := newDigester()
	d.count(int(t.effort))
	d.places(t.Region)
	d.digest(t.drawn[len(t.before)])
	for i, e := range t.before {
		if d.yes(t.mayYield(e)); t.mayYield(e) {
			d.lengths(t.keepFrom(e), e.Diameter)
			d.digest(t.drawn[i])
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
