package geom

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestIndexAgreesWithList moves points about and compares each answer with a plain list.
func TestIndexAgreesWithList(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	x := NewIndex(Box{0, 0, 50, 50}, 3)
	list := map[int]Point{}
	place := func() Point {
		if rnd.IntN(500) == 0 {
			return Point{1e8 * rnd.NormFloat64(), 1e8 * rnd.NormFloat64()}
		}
		return Point{80*rnd.Float64() - 15, 80*rnd.Float64() - 15}
	}
	for step := range 6000 {
		id, p := rnd.IntN(400), place()
		switch rnd.IntN(4) {
		case 0:
			x.Remove(id)
			delete(list, id)
		case 1:
			x.Insert(id, p)
			list[id] = p
		default:
			x.Move(id, p)
			list[id] = p
		}
		q, r := place(), 10*rnd.Float64()
		var got, want []int
		x.Each(q, r, func(id int, _ Point) bool { got = append(got, id); return true })
		near, best := -1, math.Inf(1)
		for id, p := range list {
			if p.Dist2(q) <= r*r {
				want = append(want, id)
			}
			if d := p.Dist(q); id != 7 && (d < best || d == best && id < near) {
				near, best = id, d
			}
		}
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Fatalf("step %d: Each(%v, %v) = %v, want %v", step, q, r, got, want)
		}
		if id, d, ok := x.Nearest(q, math.Inf(1), 7); ok != (near >= 0) || ok && (math.Abs(d-best) > 1e-12*(1+best) || id != near) {
			t.Fatalf("step %d: Nearest = %v %v %v, want %v %v", step, id, d, ok, near, best)
		}
		if _, d, ok := x.Nearest(q, r, 7); ok != (best <= r) || ok && math.Abs(d-best) > 1e-12*(1+best) {
			t.Fatalf("step %d: Nearest within %v = %v %v, want %v", step, r, d, ok, best)
		}
	}
}

func TestIndexDegenerate(t *testing.T) {
	x := NewIndex(EmptyBox(), math.NaN())
	if _, _, ok := x.Nearest(Point{}, math.Inf(1), -1); ok {
		t.Error("an empty index has a nearest point")
	}
	x.Insert(-1, Point{})
	x.Remove(99)
	x.Insert(0, Point{math.NaN(), 1})
	x.Insert(1, Point{math.Inf(1), 1})
	x.Insert(2, Point{5, 5})
	x.Insert(2, Point{6, 6})
	if id, d, ok := x.Nearest(Point{6, 7}, 2, -1); !ok || id != 2 || d != 1 {
		t.Errorf("Nearest = %v %v %v", id, d, ok)
	}
	if _, _, ok := x.Nearest(Point{6, 7}, math.NaN(), -1); ok {
		t.Error("within NaN is nothing")
	}
	x.Remove(0)
	n := 0
	x.Each(Point{}, 100, func(int, Point) bool { n++; return true })
	if n != 1 {
		t.Errorf("%d points near, want 1", n)
	}
}

func BenchmarkIndexEach20000(b *testing.B) {
	rnd := rand.New(rand.NewPCG(1, 2))
	x := NewIndex(Box{0, 0, 500, 500}, 3.5)
	points := make([]Point, 20000)
	for i := range points {
		points[i] = Point{500 * rnd.Float64(), 500 * rnd.Float64()}
		x.Insert(i, points[i])
	}
	n := 0
	for b.Loop() {
		for _, p := range points {
			x.Each(p, 3.5, func(int, Point) bool { n++; return true })
		}
	}
}
