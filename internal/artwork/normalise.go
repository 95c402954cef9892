package artwork

import (
	"runtime"
	"sync"
	"sync/atomic"

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
	var areas rtree.RTreeG[painted]
	for i, r := range d.Regions {
		if !r.Open() && !r.Shape.Empty() {
			lo, hi := corners(r.Bounds())
			areas.Insert(lo, hi, painted{i, boxedRings(r.Shape)})
		}
	}
	seen := make([]Region, len(d.Regions))
	covered := make([]bool, len(d.Regions))
	inParallel(len(seen), func(i int) {
		r := d.Regions[i]
		cover := above(&areas, i, r.Bounds())
		seen[i], covered[i] = uncovered(r, cover), !cover.Empty()
	})
	out := d
	out.Regions = make([]Region, 0, len(seen))
	out.Warnings = append([]Warning(nil), d.Warnings...)
	for i, r := range seen {
		switch {
		case r.Open() || !r.Shape.Empty():
			out.Regions = append(out.Regions, r)
		case covered[i]:
			out.Warnings = append(out.Warnings, Warning{
				"hidden", r.Where,
				"the region " + r.ID + " is hidden under what is painted after it: it gets no stones; remove it, or move it up",
			})
		}
	}
	return out
}

// painted is the area of a region with the region's place in the order of paint.
type painted struct {
	order int
	rings []boxed
}

func corners(b geom.Box) (lo, hi [2]float64) {
	return [2]float64{b.MinX, b.MinY}, [2]float64{b.MaxX, b.MaxY}
}

// above gives what is painted after a region and near its box, as rings that may
// overlap.
func above(areas *rtree.RTreeG[painted], order int, b geom.Box) geom.Shape {
	var cover geom.Shape
	lo, hi := corners(b)
	areas.Search(lo, hi, func(_, _ [2]float64, p painted) bool {
		if p.order > order {
			cover.Rings = appendNear(cover.Rings, p.rings, b.Grow(beyond))
		}
		return true
	})
	return cover
}

// inParallel calls f for 0 to n−1 on all cores; f keeps what it finds by its number.
func inParallel(n int, f func(i int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wait.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				f(i)
			}
		})
	}
	wait.Wait()
}

// uncovered gives what the cover leaves of a region. The rings of the cover may
// overlap: what matters is that they wind round the covered places.
func uncovered(r Region, cover geom.Shape) Region {
	if cover.Empty() {
		return r
	}
	if r.Open() {
		r.Lines = CutLines(r.Lines, geom.Union(cover), false)
		return r
	}
	r.Shape = withoutSlivers(geom.Subtract(r.Shape, cover))
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
