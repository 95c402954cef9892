package layout

import (
	"math"

	"brushfall/internal/geom"
)

// Taken is a place that is taken already: no centre of another stone may come nearer
// than Reach.
type Taken struct {
	At    geom.Point
	Reach float64
}

// The search of Snap goes outwards in rings of this step, mm, over places this far
// apart on a ring: finer than a hand sets a stone.
const snapStep = 0.05

// Snap gives the place nearest to the one asked for, to snapStep, where a stone of a
// diameter may stand in a region: whole inside by the region's margin, or on its
// line, and out of the reach of all that is taken. False if there is none within so
// many mm.
func Snap(r Region, at geom.Point, diameter, within float64, taken []Taken) (geom.Point, bool) {
	p := newPlacing(r)
	var near []Taken
	for _, t := range taken {
		if t.At.Dist(at) < within+t.Reach {
			near = append(near, t)
		}
	}
	legal := func(c geom.Point) (geom.Point, bool) {
		if p.line {
			c = p.outline.Nearest(c).Point
		}
		c = round(c)
		if !p.line && !p.holds(c, diameter) {
			return c, false
		}
		for _, t := range near {
			if c.Dist(t.At) < t.Reach-gapEase {
				return c, false
			}
		}
		return c, c.Dist(at) <= within
	}
	if c, ok := legal(at); ok {
		return c, true
	}
	best, far := at, math.Inf(1)
	for radius := snapStep; radius <= within && radius < far+snapStep; radius += snapStep {
		n := int(math.Ceil(2 * math.Pi * radius / snapStep))
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			c, ok := legal(at.Add(geom.Point{X: radius * cos, Y: radius * sin}))
			if d := c.Dist(at); ok && d < far {
				best, far = c, d
			}
		}
	}
	return best, !math.IsInf(far, 1)
}
