package geom

import (
	"math"
	"testing"
)

// heart is a smooth outline 50 mm wide: x = 16·sin³t, y = −(13·cos t − 5·cos 2t −
// 2·cos 3t − cos 4t), a well-known curve (from memory). Its deepest place is found by
// inscribedRadius.
func heart(points int) Shape {
	const scale = 50.0 / 32
	r := make(Ring, points)
	for i := range r {
		t := 2 * math.Pi * float64(i) / float64(points)
		sin := math.Sin(t)
		r[i] = Point{16 * sin * sin * sin, -(13*math.Cos(t) - 5*math.Cos(2*t) - 2*math.Cos(3*t) - math.Cos(4*t))}.Mul(scale)
	}
	return Fill([]Ring{r}, NonZero)
}

// inscribedRadius gives the depth of the deepest place on the heart's axis, x = 0, by
// trying every hundredth of a millimetre.
func inscribedRadius(s Shape) float64 {
	b, box, deepest := NewBoundary(s), s.Bounds(), 0.0
	for y := box.MinY; y < box.MaxY; y += 0.01 {
		deepest = math.Max(deepest, b.Depth(Point{0, y}))
	}
	return deepest
}

// crossed counts the crossings that a step in the winding numbers has to be noded at.
func crossed(s Shape, d, tol float64) int {
	arc := math.Max(tol*arcShare, finestArc)
	var raw []Ring
	for _, r := range s.Rings {
		raw = append(raw, rawOffset(r, d, arc))
	}
	hot, _, _ := crossings(merge(gridEdges([2][]Ring{raw}, gridPerMM)))
	return len(hot)
}

// TestInsetTanglesLittle counts the crossings of insets near and beyond the inradius
// of smooth outlines, where nearly every point has a spike. In one step the heart of
// 1500 points has three hundred thousand at 13 mm.
func TestInsetTanglesLittle(t *testing.T) {
	const most = 40_000
	for _, points := range []int{400, 1500, 6000} {
		s := heart(points)
		radius := inscribedRadius(s)
		for _, d := range []float64{8, 10, 12, 13, radius - 0.01, radius + 0.01, 14, 16, 18} {
			total := 0
			got := insetInSteps(s, d, 0.002, mostHalvings, func(s Shape, d, tol float64) Shape {
				total += crossed(s, d, tol)
				return insetByWinding(s, d, tol)
			})
			if total > most {
				t.Errorf("%d points by %.3f: %d crossings, at most %d are wanted", points, d, total, most)
			}
			if got.Empty() != (d > radius) {
				t.Errorf("%d points by %.3f: empty is %v, the inradius %.3f", points, d, got.Empty(), radius)
			}
			if !insetHolds(s, got, d, 0.002) {
				t.Errorf("%d points by %.3f: a point comes too near", points, d)
			}
		}
	}
	if s := heart(1500); crossed(s, 13, 0.002) < 3*most {
		t.Error("in one step the heart does not tangle, so this test says nothing")
	}
}

// TestInsetInStepsAgainstGEOS compares insets that take steps with the buffers of GEOS.
func TestInsetInStepsAgainstGEOS(t *testing.T) {
	var cases []geosCase
	for _, points := range []int{1500, 6000} {
		s := heart(points)
		for _, d := range []float64{10, 12, 12.8} {
			if tangles(s, d) <= mostTangles {
				t.Errorf("%d points by %v is done in one step", points, d)
			}
			in := Inset(s, d, 0.002)
			cases = append(cases, geosCase{Op: "inset", name: "heart", Shape: polygons(s), D: d, Result: polygons(in), area: in.Area()})
		}
	}
	for i, a := range askGEOS(t, cases) {
		c := cases[i]
		if a.Valid != "" {
			t.Errorf("by %v: not valid: %s", c.D, a.Valid)
		}
		if c.area > a.Area+1e-3 || c.area < a.Area*0.995-0.01 {
			t.Errorf("by %v: area %.4f, GEOS %.4f", c.D, c.area, a.Area)
		}
		if a.Near < c.D-5e-4 {
			t.Errorf("by %v: a point is %.5f from the outline", c.D, a.Near)
		}
	}
}

// TestThinned sees that thinning takes points off round bends alone, only from the
// area, and no more than it may.
func TestThinned(t *testing.T) {
	s := heart(6000)
	frame := Fill([]Ring{square(-40, -40, 80), Ring(s.Rings[0])}, EvenOdd) // the heart as a hole
	const tol = 0.001
	thin := thinned(s, tol)
	if n := len(thin.Rings[0]); n > len(s.Rings[0])/2 {
		t.Errorf("%d of %d points are left", n, len(s.Rings[0]))
	}
	if lost := Subtract(s, thin).Area(); lost > tol*s.Perimeter() {
		t.Errorf("the area loses %v mm²", lost)
	}
	for _, shape := range []Shape{s, frame} {
		if more := Subtract(thinned(shape, tol), shape); more.Area() > 2e-5*shape.Perimeter() {
			t.Errorf("the area gains %v mm²", more.Area())
		}
	}
}

// TestInsetOfManyParts insets a crowd of discs and rings that vanish among squares that
// do not: what vanishes is not noded, and what stays is what each square alone gives,
// (4 − 2·1.7)² mm² (common practice).
func TestInsetOfManyParts(t *testing.T) {
	const d = 1.7
	circle := func(x, y, r float64) Ring {
		out := make(Ring, 64)
		for i := range out {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 64)
			out[i] = Point{x + r*cos, y + r*sin}
		}
		return out
	}
	var rings []Ring
	squares := 0
	for i := range 30 {
		for k := range 30 {
			switch x, y := 10*float64(i), 10*float64(k); (i + k) % 3 {
			case 0:
				rings = append(rings, circle(x, y, 1.5))
			case 1:
				rings = append(rings, circle(x, y, 4), circle(x, y, 1))
			default:
				rings = append(rings, square(x-2, y-2, 4))
				squares++
			}
		}
	}
	s := Fill(rings, EvenOdd)
	if tangles(s, d) <= mostTangles {
		t.Error("the crowd does not tangle, so this test says nothing")
	}
	total := 0
	got := insetInSteps(s, d, 0.002, mostHalvings, func(s Shape, d, tol float64) Shape {
		total += crossed(s, d, tol)
		return insetByWinding(s, d, tol)
	})
	if total > 10*squares {
		t.Errorf("%d crossings are noded for %d squares", total, squares)
	}
	if want := float64(squares) * (4 - 2*d) * (4 - 2*d); len(got.Rings) != squares || math.Abs(got.Area()-want) > 1e-4*want {
		t.Errorf("%d parts of %.5f mm², want %d of %.5f", len(got.Rings), got.Area(), squares, want)
	}
}
