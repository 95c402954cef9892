package layout

import (
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// inwardSteps bounds the steps that bring a place to its depth: each is exact
// where one edge is near, and a corner takes a few.
const inwardSteps = 24

// placing finds the places of a region where a stone set by hand can stand.
type placing struct {
	Region
	outline *geom.Boundary
	line    bool // the region is open lines
}

func newPlacing(r Region) placing {
	if r.Shape.Empty() {
		return placing{r, geom.NewLineBoundary(r.Lines), true}
	}
	return placing{r, geom.NewBoundary(r.Shape), false}
}

// may says whether the region's stones can come from the treatment.
func (p placing) may(t design.Treatment) bool {
	return len(p.Treatment) == 0 || slices.Contains(p.Treatment, t)
}

// depth gives how deep the centre of a stone lies that touches the margin.
func (p placing) depth(diameter float64) float64 { return diameter/2 + p.Margin }

// holds says whether a whole stone at c lies in the area.
func (p placing) holds(c geom.Point, diameter float64) bool {
	return p.outline.Depth(c) >= p.depth(diameter)-depthEase
}

// place gives the place nearest to the one asked for where a stone can stand: on
// a line; on the rim's path if that is very near; else where the whole stone lies
// inside, or on a stroke that only a spine may have, the centre. False if that
// is out of reach.
func (p placing) place(at geom.Point, diameter float64) (geom.Point, bool) {
	hit := p.outline.Nearest(at)
	reach := handReach * p.Pitch()
	if p.line {
		return round(hit.Point), hit.Dist <= reach
	}
	depth := p.depth(diameter)
	in := p.outline.Inside(at)
	if on := round(hit.Point.Add(at.Sub(hit.Point).Unit().Mul(depth))); in && p.may(design.Rim) &&
		on.Dist(at) <= handOnRow*p.Pitch() && p.holds(on, diameter) {
		return on, true
	}
	if p.holds(at, diameter) {
		return round(at), true
	}
	if c := round(p.inwards(at, depth)); c.Dist(at) <= reach && p.holds(c, diameter) {
		return c, true
	}
	return round(at), in && p.may(design.Spine) && (len(p.Treatment) == 0 || !p.may(design.Rim) && !p.may(design.Bed))
}

// inwards moves a place away from the outline until it is at its depth.
func (p placing) inwards(c geom.Point, depth float64) geom.Point {
	for range inwardSteps {
		hit := p.outline.Nearest(c)
		away, in := c.Sub(hit.Point), p.outline.Inside(c)
		if in && hit.Dist >= depth-depthEase/2 || away.Len2() == 0 {
			break
		}
		if !in {
			away = away.Mul(-1)
		}
		c = hit.Point.Add(away.Unit().Mul(depth))
	}
	return c
}

// meetsRows says whether a stone set by hand may stand in the way of a rim or
// spine, which are then laid around it; else only the bed makes way.
func (p placing) meetsRows(f *fixed) bool {
	if p.line {
		return true
	}
	if !p.may(design.Rim) && !p.may(design.Bed) {
		return true
	}
	least := 0.0
	if p.may(design.Rim) {
		least = 1
	}
	if p.may(design.Spine) { // strokes a little wider than two rows have spines too
		least = 1 + bulgeWidth + 0.5
	}
	diameter, gap := p.widest()
	return least > 0 && p.outline.Depth(f.asked) < p.depth(diameter)+least*f.reach(diameter, gap)
}
