package layout

import (
	"context"
	"math"
	"math/rand/v2"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// How a scatter is made.
const (
	// scatterShare is the share of the most stones that could be set (Oler's bound)
	// that a full scatter aims at. Below about 0.7 gaps for one more stone open up;
	// above about 0.85 equal discs fall into the rows of a honeycomb.
	scatterShare = 0.80
	// scatterPlaces is how many places are tried for each stone of a honeycomb;
	// Yuksel (below) finds five enough.
	scatterPlaces = 5
	// The places are first pushed apart a little further than they need, and only
	// for a while: it makes their gaps more even, and longer would order them.
	scatterWide      = 1.05
	scatterWideFor   = 24
	scatterRounds    = 200
	scatterRowKeep   = 0.75 // distance wished for from rows, in that from each other
	scatterRowPush   = 0.2  // share of what is missing of it that each push gives
	scatterStream    = 0x5ca77e2
	scatterNeighbour = 1.4 // watched distance, in distances aimed at
)

// scatterer sets one scatter.
type scatterer struct {
	*site
	from, to float64    // the densities at both ends
	towards  geom.Point // from end to end
	low, far float64    // the ends, along towards
	rows     []fixture  // the stones that are there already
	rowIndex *geom.Index
	rowReach float64
	places   []geom.Point // free ones, thrown at random
	mean     float64      // density over what is free
	area     float64      // of what is free, in mm²
}

// layScatter fills what the rows leave with stones that are evenly spread yet
// stand in no rows. Places are thrown at random, thinned out to as many as are
// wanted by taking away the most crowded one again and again (C. Yuksel, "Sample
// elimination for generating Poisson disk sample sets", Computer Graphics Forum 34
// (2015) 25), and pushed apart. Where less than full is asked for, distances
// between stones grow with one over the square root of the density.
func (s *site) layScatter(ctx context.Context) error {
	if s.outline == nil || s.allowed.Empty() {
		return nil
	}
	c := s.newScatterer(s.BedAs.densities())
	if s.Sparse() == 0 {
		return c.lay(ctx, c.most())
	}
	// What share of a full scatter is to be set is known when there is one.
	full := s.fork()
	f := full.newScatterer(1, 1)
	if err := f.lay(ctx, f.most()); err != nil {
		return err
	}
	n := 0.0
	for _, p := range full.pieces[len(s.pieces):] {
		if p.role != "" {
			n += c.density(p.at)
		}
	}
	n = math.Round(n)
	if s.alive() == 0 {
		n = math.Max(1, n) // sparse is not empty
	}
	return c.lay(ctx, int(n))
}

// lay sets n stones, and if they are to be full, as many more as there is room for.
func (c *scatterer) lay(ctx context.Context, n int) error {
	places, err := c.thinOut(ctx, c.places, n)
	if err != nil {
		return err
	}
	for _, s := range []spreading{{wish: scatterWide, rounds: scatterWideFor}, {wish: 1, rounds: scatterRounds}, {rounds: scatterRounds}} {
		if err := c.spread(ctx, places, s); err != nil {
			return err
		}
	}
	ids := make([]int, len(places))
	for i, p := range places {
		ids[i] = c.put(round(p), design.RoleBed)
	}
	c.takeWorst(ids)
	if c.from < 1 || c.to < 1 {
		return ctx.Err()
	}
	return c.saturate(ctx)
}

// newScatterer makes a scatterer of the densities and throws its places.
func (s *site) newScatterer(from, to float64) *scatterer {
	c := &scatterer{site: s, from: from, to: to, rows: s.obstacles()}
	sin, cos := math.Sincos(s.BedAs.Towards)
	c.towards = geom.Point{X: cos, Y: sin}
	c.low, c.far = math.Inf(1), math.Inf(-1)
	for _, r := range s.allowed.Rings {
		for _, p := range r {
			c.low, c.far = math.Min(c.low, p.Dot(c.towards)), math.Max(c.far, p.Dot(c.towards))
		}
	}
	c.rowIndex = geom.NewIndex(s.allowed.Bounds().Grow(2*s.pitch), s.pitch)
	for i, o := range c.rows {
		c.rowIndex.Insert(i, o.at)
		c.rowReach = math.Max(c.rowReach, o.reach)
	}
	c.throw()
	return c
}

// density gives the share of a full scatter that is asked for at a place.
func (c *scatterer) density(p geom.Point) float64 {
	if c.far <= c.low || c.from == c.to {
		return c.from
	}
	u := (p.Dot(c.towards) - c.low) / (c.far - c.low)
	return c.from + (c.to-c.from)*math.Max(0, math.Min(1, u))
}

// clearOfRows says whether a stone at p could stand beside the rows.
func (c *scatterer) clearOfRows(p geom.Point) bool {
	ok := c.inside(p)
	if ok {
		c.rowIndex.Each(p, c.rowReach, func(id int, q geom.Point) bool {
			ok = p.Dist(q) >= c.rows[id].reach
			return ok
		})
	}
	return ok
}

// throw finds free places at random, as dense as is asked for, and by them the
// area and the mean density of what is free.
func (c *scatterer) throw() {
	rnd := rand.New(rand.NewPCG(c.BedAs.Seed, scatterStream))
	box := c.allowed.Bounds()
	whole := box.Width() * box.Height()
	cell := math.Sqrt(3) / 2 * c.pitch * c.pitch // of a honeycomb, for one stone
	tries := int(scatterPlaces*whole/cell) + 1
	hits, sum := 0, 0.0
	most := math.Max(c.from, c.to)
	for range tries {
		p := geom.Point{X: box.MinX + rnd.Float64()*box.Width(), Y: box.MinY + rnd.Float64()*box.Height()}
		chance := rnd.Float64() * most
		if !c.clearOfRows(p) {
			continue
		}
		d := c.density(p)
		hits, sum = hits+1, sum+d
		if chance <= d {
			c.places = append(c.places, p)
		}
	}
	c.area, c.mean = whole*float64(hits)/float64(tries), sum/math.Max(1, float64(hits))
}

// most gives the number of stones that a full scatter begins with: a share of
// Oler's bound for what is free (Acta Math. 105 (1961) 19).
func (c *scatterer) most() int {
	p := c.pitch
	bound := 2/math.Sqrt(3)*c.area/(p*p) + c.core().Perimeter()/(2*p) + 1
	return int(math.Round(scatterShare * bound))
}
