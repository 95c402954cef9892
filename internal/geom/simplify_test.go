package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestSimplifyKeepsWithinTolerance(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	for round := range 100 {
		ring := star(rnd, Point{}, 3+rnd.IntN(300), 20, 20+float64(round)*0.05)
		tol := 0.01 + rnd.Float64()
		short := SimplifyRing(ring, tol)
		if len(short) < 3 || len(short) > len(ring) {
			t.Fatalf("round %d: %d points from %d", round, len(short), len(ring))
		}
		b := NewLineBoundary([]Line{append(append(Line(nil), short...), short[0])})
		line := SimplifyLine(Line(ring), tol)
		bl := NewLineBoundary([]Line{line})
		for _, p := range ring {
			if d := b.Nearest(p).Dist; d > tol+1e-9 {
				t.Fatalf("round %d: a point of the ring is left %v away, over %v", round, d, tol)
			}
			if d := bl.Nearest(p).Dist; d > tol+1e-9 {
				t.Fatalf("round %d: a point of the line is left %v away, over %v", round, d, tol)
			}
		}
		if line[0] != ring[0] || line[len(line)-1] != ring[len(ring)-1] {
			t.Fatalf("round %d: the ends of the line moved", round)
		}
	}
}

func TestSimplifyDegenerate(t *testing.T) {
	square := Ring{{0, 0}, {5, 0}, {10, 0}, {10, 10}, {0, 10}}
	if got := SimplifyRing(square, 0.1); len(got) != 4 || got.Area() != 100 {
		t.Errorf("square: %v", got)
	}
	if got := SimplifyRing(square, 1e6); len(got) != 3 || got.Area() <= 0 {
		t.Errorf("never below three points, and never turned round: %v", got)
	}
	same := Ring{{1, 1}, {1, 1}, {1, 1}, {1, 1}}
	if got := SimplifyRing(same, 1); len(got) != 3 {
		t.Errorf("one place: %v", got)
	}
	if got := SimplifyLine(Line{{0, 0}, {1, 5}, {2, 0}}, 100); len(got) != 2 {
		t.Errorf("line: %v", got)
	}
	if got := SimplifyLine(nil, 1); len(got) != 0 {
		t.Errorf("nothing: %v", got)
	}
}

func TestPath(t *testing.T) {
	p := NewPath([]Point{{0, 0}, {3, 0}, {3, 0}, {3, 4}}, false)
	if p.Length() != 7 || p.At(5) != (Point{3, 2}) || p.At(-1) != (Point{0, 0}) || p.At(99) != (Point{3, 4}) {
		t.Errorf("open: %v %v %v %v", p.Length(), p.At(5), p.At(-1), p.At(99))
	}
	if p.Tangent(1) != (Point{1, 0}) || p.Tangent(3) != (Point{0, 1}) || p.Tangent(7) != (Point{0, 1}) {
		t.Errorf("tangents: %v %v %v", p.Tangent(1), p.Tangent(3), p.Tangent(7))
	}
	if s, d := p.Project(Point{5, 1}); s != 4 || d != 2 {
		t.Errorf("Project = %v %v", s, d)
	}
	if l := p.Between(1, 5); len(l) != 3 || l[1] != (Point{3, 0}) || l[2] != (Point{3, 2}) {
		t.Errorf("Between = %v", l)
	}
	r := NewPath([]Point{{0, 0}, {3, 0}, {3, 4}}, true)
	if r.Length() != 12 || r.At(12+1) != (Point{1, 0}) || r.At(-5).Dist(Point{3, 4}) > 1e-12 {
		t.Errorf("closed: %v %v %v", r.Length(), r.At(13), r.At(-5))
	}
	for _, q := range []*Path{NewPath(nil, true), NewPath([]Point{{2, 2}}, true), NewPath([]Point{{2, 2}, {2, 2}}, false)} {
		if q.Length() != 0 || q.At(3) != q.At(0) || q.Tangent(1) != (Point{}) {
			t.Error("a path without length has a length")
		}
	}
	if s, d := NewPath([]Point{{2, 2}}, false).Project(Point{2, 3}); s != 0 || math.Abs(d-1) > 0 {
		t.Errorf("Project = %v %v", s, d)
	}
}
