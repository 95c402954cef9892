package artwork

import (
	"fmt"
	"math"
	"regexp"
	"slices"

	"brushfall/internal/geom"
)

var hexPaint = regexp.MustCompile(`^#[0-9a-f]{6}$`)

// Check tests a drawing against what docs/formats/artwork.md guarantees of what a
// reader makes, and names the first thing that does not hold. The tests of the
// readers call it; later stages trust it. That areas are normalised is tested by
// what follows from it: filling the rings by either rule gives their own area.
func Check(d Drawing) error {
	if !finite(d.Width) || !finite(d.Height) || d.Width < 0 || d.Height < 0 {
		return fmt.Errorf("the page is %g × %g", d.Width, d.Height)
	}
	ids := map[string]bool{}
	for _, r := range d.Regions {
		if r.ID == "" || ids[r.ID] {
			return fmt.Errorf("%s: the id %q is empty or taken", r.Where, r.ID)
		}
		ids[r.ID] = true
		if err := checkRegion(r); err != nil {
			return fmt.Errorf("region %s: %w", r.ID, err)
		}
	}
	for _, w := range d.Warnings {
		if w.Code == "" || w.Message == "" {
			return fmt.Errorf("a warning at %q says nothing", w.Where)
		}
	}
	return nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func checkRegion(r Region) error {
	if r.Open() != r.Shape.Empty() {
		return fmt.Errorf("%d lines and %d rings: exactly one of them must be there", len(r.Lines), len(r.Shape.Rings))
	}
	if !hexPaint.MatchString(r.Paint) {
		return fmt.Errorf("the paint %q is not #rrggbb", r.Paint)
	}
	for _, l := range r.Lines {
		if len(l) < 2 || !finitePoints(l) || len(slices.Compact(slices.Clone(l))) < len(l) {
			return fmt.Errorf("a line of %d points is too short, repeats one, or has one that is not finite", len(l))
		}
	}
	for _, ring := range r.Shape.Rings {
		if len(ring) < 3 || ring.Area() == 0 || !finitePoints(ring) {
			return fmt.Errorf("a ring has %d points and an area of %g mm²", len(ring), ring.Area())
		}
	}
	return checkNormal(r.Shape)
}

// roundingWidth is how wide a strip along the outline the rounding of points may
// add or take: two steps of the grid of the geometry, 2e-5 mm, or as a share of
// the distance from the origin, for shapes beyond what the grid's finest step serves.
const (
	roundingWidth = 2e-5
	roundingShare = 2e-8
)

func checkNormal(s geom.Shape) error {
	b := s.Bounds()
	reach := max(-b.MinX, -b.MinY, b.MaxX, b.MaxY)
	slack := max(roundingWidth, roundingShare*reach) * s.Perimeter()
	for _, rule := range []geom.FillRule{geom.NonZero, geom.EvenOdd} {
		if got := geom.Fill(s.Rings, rule).Area(); math.Abs(got-s.Area()) > slack {
			return fmt.Errorf("the rings cover %g mm², filled by rule %d %g mm²", s.Area(), rule, got)
		}
	}
	return nil
}

func finitePoints(points []geom.Point) bool {
	for _, p := range points {
		if !finite(p.X) || !finite(p.Y) {
			return false
		}
	}
	return true
}
