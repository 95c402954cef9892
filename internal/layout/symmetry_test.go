package layout_test

import (
	"math"
	"slices"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/layout"
)

// Shapes whose symmetry follows from how they are drawn get layouts with the same:
// every stone's image is a stone (within 0.02 mm, the measure of evenness to the
// eye that common practice asks of a mirrored badge).
func TestLayoutsKeepTheSymmetryOfTheArtwork(t *testing.T) {
	mirror := geom.Scale(-1, 1)
	cases := []struct {
		name string
		maps []geom.Affine
	}{
		{"heart", []geom.Affine{mirror}},
		{"star", []geom.Affine{mirror, geom.Rotate(2 * math.Pi / 5), geom.Rotate(4 * math.Pi / 5)}},
		{"disc", []geom.Affine{mirror}},
		{"ring", []geom.Affine{mirror}},
		{"tee", []geom.Affine{mirror}},
		{"crescent", []geom.Affine{geom.Scale(1, -1)}},
		{"wedge", []geom.Affine{geom.Scale(1, -1)}},
		{"two", []geom.Affine{mirror}},
	}
	turned := geom.Translate(31.7, -12.9).Mul(geom.Rotate(0.61)) // the page does not matter
	for _, c := range cases {
		places := []geom.Affine{geom.Identity(), turned}
		if c.name == "disc" || c.name == "ring" { // every line through the middle is a mirror: the upright one is kept
			places = places[:1]
		}
		for _, place := range places {
			back, _ := place.Inverse()
			for _, effort := range []layout.Effort{layout.Live, layout.Final} {
				res := run(t, layout.Request{Effort: effort, Regions: []layout.Region{{
					ID: c.name, Shape: shapes()[c.name].Transform(place), Bed: design.Comb, Size: "SS10", Diameter: 2.9, Gap: 0.9,
				}}})
				for i, m := range c.maps {
					if off := farthestImage(res.Stones, place.Mul(m).Mul(back)); off > 0.02 {
						t.Errorf("%s, map %d, effort %d: a stone's image lies %.3f mm from any stone", c.name, i, effort, off)
					}
				}
			}
		}
	}
}

// A broad shape with a mirror, or with the four of a square, which no honeycomb has,
// is filled as densely as one without: not much under what a honeycomb holds, whose
// density 2/√3 to the square of the pitch no packing exceeds (Thue, Norske Vid. Selsk.
// Skr. 1, 1910).
func TestSymmetricBedsAreFull(t *testing.T) {
	for name, shape := range map[string]geom.Shape{
		"heart":  shapes()["heart"].Transform(geom.Scale(2, 2)),
		"disc":   shapes()["disc"].Transform(geom.Scale(2, 2)),
		"square": rectangle(140, 140),
	} {
		const diameter, gap = 2.1, 0.8
		res := run(t, layout.Request{Effort: layout.Live, Regions: []layout.Region{{
			ID: name, Shape: shape, Bed: design.Comb, Treatment: []design.Treatment{design.Rim, design.Bed}, Size: "SS6", Diameter: diameter, Gap: gap,
		}}})
		room := geom.Inset(shape, diameter/2, 0.002).Area() * 2 / math.Sqrt(3) / (diameter + gap) / (diameter + gap)
		if n := float64(len(res.Stones)); n < 0.92*room {
			t.Errorf("%s: %g stones where a honeycomb has %.0f", name, n, room)
		}
	}
}

// farthestImage gives how far the image of a stone can lie from the nearest stone
// of its kind.
func farthestImage(stones []design.Stone, m geom.Affine) float64 {
	worst := 0.0
	for _, s := range stones {
		q := m.Apply(geom.Point{X: s.X, Y: s.Y})
		near := math.Inf(1)
		for _, o := range stones {
			if o.Size == s.Size && o.Colour == s.Colour {
				near = math.Min(near, math.Hypot(o.X-q.X, o.Y-q.Y))
			}
		}
		worst = math.Max(worst, near)
	}
	return worst
}

// A ring too narrow for two rows gets one in equal steps all the way round, as many as
// there is room for: chords of 2R·sin(π/n) are no shorter than the pitch p up to
// n = ⌊π/asin(p/2R)⌋ (Euclid IV). Its mirror leaves no opening, for odd numbers either.
func TestNarrowRingIsEvenAllTheWayRound(t *testing.T) {
	const diameter, gap, wide = 2.9, 0.9, 3.4
	odd := 0
	for _, radius := range []float64{9, 14.2, 23, 31.5, 40, 57.3} {
		circle := func(r float64) geom.Ring {
			return ring(720, func(t float64) (float64, float64) { return r * math.Cos(t), r * math.Sin(t) })
		}
		res := run(t, layout.Request{Regions: []layout.Region{{
			ID: "ring", Shape: geom.Fill([]geom.Ring{circle(radius + wide/2), circle(radius - wide/2)}, geom.EvenOdd),
			Bed: design.Comb, Size: "SS10", Diameter: diameter, Gap: gap,
		}}})
		want := int(math.Pi / math.Asin((diameter+gap)/(2*radius)))
		odd += want % 2
		if len(res.Stones) != want {
			t.Errorf("radius %g: %d stones, want %d", radius, len(res.Stones), want)
		}
		at := make([]float64, len(res.Stones))
		for i, s := range res.Stones {
			at[i] = math.Atan2(s.Y, s.X)
		}
		slices.Sort(at)
		for i, a := range at {
			if step := math.Mod(at[(i+1)%len(at)]-a+2*math.Pi, 2*math.Pi) * float64(want) / (2 * math.Pi); math.Abs(step-1) > 0.01 {
				t.Errorf("radius %g: the step after stone %d is %.3f of an even one", radius, i, step)
			}
		}
	}
	if odd == 0 {
		t.Error("no ring of an odd number of stones was tried")
	}
}
