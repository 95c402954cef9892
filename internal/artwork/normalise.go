package artwork

import (
	"github.com/tidwall/rtree"

	"brushfall/internal/geom"
)

// Sliver is the mean width in mm under which what is left of a covered region is
// dropped: rounding and the flattening of curves leave such slips where two
// outlines were meant to run together, and the smallest stone is 60 times wider.
const Sliver = 0.02

// Visible gives the drawing as it is seen: what is painted later covers what lies
// under it, so every closed region loses the area of the closed regions after it
// and open lines lose what lies under an area after them. No two areas overlap
// afterwards; they may touch. Parts thinner than Sliver are dropped. A region of
// which nothing is left goes, with a warning that names it. Paint is paint: white,
// or the colour of the page, covers as any other does. The order stays.
//
// Call it at the final size: Sliver is a length on the finished piece.
func Visible(d Drawing) Drawing {
	var above rtree.RTreeG[int]
	seen := make([]Region, len(d.Regions))
	var hidden []Warning
	for i := len(d.Regions) - 1; i >= 0; i-- {
		r := d.Regions[i]
		b := r.Bounds()
		lo, hi := [2]float64{b.MinX, b.MinY}, [2]float64{b.MaxX, b.MaxY}
		var cover []geom.Shape
		above.Search(lo, hi, func(_, _ [2]float64, k int) bool {
			cover = append(cover, d.Regions[k].Shape)
			return true
		})
		seen[i] = uncovered(r, cover)
		if seen[i].Shape.Empty() && !seen[i].Open() && len(cover) > 0 {
			hidden = append(hidden, Warning{"hidden", r.Where, "the region " + r.ID + " is hidden under what is painted after it: it gets no stones; remove it, or move it up"})
		}
		if !r.Open() && !r.Shape.Empty() {
			above.Insert(lo, hi, i)
		}
	}
	out := d
	out.Regions = make([]Region, 0, len(seen))
	for _, r := range seen {
		if r.Open() || !r.Shape.Empty() {
			out.Regions = append(out.Regions, r)
		}
	}
	out.Warnings = append([]Warning(nil), d.Warnings...)
	for i := len(hidden) - 1; i >= 0; i-- {
		out.Warnings = append(out.Warnings, hidden[i])
	}
	return out
}

// uncovered gives what the cover leaves of a region.
func uncovered(r Region, cover []geom.Shape) Region {
	if len(cover) == 0 {
		return r
	}
	all := geom.Union(cover...)
	if r.Open() {
		r.Lines = CutLines(r.Lines, all, false)
		return r
	}
	r.Shape = withoutSlivers(geom.Subtract(r.Shape, all))
	return r
}

// withoutSlivers drops the parts of a shape whose mean width, twice the area by
// the perimeter, is under Sliver.
func withoutSlivers(s geom.Shape) geom.Shape {
	var out geom.Shape
	for _, part := range s.Components() {
		if 2*part.Area() >= Sliver*part.Perimeter() {
			out.Rings = append(out.Rings, part.Rings...)
		}
	}
	return out
}
