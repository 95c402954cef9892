package job

import (
	"math"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
	"brushfall/internal/layout"
)

// SnapTo gives the place nearest to one in mm where a stone of a size, empty for the
// region's own, may stand in a region of a design beside all its stones but one, −1
// for none, and that place as an edit has it. False if there is none within so many
// mm. Faults: "hand-region", those of the catalogue.
func SnapTo(doc design.Document, region string, at geom.Point, size string, without int, within float64) (geom.Point, Spot, bool, error) {
	for _, r := range doc.Regions {
		if r.ID != region {
			continue
		}
		if size == "" {
			size = r.Size
		}
		kind, err := catalogue.FindSize(size)
		if err != nil {
			return at, Spot{}, false, err
		}
		to, ok := layout.Snap(regionOf(r), at, kind.Largest, within, taken(doc, kind, gapIn(r, kind, doc.Web), without))
		return to, SpotOf(to.X, to.Y, doc), ok, nil
	}
	return at, Spot{}, false, fault.New("hand-region", region, "no region of this id has stones")
}

// regionOf gives what of a region places are found by.
func regionOf(r design.Region) layout.Region {
	out := layout.Region{ID: r.ID, Margin: r.Margin, Gap: r.Gap, Diameter: r.Pitch - r.Gap, Treatment: r.Treatment}
	for _, ring := range r.Rings {
		var line []geom.Point
		for _, p := range ring {
			line = append(line, geom.Point{X: p[0], Y: p[1]})
		}
		if r.Open {
			out.Lines = append(out.Lines, line)
		} else {
			out.Shape.Rings = append(out.Shape.Rings, line)
		}
	}
	if !r.Open {
		out.Shape = geom.Fill(out.Shape.Rings, geom.EvenOdd)
	}
	return out
}

// gapIn gives the gap of stones of a size in a region.
func gapIn(r design.Region, size catalogue.Size, web float64) float64 {
	if size.Name == r.Size {
		return r.Gap
	}
	for _, s := range r.Sizes {
		if s.Size == size.Name {
			return s.Gap
		}
	}
	return size.Gap(web)
}

// taken gives the stones of a design, but one, as a stone of a size must keep clear
// of them.
func taken(doc design.Document, size catalogue.Size, gap float64, without int) []layout.Taken {
	of := map[string]design.Region{}
	for _, r := range doc.Regions {
		of[r.ID] = r
	}
	var out []layout.Taken
	for i, s := range doc.Stones {
		other, err := catalogue.FindSize(s.Size)
		if err != nil || i == without {
			continue
		}
		out = append(out, layout.Taken{
			At:    geom.Point{X: s.X, Y: s.Y},
			Reach: (size.Largest+other.Largest)/2 + math.Max(gap, gapIn(of[s.Region], other, doc.Web)),
		})
	}
	return out
}

// rowReach is how far the next stone of a row may be, in pitches.
const rowReach = 1.6

// RowOf gives the stones of the row that a stone of a design stands in, by their
// numbers, in their order: layouts list them row by row. A single stone is a row.
func RowOf(doc design.Document, stone int) []int {
	if stone < 0 || stone >= len(doc.Stones) {
		return nil
	}
	own := doc.Stones[stone]
	pitch := 0.0
	for _, r := range doc.Regions {
		if r.ID == own.Region {
			pitch = r.Pitch
		}
	}
	next := func(a, b int) bool {
		if b < 0 || b >= len(doc.Stones) {
			return false
		}
		p, q := doc.Stones[a], doc.Stones[b]
		return q.Region == own.Region && q.Role == own.Role && math.Hypot(p.X-q.X, p.Y-q.Y) <= rowReach*pitch
	}
	first, last := stone, stone
	for next(first, first-1) {
		first--
	}
	for next(last, last+1) {
		last++
	}
	var out []int
	for i := first; i <= last; i++ {
		out = append(out, i)
	}
	return out
}

// Mirrored gives an edit on the other side of the design's upright middle, in the
// region that lies there; false if none does, or the edit is on the middle itself.
func Mirrored(doc design.Document, e HandEdit) (HandEdit, bool) {
	const same = 1e-3 // of the width: the place is its own mirror image
	if math.Abs(e.At[0]-0.5) < same && (e.Act != layout.ActMove || math.Abs(e.To[0]-0.5) < same) {
		return e, false
	}
	over := func(s Spot) Spot { return Spot{rounded(1 - s[0]), s[1]} }
	e.At = over(e.At)
	if e.Act == layout.ActMove {
		e.To = over(e.To)
	}
	at := geom.Point{X: e.At[0] * doc.Width, Y: e.At[1] * doc.Height}
	best := math.Inf(1)
	for _, r := range doc.Regions {
		shape := regionOf(r)
		far := 0.0
		if r.Open {
			far = geom.NewLineBoundary(shape.Lines).Nearest(at).Dist
		} else if b := geom.NewBoundary(shape.Shape); !b.Inside(at) {
			far = b.Nearest(at).Dist
		}
		if far <= r.Pitch && far < best {
			best, e.Region = far, r.ID
		}
	}
	return e, !math.IsInf(best, 1)
}
