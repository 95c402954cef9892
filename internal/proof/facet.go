package proof

import (
	"math"

	"brushfall/internal/geom"
)

// The cut of a flat-back stone seen from above, radius 1: a flat table, eight
// kites round it, stars between the kites' heads, and two small facets at each
// kite's flank along the girdle.
const (
	folds       = 8
	tableRadius = 0.56
	starRadius  = 0.80
	starTilt    = 0.36 // radians from the table
	kiteTilt    = 0.60
	girdleTilt  = 0.74
)

// normal is a unit vector: x to the right, y down, z to the eye.
type normal struct{ x, y, z float64 }

// facet is what one point of the stone belongs to.
type facet struct {
	normal  normal
	azimuth float64 // direction it is tilted to, radians; 0 for the table
}

// facetAt finds the facet under p on a stone turned by turn.
func facetAt(p geom.Point, turn float64) facet {
	const sector = 2 * math.Pi / folds
	angle := math.Atan2(p.Y, p.X) - turn
	kite := math.Round(angle / sector)
	off := angle - kite*sector // from the kite's middle line
	side := math.Copysign(1, off)
	q := polar(p.Len(), math.Abs(off))

	table := polar(tableRadius, 0)
	star := polar(starRadius, sector/2)
	girdle := polar(1, 0)
	half := sector / 2
	switch {
	case q.X*math.Cos(half)+q.Y*math.Sin(half) < tableRadius*math.Cos(half):
		return facet{normal: normal{0, 0, 1}}
	case star.Sub(table).Cross(q.Sub(table)) > 0:
		return tiltedFacet(kite*sector+side*half+turn, starTilt)
	case girdle.Sub(star).Cross(q.Sub(star)) > 0:
		return tiltedFacet(kite*sector+turn, kiteTilt)
	}
	return tiltedFacet(kite*sector+side*0.62*half+turn, girdleTilt)
}

func polar(r, angle float64) geom.Point {
	return geom.Point{X: r * math.Cos(angle), Y: r * math.Sin(angle)}
}

func tiltedFacet(azimuth, tilt float64) facet { return facet{tilted(azimuth, tilt), azimuth} }

// tilted gives the normal leaning by tilt towards the azimuth.
func tilted(azimuth, tilt float64) normal {
	s, c := math.Sincos(tilt)
	return normal{s * math.Cos(azimuth), s * math.Sin(azimuth), c}
}

// mirror gives the direction in which the eye, above the stone, sees by a facet.
func mirror(n normal) normal {
	return normal{2 * n.z * n.x, 2 * n.z * n.y, 2*n.z*n.z - 1}
}

// lamp gives the brightness of the room in a direction, 0 to 1: a window high on
// the left, a small lamp on the right, a grey ceiling, a dark floor.
func lamp(d normal) float64 {
	window := math.Max(0, -0.52*d.x-0.62*d.y+0.59*d.z)
	spot := math.Max(0, 0.80*d.x+0.10*d.y+0.59*d.z)
	sky := 0.16 * (1 + d.z) * (1 - 0.6*d.y) / 2
	return clip(sky + 0.95*math.Pow(window, 4) + 0.5*math.Pow(spot, 12))
}
