package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func somePoint(name string, reach float64) *rapid.Generator[Point] {
	return rapid.Custom(func(t *rapid.T) Point {
		return Point{rapid.Float64Range(-reach, reach).Draw(t, name), rapid.Float64Range(-reach, reach).Draw(t, name)}
	})
}

func someAffine() *rapid.Generator[Affine] {
	return rapid.Custom(func(t *rapid.T) Affine {
		m := Identity()
		angle := rapid.Float64Range(-1.2, 1.2)
		for range rapid.IntRange(0, 4).Draw(t, "maps") {
			p := somePoint("v", 10).Draw(t, "v")
			switch rapid.IntRange(0, 4).Draw(t, "kind") {
			case 0:
				m = m.Mul(Translate(p.X, p.Y))
			case 1:
				m = m.Mul(Scale(p.X, p.Y))
			case 2:
				m = m.Mul(Rotate(angle.Draw(t, "angle")))
			case 3:
				m = m.Mul(SkewX(angle.Draw(t, "angle")))
			default:
				m = m.Mul(SkewY(angle.Draw(t, "angle")))
			}
		}
		return m
	})
}

// TestAffineExamples has the matrices of SVG 1.1 §7.6.
func TestAffineExamples(t *testing.T) {
	for _, c := range []struct {
		name string
		m    Affine
		want Point // of (1, 2)
	}{
		{"translate(3, 4)", Translate(3, 4), Point{4, 6}},
		{"scale(3, 4)", Scale(3, 4), Point{3, 8}},
		{"rotate(90)", Rotate(math.Pi / 2), Point{-2, 1}},
		{"skewX(45)", SkewX(math.Pi / 4), Point{3, 2}},
		{"skewY(45)", SkewY(math.Pi / 4), Point{1, 3}},
		{"translate(3, 4) scale(2)", Translate(3, 4).Mul(Scale(2, 2)), Point{5, 8}},
		{"matrix(1 2 3 4 5 6)", Affine{1, 2, 3, 4, 5, 6}, Point{12, 16}},
	} {
		if got := c.m.Apply(Point{1, 2}); got.Dist(c.want) > 1e-12 {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestAffineLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, n := someAffine().Draw(t, "m"), someAffine().Draw(t, "n")
		p, q := somePoint("p", 100).Draw(t, "p"), somePoint("q", 100).Draw(t, "q")
		if a, b := m.Mul(n).Apply(p), m.Apply(n.Apply(p)); a.Dist(b) > 1e-9*(1+b.Len()) {
			t.Fatalf("m·n gives %v, n then m %v", a, b)
		}
		if grown := m.Apply(p).Dist(m.Apply(q)); grown > m.MaxScale()*p.Dist(q)*(1+1e-9)+1e-9 {
			t.Fatalf("a length %v grows to %v, over MaxScale %v", p.Dist(q), grown, m.MaxScale())
		}
		if m.MeanScale() > m.MaxScale()*(1+1e-9) {
			t.Fatalf("mean scale %v over the largest %v", m.MeanScale(), m.MaxScale())
		}
		if back, ok := m.Inverse(); ok && m.MaxScale() < 1e3*math.Abs(m.Det()) {
			if got := back.Apply(m.Apply(p)); got.Dist(p) > 1e-4 {
				t.Fatalf("there and back %v gives %v", p, got)
			}
		}
	})
	if _, ok := (Affine{A: 1, B: 2, C: 2, D: 4}).Inverse(); ok {
		t.Error("a map that collapses the plane has an inverse")
	}
	s := Fill([]Ring{square(0, 0, 10), square(2, 2, 5)}, EvenOdd)
	if m := s.Transform(Scale(-2, 1)); m.Area() != 150 || len(m.Components()) != 1 {
		t.Errorf("mirrored: %v", m)
	}
	if m := s.Transform(Affine{}); !m.Empty() {
		t.Errorf("collapsed: %v", m)
	}
}
