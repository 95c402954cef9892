package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// farFromChords gives the largest distance of sampled places of a curve from a polyline.
func farFromChords(chords []Point, at func(t float64) Point) float64 {
	b := NewLineBoundary([]Line{chords})
	worst := 0.0
	for i := range 501 {
		worst = math.Max(worst, b.Nearest(at(float64(i)/500)).Dist)
	}
	return worst
}

func TestFlattenKeepsWithinTolerance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SliceOfN(somePoint("p", 100), 4, 4).Draw(t, "points")
		tol := rapid.Float64Range(1e-3, 1).Draw(t, "tol")
		cubic := FlattenCubic([]Point{p[0]}, p[0], p[1], p[2], p[3], tol)
		// Bernstein's form, where the code halves by de Casteljau.
		if d := farFromChords(cubic, func(t float64) Point {
			u := 1 - t
			return p[0].Mul(u * u * u).Add(p[1].Mul(3 * u * u * t)).Add(p[2].Mul(3 * u * t * t)).Add(p[3].Mul(t * t * t))
		}); d > tol+1e-9 {
			t.Fatalf("a cubic is %v from its chords, over %v", d, tol)
		}
		quad := FlattenQuad([]Point{p[0]}, p[0], p[1], p[2], tol)
		if d := farFromChords(quad, func(t float64) Point {
			u := 1 - t
			return p[0].Mul(u * u).Add(p[1].Mul(2 * u * t)).Add(p[2].Mul(t * t))
		}); d > tol+1e-9 {
			t.Fatalf("a quadratic is %v from its chords, over %v", d, tol)
		}
		rx, ry := math.Abs(p[3].X), math.Abs(p[3].Y)
		turn, start, sweep := p[1].X/10, p[1].Y/10, p[2].X/16
		at := func(t float64) Point {
			sin, cos := math.Sincos(start + sweep*t)
			return p[0].Add(Rotate(turn).Apply(Point{rx * cos, ry * sin}))
		}
		arc := FlattenArc([]Point{at(0)}, p[0], rx, ry, turn, start, sweep, tol)
		if d := farFromChords(arc, at); d > tol+1e-9 {
			t.Fatalf("an arc is %v from its chords, over %v", d, tol)
		}
		if end := arc[len(arc)-1]; end.Dist(at(1)) > 1e-9 {
			t.Fatalf("an arc ends %v off", end.Dist(at(1)))
		}
	})
}

func TestFlattenDegenerate(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	o := Point{1, 1}
	if got := FlattenCubic(nil, o, o, o, o, 0.01); len(got) != 1 || got[0] != o {
		t.Errorf("a cubic in one place: %v", got)
	}
	if got := FlattenQuad(nil, o, o, o, 0.01); len(got) != 1 {
		t.Errorf("a quadratic in one place: %v", got)
	}
	if got := EllipticalArc(nil, o, o, 5, 5, 0, true, true, 0.01); len(got) != 0 {
		t.Errorf("an arc between equal ends: %v", got)
	}
	if got := EllipticalArc(nil, o, Point{5, 5}, 0, 5, 0, true, true, 0.01); len(got) != 1 {
		t.Errorf("an arc without a radius: %v", got)
	}
	for _, bad := range []float64{nan, inf, -1, 0, 1e300} {
		p := Point{bad, 0}
		for _, got := range [][]Point{
			FlattenCubic(nil, o, p, Point{0, bad}, Point{3, 3}, bad),
			FlattenQuad(nil, o, p, Point{3, 3}, bad),
			FlattenArc(nil, o, bad, 3, bad, 0, bad, bad),
			EllipticalArc(nil, o, Point{3, 3}, bad, bad, bad, true, false, bad),
			EllipticalArc(nil, p, Point{3, 3}, 1, 1, 0, true, false, 0.01),
		} {
			if len(got) == 0 || len(got) > mostPieces {
				t.Errorf("%v: %d points", bad, len(got))
			}
		}
	}
	if got := FlattenCubic(nil, Point{}, Point{1e6, 0}, Point{0, 1e6}, Point{1e6, 1e6}, 1e-9); len(got) > mostPieces {
		t.Errorf("%d points", len(got))
	}
}
