package dxfin_test

import (
	"math"
	"strings"
	"testing"

	"brushfall/internal/artwork/dxfin"
	"brushfall/internal/geom"
)

// Odd ways of drawing that files in the wild have, each with its area and length
// worked out by hand.
func TestCuriousDrawings(t *testing.T) {
	light := func(flags int, xy ...any) string {
		var pairs []any
		for i := 0; i < len(xy); i += 2 {
			pairs = append(pairs, 10, xy[i], 20, xy[i+1])
		}
		return groups(0, "LWPOLYLINE", 70, flags) + groups(pairs...)
	}
	for _, c := range []struct {
		name       string
		text       string
		area, open float64
	}{
		{"an ellipse that ends a rounding after 2π", drawing(groups(0, "ELLIPSE", 10, 0, 20, 0, 11, -40, 21, 0, 40, 0.75, 41, 0, 42, "6.28318530718")), math.Pi * 40 * 30, 0},
		{"an ellipse that ends a rounding before 2π", drawing(groups(0, "ELLIPSE", 10, 0, 20, 0, 11, -40, 21, 0, 40, 0.75, 41, 0, 42, "6.283185307")), math.Pi * 40 * 30, 0},
		{"an arc all round", drawing(groups(0, "ARC", 10, 0, 20, 0, 40, 10, 50, 90, 51, 450)), math.Pi * 100, 0},
		{"a bow tie of four lines", drawing(line(0, 0, 0, 4), line(0, 4, 8, 0), line(8, 0, 8, 4), line(8, 4, 0, 0)), 16, 0},
		{"a closed polyline of two points", drawing(light(1, 0, 0, 0, 12)), 0, 12},
		{"a closed polyline of points in a row", drawing(light(1, 0, 0, 0, 12, 0, 5)), 0, 24},
		{"a closed polyline that repeats its start", drawing(light(1, 0, 0, 10, 0, 10, 10, 0, 10, 0, 0)), 100, 0},
		{"an open polyline back at its start", drawing(light(0, 0, 0, 10, 0, 10, 10, 0, 10, 0, 0)), 100, 0},
		{"two lines nearer than ends are joined", drawing(line(0, 0, 40, 0), line(0, 0.05, 40, 0.05)), 0, 40},
		{"two half circles with bulges", drawing(groups(0, "LWPOLYLINE", 70, 1, 10, 0, 20, 0, 42, 1, 10, 20, 20, 0, 42, 1)), math.Pi * 100, 0},
		{"a header that ends twice", groups(0, "SECTION", 2, "HEADER", 9, "$ACADVER", 1, "AC1015", 0, "ENDSEC", 9, "$INSUNITS", 70, 1, 0, "ENDSEC") +
			section("ENTITIES", circle(0, 0, 1)) + groups(0, "EOF"), math.Pi * 25.4 * 25.4, 0},
	} {
		d := mustRead(t, c.text, dxfin.Options{})
		area, open := 0.0, 0.0
		for _, r := range d.Regions {
			area += r.Shape.Area()
			for _, l := range r.Lines {
				open += l.Length()
			}
		}
		// A chord's polygon may miss a strip of the flattening along the outline.
		if slack := flattening * math.Sqrt(4*math.Pi*c.area); math.Abs(area-c.area) > slack+0.01 || math.Abs(open-c.open) > 0.01 {
			t.Errorf("%s: area %.3f and length %.3f, want %.3f and %.3f", c.name, area, open, c.area, c.open)
		}
	}
}

// A spline on a circle: every point of the flattened line lies on it, every
// middle of a chord within the flattening (a circle is a rational quadratic spline
// exactly: Piegl and Tiller, The NURBS Book, section 7.5).
func TestSplineKeepsItsTolerance(t *testing.T) {
	const r = 80.0
	quarter := groups(0, "SPLINE", 70, 4, 71, 2, 40, 0, 40, 0, 40, 0, 40, 1, 40, 1, 40, 1, 41, 1, 41, math.Sqrt(0.5), 41, 1) +
		groups(10, r, 20, 0, 10, r, 20, r, 10, 0, 20, r)
	d := mustRead(t, drawing(quarter), dxfin.Options{})
	l := d.Regions[0].Lines[0]
	centre := geom.Point{X: 0, Y: r} // y down: the quarter spans 0 to r both ways
	for i := 1; i < len(l); i++ {
		if off := math.Abs(l[i].Dist(centre) - r); off > 1e-9 {
			t.Errorf("point %d lies %.2g mm off the circle", i, off)
		}
		if off := r - l[i].Lerp(l[i-1], 0.5).Dist(centre); off > flattening {
			t.Errorf("chord %d leaves the circle by %.4f mm", i, off)
		}
	}
	if want := r * math.Pi / 2; math.Abs(l.Length()-want) > 0.001*want {
		t.Errorf("length %.3f, want %.3f", l.Length(), want)
	}
}

func TestEmptyFaultReadsWell(t *testing.T) {
	text := section("ENTITIES") + groups(0, "EOF")
	_, err := dxfin.Read(strings.NewReader(text), dxfin.Options{})
	if err == nil || !strings.Contains(err.Error(), "model space. the drawing does not say its unit") {
		t.Errorf("%v", err)
	}
}
