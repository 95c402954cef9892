package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

// star is a ring with jagged radii round a centre.
func star(rnd *rand.Rand, centre Point, n int, low, high float64) Ring {
	r := make(Ring, n)
	for i := range r {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		d := low + (high-low)*rnd.Float64()
		r[i] = Point{centre.X + d*cos, centre.Y + d*sin}
	}
	return r
}

// slowNearest tries every edge: the definition of the distance to an outline.
func slowNearest(s Shape, p Point) float64 {
	best := math.Inf(1)
	for _, r := range s.Rings {
		for i, a := range r {
			e := side{a: a, b: r[(i+1)%len(r)]}
			best = math.Min(best, math.Sqrt(e.dist2(p)))
		}
	}
	return best
}

func slowInside(s Shape, p Point) bool {
	n := 0
	for _, r := range s.Rings {
		n += r.winding(p)
	}
	return n != 0
}

func TestBoundaryAgreesWithEveryEdge(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	for round := range 60 {
		var rings []Ring
		for range 1 + round%4 {
			c := Point{100 * rnd.Float64(), 100 * rnd.Float64()}
			rings = append(rings, star(rnd, c, 3+rnd.IntN(200), 5, 30))
		}
		s := Fill(rings, EvenOdd)
		b := NewBoundary(s)
		for range 200 {
			p := Point{300*rnd.Float64() - 100, 300*rnd.Float64() - 100}
			hit, want := b.Nearest(p), slowNearest(s, p)
			if math.Abs(hit.Dist-want) > 1e-9 || math.Abs(hit.Point.Dist(p)-want) > 1e-9 {
				t.Fatalf("round %d: Nearest(%v) = %+v, every edge says %v", round, p, hit, want)
			}
			ring := s.Rings[hit.Ring]
			if q := ring[hit.Edge].Lerp(ring[(hit.Edge+1)%len(ring)], hit.T); q.Dist(hit.Point) > 1e-9 {
				t.Fatalf("round %d: the hit %+v is not on its edge", round, hit)
			}
			if in := slowInside(s, p); in != b.Inside(p) || in != (b.Depth(p) > 0) {
				t.Fatalf("round %d: Inside(%v) = %v, Depth %v, want %v", round, p, b.Inside(p), b.Depth(p), in)
			}
			if b.Within(p, want*0.999) || !b.Within(p, want*1.001+1e-9) {
				t.Fatalf("round %d: Within is wrong near %v of %v", round, want, p)
			}
		}
	}
}

func TestBoundaryDegenerate(t *testing.T) {
	empty := NewBoundary(Shape{})
	if h := empty.Nearest(Point{}); !math.IsInf(h.Dist, 1) || h.Ring != -1 {
		t.Errorf("empty: %+v", h)
	}
	if empty.Inside(Point{}) || empty.Within(Point{}, 1e9) || !math.IsInf(empty.Depth(Point{}), -1) {
		t.Error("the empty area has an inside")
	}
	lines := NewLineBoundary([]Line{{{0, 0}, {10, 0}}, {{5, 5}}, {}})
	if h := lines.Nearest(Point{4, 1}); h.Dist != 1 || h.Ring != 0 || h.T != 0.4 {
		t.Errorf("line: %+v", h)
	}
	if h := lines.Nearest(Point{5, 4}); h.Dist != 1 || h.Ring != 1 {
		t.Errorf("lone point: %+v", h)
	}
	if lines.Inside(Point{5, 2}) || lines.Depth(Point{5, 2}) > 0 {
		t.Error("an open line has an inside")
	}
	if h := lines.Nearest(Point{math.NaN(), 0}); h.Ring != -1 {
		t.Errorf("NaN: %+v", h)
	}
	if h := lines.Nearest(Point{1e12, -1e12}); math.IsInf(h.Dist, 1) || h.Ring != 0 {
		t.Errorf("far: %+v", h)
	}
}

func BenchmarkBoundaryNearest(b *testing.B) {
	rnd := rand.New(rand.NewPCG(1, 2))
	bound := NewBoundary(Fill([]Ring{star(rnd, Point{50, 50}, 500, 20, 50)}, NonZero))
	points := make([]Point, 1024)
	for i := range points {
		points[i] = Point{100 * rnd.Float64(), 100 * rnd.Float64()}
	}
	for i := 0; b.Loop(); i++ {
		bound.Nearest(points[i%len(points)])
	}
}

func BenchmarkBoundaryDepth(b *testing.B) {
	rnd := rand.New(rand.NewPCG(1, 2))
	bound := NewBoundary(Fill([]Ring{star(rnd, Point{50, 50}, 500, 20, 50)}, NonZero))
	points := make([]Point, 1024)
	for i := range points {
		points[i] = Point{100 * rnd.Float64(), 100 * rnd.Float64()}
	}
	for i := 0; b.Loop(); i++ {
		bound.Depth(points[i%len(points)])
	}
}
