package layout

import (
	"math"

	"brushfall/internal/geom"
)

// sideSag is how far an outline may bend, in pitches, and still count as one
// straight side when the main direction of a region is looked for.
const sideSag = 0.1

// mainDirection gives the direction of the longest straight side of a shape, in
// radians; 0 for an empty one.
func mainDirection(shape geom.Shape, pitch float64) float64 {
	longest, angle := 0.0, 0.0
	for _, r := range shape.Rings {
		side := geom.SimplifyRing(r, sideSag*pitch)
		for i, p := range side {
			d := side[(i+1)%len(side)].Sub(p)
			if l := d.Len(); l > longest*(1+1e-6) {
				longest, angle = l, math.Atan2(d.Y, d.X)
			}
		}
	}
	return angle
}

// centroid gives the centre of gravity of a shape; the origin for an empty one.
func centroid(shape geom.Shape) geom.Point {
	if shape.Empty() {
		return geom.Point{}
	}
	var sum geom.Point
	area := 0.0
	o := shape.Rings[0][0] // from nearby, so that far-off places keep their decimals
	for _, r := range shape.Rings {
		for i, p := range r {
			a, b := p.Sub(o), r[(i+1)%len(r)].Sub(o)
			c := a.Cross(b)
			area += c
			sum = sum.Add(a.Add(b).Mul(c / 3))
		}
	}
	if area == 0 {
		return o
	}
	return o.Add(sum.Mul(1 / area))
}
