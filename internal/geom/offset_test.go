package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestInsetByHand checks figures whose parallel curves are known: Steiner's formula,
// A(d) = A + P·d + π·d² for growing a convex figure, and A − P·d + 4·d² for a
// rectangle inset.
func TestInsetByHand(t *testing.T) {
	s := Fill([]Ring{square(0, 0, 10)}, NonZero)
	frame := Fill([]Ring{square(0, 0, 30), square(10, 10, 10)}, EvenOdd)
	slot := Fill([]Ring{{{0, 0}, {20, 0}, {20, 2}, {0, 2}}}, NonZero)
	for _, c := range []struct {
		name string
		s    Shape
		d    float64
		area float64
	}{
		{"a square", s, 2, 36},
		{"a square to nothing", s, 5, 0},
		{"a square past nothing", s, 6, 0},
		{"a square past its corners", s, 7.1, 0},
		{"a square grown", s, -2, 100 + 80 + 4*math.Pi},
		{"a square grown far", s, -50, 100 + 2000 + 2500*math.Pi},
		{"not at all", s, 0, 100},
		{"a frame", frame, 2, 26*26 - (100 + 80 + 4*math.Pi)},
		{"a frame filled up", frame, -5, 900 + 600 + 25*math.Pi},
		{"a frame past filled up", frame, -8, 900 + 960 + 64*math.Pi},
		{"a frame's corners", frame, 5.5, 4 * cornerLeft(10, 5.5)},
		{"a slot of just that width", slot, 1, 0},
		{"no shape", Shape{}, 1, 0},
		{"no number", s, math.NaN(), 0},
		{"infinite", s, math.Inf(-1), 0},
	} {
		if got := Inset(c.s, c.d, 0.002).Area(); math.Abs(got-c.area) > 0.001*c.area+1e-6 {
			t.Errorf("%s by %v: %v, want %v", c.name, c.d, got, c.area)
		}
	}
}

// cornerLeft is the area left in the corner of a frame of width w, hole corner at
// (w, w), at least d from both outlines, for w/2 < d: the part of the square from
// (d, d) to (w, w) farther than d from (w, w). Found by summing strips.
func cornerLeft(w, d float64) float64 {
	const n = 1_000_000
	side, sum := w-d, 0.0
	for i := range n {
		x := (float64(i) + 0.5) / n * side // from the hole's corner outwards
		y := math.Sqrt(math.Max(0, d*d-x*x))
		sum += math.Max(0, side-y)
	}
	return sum * side / n
}

// TestInsetSoup checks jagged and touching shapes against the plain distance, on
// both sides of the border: what is left is deep enough, what is gone is not.
func TestInsetSoup(t *testing.T) {
	rnd := rand.New(rand.NewPCG(11, 12))
	for i, rings := range soups(rnd, 60, 10) {
		s := Fill(rings, EvenOdd)
		b := NewBoundary(s)
		size := math.Max(s.Bounds().Width(), 0.01)
		for _, d := range []float64{size / 100, size / 10, -size / 20} {
			in := Inset(s, d, 0.002)
			if !insetHolds(s, in, d, 0.002) {
				t.Fatalf("soup %d inset by %v does not hold", i, d)
			}
			bi := NewBoundary(in)
			for range 200 {
				p := Point{size * (3*rnd.Float64() - 1), size * (3*rnd.Float64() - 1)}
				depth := b.Depth(p)
				if math.Abs(depth-d) > 0.0025 && bi.Inside(p) != (depth > d) {
					t.Fatalf("soup %d inset by %v: the point %v at depth %v is inside: %v", i, d, p, depth, bi.Inside(p))
				}
			}
		}
	}
}

// TestInsetNeedsNoSecondWay sees that the winding numbers alone do for real outlines,
// and that the certain way, by strokes, gives the same areas.
func TestInsetNeedsNoSecondWay(t *testing.T) {
	for i, c := range icons(t) {
		for _, d := range []float64{0.7, 1.45, 3, -1} {
			quick := insetQuickly(c.shape, d, 0.002)
			if !insetHolds(c.shape, quick, d, 0.002) {
				t.Errorf("%s by %v: the quick way comes too near", c.name, d)
			}
			if i%10 != 0 {
				continue
			}
			a, b := quick.Area(), insetByStroke(c.shape, d, 0.002).Area()
			if math.Abs(a-b) > 0.003*b+0.01 {
				t.Errorf("%s by %v: %v, by strokes %v", c.name, d, a, b)
			}
		}
	}
}

func TestInsetDoesNotMindDirection(t *testing.T) {
	for i, c := range icons(t) {
		if i%10 != 3 {
			continue
		}
		want := Inset(c.shape, 1.45, 0.002).Area()
		for how, m := range map[string]Affine{
			"mirrored": Scale(-1, 1), "moved": Translate(31.123456, -77.7), "turned": Rotate(1),
		} {
			if got := Inset(c.shape.Transform(m), 1.45, 0.002).Area(); math.Abs(got-want) > 0.001*want+0.002 {
				t.Errorf("%s %s: %v, before %v", c.name, how, got, want)
			}
		}
	}
}

func FuzzInset(f *testing.F) {
	for i, s := range fuzzSeeds {
		f.Add(s, float64(i)/3-0.5)
	}
	f.Fuzz(func(t *testing.T, data []byte, d float64) {
		s := Fill(ringsOf(data), NonZero)
		in := Inset(s, d, 0.01)
		if d > 0 && in.Area() > s.Area() {
			t.Errorf("inset by %v the area rises from %v to %v", d, s.Area(), in.Area())
		}
		if box := s.Bounds(); math.Abs(d) < 1e3 && math.Abs(box.MinX)+math.Abs(box.MaxX)+math.Abs(box.MinY)+math.Abs(box.MaxY) < 2000 {
			if !insetHolds(s, in, d, 0.01) {
				t.Errorf("inset by %v does not hold", d)
			}
		}
	})
}
