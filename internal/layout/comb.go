package layout

import (
	"cmp"
	"context"
	"math"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"brushfall/internal/geom"
)

// How a honeycomb is fitted.
const (
	combAngles   = 12   // turns tried over the 60° after which a honeycomb repeats
	combShifts   = 4    // shifts tried across the rows; along them, every edge of an interval
	combAlong    = 8    // shifts tried along the rows
	seamCount    = 0.86 // stones this near to a row, in pitches, count when lattices are compared
	seamCoarse   = 0.02 // how exactly the room for lattices is drawn, in pitches: they are only compared
	seamTake     = 0.74 // and this near when one is laid, to be pushed apart
	finalLattice = 6    // lattices laid out in full at effort final
	finalStones  = 3000 // but no more than this many stones in all, where one lattice holds fewer
	finalTries   = 2000 // attempts to set one more stone, for each
	finalShakes  = 300
	liveTries    = 60   // in the whole design, shared among its areas
	liveLeast    = 2    // but no fewer for each
	finalGrown   = 2000 // a bed is grown from the rows too where a lattice holds fewer stones
	liveGrown    = 400
	// A quick look at a larger bed makes do without: one stone more or less is not seen
	// among that many, and finding the voids takes a fifth of the time.
	liveLarge = 2000
	// In a small one every stone counts, and to try for it patiently takes no time: a
	// disc of 37 stones was set with 33 in haste.
	liveSmall = 200
	// symmetricBeds is how many beds are finished in search of one that keeps the
	// region's symmetry.
	symmetricBeds = 3
	// Of two beds with as many stones that is the better one with fewer holes wider
	// than wideHole pitches, the radius of the circle through three stones; the holes
	// that cost as much as a stone are one through holeCost.
	wideHole = 0.75
	holeCost = 0.1
	// A bed that keeps the symmetry of its region and holds less than tornBed of the
	// stones of a honeycomb is not one any more. Of a square of 190 mm in SS6 it was
	// 0.67, of stars and flowers with five points it is above 0.9.
	tornBed = 0.88
)

// layComb fills what the rows leave: with the honeycomb that holds the most, its
// stones at the seam pushed apart and what is left filled, or with stones set one
// beside the other from the rows inwards, which fits a narrow region better. Where
// the symmetry of the region, such as a square's, tears every honeycomb apart, the
// bed keeps as much of it as a honeycomb can.
func (s *site) layComb(ctx context.Context, effort Effort) error {
	if s.outline == nil || s.allowed.Empty() {
		return nil
	}
	forks, err := s.beds(ctx, effort)
	if err != nil {
		return err
	}
	var bed *site
	lesser := s.group.honeycombs()
	if lesser == nil || effort == Final {
		if bed, err = s.finishedBed(ctx, forks, effort); err != nil {
			return err
		}
	}
	if lesser != nil {
		begun := forks[0] // enough for a quick look to tell whether it is torn
		if bed != nil {
			begun = bed
		}
		whole := s.group
		s.useGroup(lesser)
		torn := s.tears(begun)
		if torn {
			if forks, err = s.beds(ctx, effort); err != nil {
				return err
			}
		}
		if torn || bed == nil {
			if bed, err = s.finishedBed(ctx, forks, effort); err != nil {
				return err
			}
		}
		s.group = whole // the rows keep all of it
	}
	s.pieces, s.index, s.orbits = bed.pieces, bed.index, bed.orbits
	return nil
}

// tears says whether a bed that is begun from the site holds far fewer stones than a
// honeycomb by the site's group.
func (s *site) tears(bed *site) bool {
	best := s.lattices()
	return len(best) > 0 && float64(bed.alive()-s.alive()) < tornBed*float64(best[0].count)
}

// useGroup lays the bed by a group of symmetries.
func (s *site) useGroup(y *symmetry) {
	s.group, s.orbits = nil, nil
	if !y.trivial() {
		s.group, s.orbits = y, newOrbits(y)
	}
}

// finishedBed finishes the best of some beds.
func (s *site) finishedBed(ctx context.Context, forks []*site, effort Effort) (*site, error) {
	if len(forks) > 1 {
		byWorth(forks)
	}
	shakes, rounds := finalShakes/s.orbits.size(), finalEase
	if effort == Live {
		shakes, rounds = 0, max(1, min(liveEase, liveMoves/max(1, forks[0].alive())))
	}
	for _, f := range forks[:min(symmetricBeds, len(forks))] {
		kept, err := f.finishComb(ctx, shakes, rounds)
		if err != nil {
			return nil, err
		}
		if kept {
			return f, nil
		}
	}
	return forks[0], nil
}

