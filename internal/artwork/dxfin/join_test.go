package dxfin_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"brushfall/internal/artwork/dxfin"
	"brushfall/internal/geom"
)

// Whatever the order and direction of its sides, and however their ends miss each
// other under the tolerance, a polygon is one area: the shoelace formula's.
func TestJoinInAnyOrder(t *testing.T) {
	const n, r, miss = 17, 60.0, 0.03
	rng := rand.New(rand.NewPCG(1, 2))
	corner := func(i int) geom.Point {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		return geom.Point{X: r * cos, Y: r * sin}
	}
	off := func() float64 { return (rng.Float64() - 0.5) * miss }
	want := 0.5 * n * r * r * math.Sin(2*math.Pi/n)
	for range 30 {
		var sides []string
		for i := range n {
			a, b := corner(i), corner(i+1)
			if rng.IntN(2) == 0 {
				a, b = b, a
			}
			sides = append(sides, line(a.X+off(), a.Y+off(), b.X+off(), b.Y+off(), 8, "HULL"))
		}
		rng.Shuffle(n, func(i, j int) { sides[i], sides[j] = sides[j], sides[i] })
		d := mustRead(t, drawing(sides...), dxfin.Options{})
		if len(d.Regions) != 1 || d.Regions[0].Open() || len(d.Warnings) > 0 {
			t.Fatalf("%d regions, %v; want one area", len(d.Regions), d.Warnings)
		}
		if got := d.Regions[0].Shape.Area(); math.Abs(got-want) > miss*2*math.Pi*r {
			t.Errorf("area %.2f, want %.2f", got, want)
		}
	}
}

// A gap over the tolerance keeps the outline open, and says so; the option closes it.
func TestGap(t *testing.T) {
	text := drawing(line(0, 0, 40, 0), line(40, 0, 40, 30), line(40, 30, 0, 0.3))
	d := mustRead(t, text, dxfin.Options{})
	if len(d.Regions) != 1 || !d.Regions[0].Open() || !warned(d, "dxf-gap", "0.30 mm apart") {
		t.Errorf("with a gap of 0.3 mm: %+v, %v", d.Regions, d.Warnings)
	}
	d = mustRead(t, text, dxfin.Options{JoinTolerance: 0.5})
	if len(d.Regions) != 1 || d.Regions[0].Open() || math.Abs(d.Regions[0].Shape.Area()-600) > 6 {
		t.Errorf("with a tolerance of 0.5 mm: %+v", d.Regions)
	}
}

// Ends are joined on their own layer and in their own colour only.
func TestJoinKeepsLayersApart(t *testing.T) {
	d := mustRead(t, drawing(line(0, 0, 10, 0, 8, "A"), line(10, 0, 10, 10, 8, "B"), line(10, 10, 0, 0, 8, "A", 62, 1)), dxfin.Options{})
	if len(d.Regions) != 3 {
		t.Errorf("%d regions, want three open lines", len(d.Regions))
	}
}

func TestJunctionIsTold(t *testing.T) {
	d := mustRead(t, drawing(line(0, 0, 10, 0), line(10, 0, 20, 10), line(10, 0, 20, -10)), dxfin.Options{})
	if !warned(d, "dxf-junction", "more than two ends") || len(d.Regions) != 2 {
		t.Errorf("three ends in one place: %d regions, %v", len(d.Regions), d.Warnings)
	}
}

// Worked by hand: a star of lines all from one point has more ends there than are looked at.
func TestManyEndsInOnePlace(t *testing.T) {
	var rays []string
	for i := range 500 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 500)
		rays = append(rays, line(0, 0, 100*cos, 100*sin))
	}
	d := mustRead(t, drawing(rays...), dxfin.Options{})
	total := 0.0
	for _, r := range d.Regions {
		for _, l := range r.Lines {
			total += l.Length()
		}
	}
	if math.Abs(total-500*100) > 0.1 {
		t.Errorf("%.2f mm of line, want 50000", total)
	}
}

// A line there and back encloses nothing and stays a line.
func TestThereAndBack(t *testing.T) {
	d := mustRead(t, drawing(line(0, 0, 10, 0), line(10, 0, 20, 0), line(20, 0, 0, 0)), dxfin.Options{})
	if len(d.Regions) != 1 || !d.Regions[0].Open() {
		t.Errorf("%+v, want one line", d.Regions)
	}
}

// The owner can find the element that a region comes from: the ring's own circle.
func TestRegionsSayWhere(t *testing.T) {
	text := drawing(circle(0, 0, 5, 5, "A1", 8, "STARS"), circle(30, 0, 5, 5, "A2", 8, "stars"), line(50, 0, 60, 0, 5, "A3", 8, "Big stars"))
	d := mustRead(t, text, dxfin.Options{})
	want := []struct{ id, element, where string }{
		{"stars-1", "A1", "line 15, CIRCLE A1 on layer STARS"}, {"stars-2", "A2", "line 27, CIRCLE A2 on layer stars"}, {"big-stars-1", "A3", "line 39, LINE A3 on layer Big stars"},
	}
	if len(d.Regions) != len(want) {
		t.Fatalf("%d regions, want %d", len(d.Regions), len(want))
	}
	for i, w := range want {
		if r := d.Regions[i]; r.ID != w.id || r.Element != w.element || r.Where != w.where {
			t.Errorf("region %d is %s, %s, %q; want %+v", i, r.ID, r.Element, r.Where, w)
		}
	}
}

// The picture stands upright: what lies high in the drawing lies near y = 0.
func TestUpright(t *testing.T) {
	d := mustRead(t, drawing(circle(0, 0, 1, 5, "LOW"), circle(10, 100, 1, 5, "HIGH")), dxfin.Options{})
	for _, r := range d.Regions {
		if b := r.Shape.Bounds(); (r.Element == "HIGH") != (b.MinY < 1) {
			t.Errorf("%s lies from y %.1f to %.1f", r.Element, b.MinY, b.MaxY)
		}
	}
}

func TestLongListsOfWarningsAreCounted(t *testing.T) {
	d := mustRead(t, drawing(circle(0, 0, 5), strings.Repeat(groups(0, "TEXT", 1, "HERON"), 500)), dxfin.Options{})
	if len(d.Warnings) != 21 || !warned(d, "dxf-text", "and 480 more") {
		t.Errorf("%d warnings: %v", len(d.Warnings), d.Warnings[len(d.Warnings)-1])
	}
}
