package layout

import (
	"math"
	"slices"

	"brushfall/internal/geom"
)

// scan is a stretch of a line that crosses the room for a bed: rows are to
// be met along it evenly. odd says that its rows lie half a step over; weight is
// what its two ends count.
type scan struct {
	span
	odd    bool
	weight [2]float64
}

// misfit gives how unevenly rows at first + k·step meet the scans: the sum of the
// squares of what is left over between them and beyond the last ones, where the
// room ends that they may use.
func misfit(scans []scan, first, step, least float64) float64 {
	sum := 0.0
	wide := (step - least) * (step - least)
	for _, s := range scans {
		at := first
		if s.odd {
			at += step / 2
		}
		low, high := math.Ceil((s.lo-at)/step), math.Floor((s.hi-at)/step)
		mean := (s.weight[0] + s.weight[1]) / 2
		if high < low { // no row meets it
			sum += mean * (s.hi - s.lo) * (s.hi - s.lo)
			continue
		}
		before, after := at+low*step-s.lo, s.hi-at-high*step
		sum += s.weight[0]*before*before + s.weight[1]*after*after + mean*(high-low)*wide
	}
	return sum
}

// level scans a shape along the lines y = y0 + k·h; brick says that every other
// line is odd.
func level(shape geom.Shape, y0, h float64, brick bool) []scan {
	var out []scan
	for _, r := range crossings(shape, y0, h) {
		for i := 0; i+1 < len(r.xs); i += 2 {
			out = append(out, scan{span{r.xs[i], r.xs[i+1]}, brick && r.k&1 != 0, [2]float64{1, 1}})
		}
	}
	return out
}

// radial scans a shape along rays from the origin, a step apart where they are
// farthest out. Ends count by their radius, since so much longer are the rings there.
func radial(shape geom.Shape, step float64) []scan {
	n := int(2*math.Pi*farthest(shape)/step) + leastRays
	met := make([][]float64, n)
	for _, g := range shape.Rings {
		for i, p := range g {
			meetRays(p, g[(i+1)%len(g)], met)
		}
	}
	var out []scan
	for _, radii := range met {
		slices.Sort(radii)
		if len(radii)%2 == 1 { // the origin lies inside
			radii = slices.Insert(radii, 0, 0)
		}
		for i := 0; i+1 < len(radii); i += 2 {
			out = append(out, scan{span{radii[i], radii[i+1]}, false, [2]float64{radii[i], radii[i+1]}})
		}
	}
	return out
}

// farthest gives how far from the origin a shape reaches; 0 for an empty one.
func farthest(shape geom.Shape) float64 {
	far := 0.0
	for _, g := range shape.Rings {
		for _, p := range g {
			far = math.Max(far, p.Len())
		}
	}
	return far
}

// leastRays is the least number of rays that a shape is scanned along.
const leastRays = 48

// meetRays notes the radii at which the side from p to q meets rays from the
// origin, which are evenly spread.
func meetRays(p, q geom.Point, met [][]float64) {
	n := len(met)
	unit := 2 * math.Pi / float64(n)
	a := math.Atan2(p.Y, p.X)
	turn := math.Atan2(p.Cross(q), p.Dot(q)) // the short way round
	b := a + turn
	// Half-open, so that a vertex on a ray counts once.
	for k := math.Ceil(math.Min(a, b) / unit); k*unit < math.Max(a, b); k++ {
		sin, cos := math.Sincos(k * unit)
		ray := geom.Point{X: cos, Y: sin}
		d := q.Sub(p)
		if c := d.Cross(ray); c != 0 {
			i := ((int(k) % n) + n) % n
			met[i] = append(met[i], p.Lerp(q, -p.Cross(ray)/c).Dot(ray))
		}
	}
}
