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
	liveTries    = 60
	finalGrown   = 2000 // a bed is grown from the rows too where a lattice holds fewer stones
	liveGrown    = 400
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

// lattice is a honeycomb: rows along the direction of angle, a pitch between
// stones, the origin on one of them.
type lattice struct {
	angle  float64
	origin geom.Point
	pitch  float64
	count  int
}

// layComb fills what the rows leave: with the honeycomb that holds the most, its
// stones at the seam pushed apart and what is left filled, or with stones set one
// beside the other from the rows inwards, which fits a narrow region better. Where
// the symmetry of the region, such as a square's, tears every honeycomb apart, the
// bed keeps as much of it as a honeycomb can.
func (s *site) layComb(ctx context.Context, effort Effort) error {
	if s.outline == nil || s.allowed.Empty() {
		return nil
	}
	bed, err := s.combBed(ctx, effort)
	if err != nil {
		return err
	}
	if lesser := s.group.honeycombs(); lesser != nil {
		whole := s.group
		s.useGroup(lesser)
		if best := s.lattices(); len(best) > 0 && float64(bed.alive()-s.alive()) < tornBed*float64(best[0].count) {
			if bed, err = s.combBed(ctx, effort); err != nil {
				return err
			}
		}
		s.group = whole // the rows keep all of it
	}
	s.pieces, s.index, s.orbits = bed.pieces, bed.index, bed.orbits
	return nil
}

// useGroup lays the bed by a group of symmetries.
func (s *site) useGroup(y *symmetry) {
	s.group, s.orbits = nil, nil
	if !y.trivial() {
		s.group, s.orbits = y, newOrbits(y)
	}
}

// combBed gives a copy of the site with the best bed in it.
func (s *site) combBed(ctx context.Context, effort Effort) (*site, error) {
	forks, err := s.beds(ctx, effort)
	if err != nil {
		return nil, err
	}
	if len(forks) > 1 {
		byWorth(forks)
	}
	shakes, rounds := finalShakes/s.orbits.size(), finalEase
	if effort == Live {
		shakes, rounds = 0, liveEase
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
	keep, tries, grown, how := 1, liveTries, liveGrown, hasty()
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

// lattices compares honeycombs by how many of their points lie clear of the
// rows, best first, the first tried among equals.
func (s *site) lattices() []lattice {
	core := s.path
	if len(s.pieces) > 0 {
		core = s.made.inset(coarse(s.path, seamCoarse*s.pitch), seamCount*s.pitch, 10*insetTol)
	}
	if core.Empty() {
		core = s.allowed
	}
	// Turns and shifts start from the region's own side and middle, so that its
	// place and turn on the page change nothing.
	first, middle := mainDirection(s.path, s.pitch), centroid(s.path)
	if s.group != nil {
		middle = s.group.centre
		if axes := s.group.axes; len(axes) > 0 {
			first = axes[0]
		}
	}
	var all []lattice
	for i := range combAngles {
		all = append(all, s.latticesAt(core, first+math.Pi/3*float64(i)/combAngles, middle)...)
	}
	if s.group != nil {
		all = s.group.kept(all)
	}
	slices.SortStableFunc(all, func(a, b lattice) int { return cmp.Compare(b.count, a.count) })
	return varied(all)
}

// coarse gives a shape with fewer points, none farther off than tol.
func coarse(s geom.Shape, tol float64) geom.Shape {
	rings := make([]geom.Ring, len(s.Rings))
	for i, r := range s.Rings {
		rings[i] = geom.SimplifyRing(r, tol)
	}
	return geom.Fill(rings, geom.EvenOdd)
}

// varied puts the best lattice of each angle before the second of any: much the
// same lattices lead to much the same beds.
func varied(all []lattice) []lattice {
	rank := map[float64]int{}
	turn := make(map[lattice]int, len(all))
	for _, l := range all {
		turn[l] = rank[l.angle]
		rank[l.angle]++
	}
	slices.SortStableFunc(all, func(a, b lattice) int { return cmp.Compare(turn[a], turn[b]) })
	return all
}

// latticesAt counts the honeycombs of one angle, the best shift along the rows
// for each shift across from the middle.
func (s *site) latticesAt(core geom.Shape, angle float64, middle geom.Point) []lattice {
	p := s.pitch + slack
	h := p * math.Sqrt(3) / 2
	turned := core.Transform(geom.Rotate(-angle))
	o := geom.Rotate(-angle).Apply(middle)
	var out []lattice
	for shift := range combShifts {
		y0 := o.Y + h*float64(shift)/combShifts
		rows := crossings(turned, y0, h)
		best := lattice{count: -1}
		for along := range combAlong {
			x0 := o.X + p*float64(along)/combAlong
			n := 0
			for _, r := range rows {
				n += r.count(x0, p)
			}
			l := lattice{angle, geom.Rotate(angle).Apply(geom.Point{X: x0, Y: y0}), p, n}
			if s.group != nil { // which of them the symmetry keeps is seen later
				out = append(out, l)
			} else if n > best.count {
				best = l
			}
		}
		if s.group == nil {
			out = append(out, best)
		}
	}
	return out
}

// scanRow is a row of a lattice: its number and where it crosses the area's border.
type scanRow struct {
	k  int
	xs []float64
}

// count gives the number of lattice points of the row inside the area.
func (r scanRow) count(x0, pitch float64) int {
	if r.k&1 != 0 {
		x0 += pitch / 2
	}
	n := 0
	for i := 0; i+1 < len(r.xs); i += 2 {
		n += int(math.Floor((r.xs[i+1]-x0)/pitch)) - int(math.Ceil((r.xs[i]-x0)/pitch)) + 1
	}
	return n
}

// crossings cuts a shape by the lines y = y0 + k·h.
func crossings(shape geom.Shape, y0, h float64) []scanRow {
	box := shape.Bounds()
	first := int(math.Ceil((box.MinY - y0) / h))
	last := int(math.Floor((box.MaxY - y0) / h))
	if last < first {
		return nil
	}
	rows := make([]scanRow, last-first+1)
	for i := range rows {
		rows[i].k = first + i
	}
	for _, ring := range shape.Rings {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if a.Y > b.Y {
				a, b = b, a
			}
			// Half-open in y, so that a vertex on the line counts once.
			for k := int(math.Ceil((a.Y - y0) / h)); y0+float64(k)*h < b.Y; k++ {
				if k < first || k > last {
					continue
				}
				u := (y0 + float64(k)*h - a.Y) / (b.Y - a.Y)
				rows[k-first].xs = append(rows[k-first].xs, a.X+u*(b.X-a.X))
			}
		}
	}
	for i := range rows {
		slices.Sort(rows[i].xs)
	}
	return rows
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
