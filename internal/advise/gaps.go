package advise

import (
	"cmp"
	"math"
	"slices"

	"brushfall/internal/artwork"
	"brushfall/internal/geom"
)

// How gaps are sought.
const (
	// touching is the width in mm below which two areas are taken to touch: what
	// rounding leaves between outlines that run together.
	touching = 0.05
	// frameShare and leastFrame say how far round the drawing gaps are sought, as
	// a share of its longer side and in mm: an open bay ends there.
	frameShare = 0.25
	leastFrame = 10
	// frameEase is the share by which the border of that field may be farther than
	// the drawing and still be what a place is nearest to.
	frameEase = 1.05
	// farSide is the share by which the far side of a gap may be farther than the
	// near one: centre lines are only as fine as their samples.
	farSide = 1.05
	// widestGap is the width in mm from which a gap is no detail at any stone size.
	widestGap = 25
	// gapStep is the spacing of samples in gaps, in mm, and mostGapSamples bounds
	// them along the outlines.
	gapStep        = 0.4
	mostGapSamples = 100_000
)

// gap is a part of the ground between two sides of the drawing.
type gap struct {
	Gap
	places  stretch
	sameInk bool // both sides have one paint: stones can close it unseen
}

// gapsOf gives the gaps between the closed regions, the finest first: the centre
// lines of what the drawing leaves of a field around it.
func gapsOf(d artwork.Drawing, sides sides) []gap {
	var rings []geom.Ring
	for _, r := range d.Regions {
		rings = append(rings, grown(r.Shape)...)
	}
	ink := geom.Fill(rings, geom.NonZero)
	if ink.Empty() {
		return nil
	}
	box := ink.Bounds()
	field := box.Grow(math.Max(leastFrame, frameShare*math.Max(box.Width(), box.Height())))
	ground := geom.Subtract(rectangle(field), ink)
	step := math.Max(gapStep, ground.Perimeter()/mostGapSamples)
	var out []gap
	for _, part := range ground.Components() {
		outline := geom.NewBoundary(part)
		for _, s := range newAxis(part, geom.CentreOptions{Step: step}).strokes {
			if g, ok := sides.gap(s, field, outline); ok {
				out = append(out, g)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b gap) int { return cmp.Compare(a.Width, b.Width) })
	return out
}

func rectangle(b geom.Box) geom.Shape {
	return geom.Shape{Rings: []geom.Ring{{{X: b.MinX, Y: b.MinY}, {X: b.MaxX, Y: b.MinY}, {X: b.MaxX, Y: b.MaxY}, {X: b.MinX, Y: b.MaxY}}}}
}

// sides knows the outlines on both sides of a gap.
type sides struct {
	regions  []artwork.Region
	boxes    []geom.Box
	outlines []*geom.Boundary
}

func newSides(d artwork.Drawing) sides {
	var s sides
	for _, r := range d.Regions {
		if !r.Open() {
			s.regions = append(s.regions, r)
			s.boxes = append(s.boxes, r.Bounds())
			s.outlines = append(s.outlines, geom.NewBoundary(r.Shape))
		}
	}
	return s
}

// gap makes a gap of a stretch of ground, unless it is wide, lies along the
// border of the field, or is none.
func (s sides) gap(whole stretch, field geom.Box, outline *geom.Boundary) (gap, bool) {
	var places stretch
	for _, v := range whole {
		border := min(v.X-field.MinX, field.MaxX-v.X, v.Y-field.MinY, field.MaxY-v.Y)
		if 2*v.radius <= widestGap && border > frameEase*v.radius {
			places = append(places, v)
		}
	}
	if len(places) == 0 {
		return gap{}, false
	}
	width, at := places.width(outline)
	width += 2 * seam
	if width < touching {
		return gap{}, false
	}
	a, b := s.around(at, width/2)
	g := gap{places: places, sameInk: s.regions[a].Paint == s.regions[b].Paint}
	g.Gap = Gap{Region: s.regions[a].ID, Other: s.regions[b].ID, Width: width, X: at.X, Y: at.Y}
	return g, true
}

// around gives the two regions nearest to a place in a gap, in the drawing's
// order; one twice if no other is as near.
func (s sides) around(at geom.Point, radius float64) (int, int) {
	reach := farSide * radius
	near := geom.Bounds([]geom.Point{at}).Grow(reach)
	type side struct {
		region int
		dist   float64
	}
	var found []side
	for i, o := range s.outlines {
		if near.Overlaps(s.boxes[i]) {
			if d := o.Nearest(at).Dist; d <= reach {
				found = append(found, side{i, d})
			}
		}
	}
	slices.SortStableFunc(found, func(a, b side) int { return cmp.Compare(a.dist, b.dist) })
	switch len(found) {
	case 0:
		return 0, 0
	case 1:
		return found[0].region, found[0].region
	}
	return min(found[0].region, found[1].region), max(found[0].region, found[1].region)
}

// at names the region that a place lies in, or else the nearest.
func (s sides) at(p geom.Point) string {
	near := geom.Bounds([]geom.Point{p}).Grow(touching)
	best, depth := "", math.Inf(-1)
	for _, look := range []bool{false, true} { // those around the place first
		for i, o := range s.outlines {
			if look || near.Overlaps(s.boxes[i]) {
				if d := o.Depth(p); d > depth {
					best, depth = s.regions[i].ID, d
				}
			}
		}
		if best != "" {
			break
		}
	}
	return best
}