// beds lays the most promising beds, each in a copy of the site.
func (s *site) beds(ctx context.Context, effort Effort) ([]*site, error) {
	best := s.lattices()
	// The larger a bed, the less one lattice differs from another.
	keep, tries, grown, how := 1, max(liveLeast, liveTries/max(1, s.areas)), liveGrown, hasty()
	if len(best) > 0 && best[0].count > liveLarge {
		tries = 0
	}
	if len(best) > 0 && best[0].count < liveSmall {
		how = gentle()
	}
	if effort == Final {
		grown, how = finalGrown, gentle()
	}
	if len(best) > 0 && effort == Final {
		keep, tries = max(1, min(finalLattice, finalStones/(1+best[0].count))), finalTries/s.orbits.size()
	}
	best = best[:min(keep, len(best))]
	forks := make([]*site, len(best), len(best)+1)
	if len(best) == 0 || best[0].count < grown {
		forks = append(forks, nil)
	}
	var work errgroup.Group
	work.SetLimit(runtime.GOMAXPROCS(0))
	for i := range forks {
		work.Go(func() error {
			forks[i] = s.fork()
			if i < len(best) {
				forks[i].setLattice(best[i])
			}
			if err := forks[i].saturate(ctx); err != nil {
				return err
			}
			return forks[i].improve(ctx, tries, how)
		})
	}
	return forks, work.Wait()
}

// finishComb makes a bed fuller and more even. It says whether it keeps the
// symmetry of the region, if there is one to keep.
func (s *site) finishComb(ctx context.Context, shakes, rounds int) (kept bool, err error) {
	if err := s.shakeFuller(ctx, shakes); err != nil {
		return false, err
	}
	if err := s.saturate(ctx); err != nil {
		return false, err
	}
	if err := s.spread(ctx, rounds); err != nil {
		return false, err
	}
	return s.fillMirrors(ctx)
}

// byWorth sorts beds, the best first.
func byWorth(beds []*site) {
	worth := make(map[*site]float64, len(beds))
	for _, b := range beds {
		worth[b] = b.worth()
	}
	slices.SortStableFunc(beds, func(a, b *site) int { return cmp.Compare(worth[b], worth[a]) })
}

// worth is what beds are compared by: the stones, and that few holes are large.
func (s *site) worth() float64 {
	points := s.centres()
	n := float64(len(points))
	tri := geom.Delaunay(points)
	for i := range tri.Triangles {
		if c, radius := tri.Circumcentre(i); radius > wideHole*s.pitch && s.outline.Inside(c) {
			n -= holeCost
		}
	}
	return n
}

// setLattice sets the points of a honeycomb and pushes the seam apart.
func (s *site) setLattice(l lattice) {
	start := len(s.pieces)
	back, to := geom.Rotate(-l.angle), geom.Rotate(l.angle)
	o := back.Apply(l.origin)
	h := l.pitch * math.Sqrt(3) / 2
	for _, r := range crossings(s.allowed.Transform(back), o.Y, h) {
		x0 := o.X
		if r.k&1 != 0 {
			x0 += l.pitch / 2
		}
		for i := 0; i+1 < len(r.xs); i += 2 {
			for k := math.Ceil((r.xs[i] - x0) / l.pitch); x0+k*l.pitch <= r.xs[i+1]; k++ {
				at := round(to.Apply(geom.Point{X: x0 + k*l.pitch, Y: o.Y + float64(r.k)*h}))
				s.putPoint(at, start)
			}
		}
	}
	s.mendSeam(start)
}

// putPoint sets a point of a lattice where it has room. In a region with symmetry
// the points of one sector are set, with their images.
func (s *site) putPoint(at geom.Point, start int) {
	if s.orbits != nil {
		if !s.orbits.group.first(at) {
			return
		}
		at = round(s.orbits.group.settled(at, 0.5*s.pitch))
	}
	if s.roomFor(at, start) && s.clearOfOwnFrom(at, start) {
		s.putAll(at)
	}
}

// clearOfOwnFrom says whether no lattice point set so far stands at a place: two
// may have come to one place on a mirror.
func (s *site) clearOfOwnFrom(at geom.Point, start int) bool {
	return s.orbits == nil || s.clearBy(at, 0.5*s.pitch, -1)
}

// roomFor says whether a lattice point is far enough from the stones before
// start to be pushed clear of them.
func (s *site) roomFor(at geom.Point, start int) bool {
	ok := s.inside(at)
	near := seamTake * s.pitch
	if ok && s.near != nil {
		s.near.Each(at, s.reach, func(id int, q geom.Point) bool {
			ok = at.Dist(q) >= seamTake*s.others[id].reach
			return ok
		})
	}
	if ok {
		s.index.Each(at, near, func(id int, _ geom.Point) bool {
			ok = id >= start
			return ok
		})
	}
	return ok
}
