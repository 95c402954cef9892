package layout

import (
	"math"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Columns says how the stones of one course stand to those of the next.
type Columns int

// The ways of setting courses. EvenSteps lets each course run from wall to wall in
// equal steps of its own. InLine sets stone below stone. Brick sets every other
// course half a step over, and the courses as near to each other as that allows.
const (
	EvenSteps Columns = iota
	InLine
	Brick
)

// BedSettings say how courses, spokes and scatters are set; the zero value is the
// plain way of each. Angles are radians, clockwise on the page from rightwards.
type BedSettings struct {
	// Angle is the direction of courses. It turns spokes, which have a ray straight
	// up, or along the region's mirror axis, at 0.
	Angle   float64
	Columns Columns
	// Centre is the middle of spokes, in mm; nil: the centre of gravity of each
	// separate part of the region.
	Centre *geom.Point
	// Density is the share of a full scatter that is set, above 0 and up to 1. It
	// changes evenly to DensityTo across the region in the direction Towards. A density
	// of 0 stands for full, a DensityTo of 0 for Density.
	Density, DensityTo, Towards float64
	// Seed picks one of the scatters that are equally good.
	Seed uint64
}

// densities gives both densities with what 0 stands for put in.
func (b BedSettings) densities() (from, to float64) {
	from = share(b.Density, 1)
	return from, share(b.DensityTo, from)
}

// LeastDensity is the lowest density that is set: a stone where a hundred would
// fit. What asks for less is given it.
const LeastDensity = 0.01

// share holds a density within its bounds; one that is none counts as other.
func share(v, other float64) float64 {
	if !(v > 0) {
		return other
	}
	return math.Max(LeastDensity, math.Min(v, 1))
}

// Sparse gives the least share of a full bed that the region asks for anywhere,
// as its record holds it: 0 for a bed that is to be full.
func (r Region) Sparse() float64 {
	from, to := r.BedAs.densities()
	if least := math.Min(from, to); r.Bed == design.Scatter && least < 1 {
		return least
	}
	return 0
}
