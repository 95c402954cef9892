package geom

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
)

// square is a ring of positive area.
func square(x, y, side float64) Ring {
	return Ring{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}}
}

func TestFillByHand(t *testing.T) {
	for _, c := range []struct {
		name  string
		rings []Ring
		rule  FillRule
		area  float64
		count int
	}{
		{"nothing", nil, NonZero, 0, 0},
		{"a square", []Ring{square(0, 0, 10)}, NonZero, 100, 1},
		{"the same square twice", []Ring{square(0, 0, 10), square(0, 0, 10)}, NonZero, 100, 1},
		{"the same square twice", []Ring{square(0, 0, 10), square(0, 0, 10)}, EvenOdd, 0, 0},
		{"a square in a square", []Ring{square(0, 0, 10), square(2, 2, 3)}, NonZero, 100, 1},
		{"a square in a square", []Ring{square(0, 0, 10), square(2, 2, 3)}, EvenOdd, 91, 2},
		{"squares side by side", []Ring{square(0, 0, 10), square(10, 0, 10)}, EvenOdd, 200, 1},
		{"squares that touch in a corner", []Ring{square(0, 0, 10), square(10, 10, 10)}, NonZero, 200, 2},
		{"squares that overlap", []Ring{square(0, 0, 10), square(5, 5, 10)}, EvenOdd, 150, 2},
		{"a bow tie", []Ring{{{0, 0}, {10, 10}, {10, 0}, {0, 10}}}, NonZero, 50, 2},
		{"a hole that touches the outline", []Ring{square(0, 0, 10), {{0, 0}, {3, 6}, {6, 3}}}, EvenOdd, 100 - 13.5, 2},
		{"a spike", []Ring{{{0, 0}, {10, 0}, {20, 0}, {10, 0}, {10, 10}, {0, 10}}}, NonZero, 100, 1},
		{"a ring there and back", []Ring{{{0, 0}, {10, 0}, {10, 10}, {10, 0}}}, NonZero, 0, 0},
		{"points repeated", []Ring{{{0, 0}, {0, 0}, {10, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}}, NonZero, 100, 1},
		{"not a number", []Ring{{{0, 0}, {math.NaN(), 0}, {10, 10}}, square(0, 0, 1)}, NonZero, 1, 1},
		{"infinite", []Ring{{{0, 0}, {math.Inf(1), 0}, {10, 10}}, square(0, 0, 1)}, NonZero, 1, 1},
		{"one point", []Ring{{{1, 1}}, {}, {{1, 1}, {2, 2}}}, NonZero, 0, 0},
		{"too thin", []Ring{{{0, 0}, {10, 0}, {10, 1e-5}, {0, 1e-5}}}, NonZero, 0, 0},
		{"far off", []Ring{square(4096*100, -4096*100, 4096)}, NonZero, 4096 * 4096, 1},
	} {
		s := Fill(c.rings, c.rule)
		if math.Abs(s.Area()-c.area) > 1e-3+1e-6*c.area || len(s.Rings) != c.count {
			t.Errorf("%s by rule %d: area %v in %d rings, want %v in %d", c.name, c.rule, s.Area(), len(s.Rings), c.area, c.count)
		}
	}
}

func TestBooleansByHand(t *testing.T) {
	a, b := Fill([]Ring{square(0, 0, 10)}, NonZero), Fill([]Ring{square(5, 5, 10)}, NonZero)
	for _, c := range []struct {
		name string
		s    Shape
		area float64
	}{
		{"union", Union(a, b), 175},
		{"intersection", Intersect(a, b), 25},
		{"difference", Subtract(a, b), 75},
		{"union of nothing", Union(), 0},
		{"with nothing", Union(a, Shape{}), 100},
		{"less nothing", Subtract(a, Shape{}), 100},
		{"nothing less", Subtract(Shape{}, a), 0},
		{"less itself", Subtract(a, a), 0},
		{"with itself", Intersect(a, a), 100},
	} {
		if math.Abs(c.s.Area()-c.area) > 1e-9 {
			t.Errorf("%s: %v, want %v", c.name, c.s.Area(), c.area)
		}
	}
}

func TestComponents(t *testing.T) {
	s := Fill([]Ring{square(0, 0, 30), square(2, 2, 26), square(5, 5, 10), square(7, 7, 3), square(40, 0, 5)}, EvenOdd)
	parts := s.Components()
	var got []string
	for _, p := range parts {
		got = append(got, fmt.Sprintf("%d rings %g mm²", len(p.Rings), p.Area()))
	}
	if want := []string{"2 rings 224 mm²", "2 rings 91 mm²", "1 rings 25 mm²"}; !reflect.DeepEqual(got, want) {
		t.Errorf("parts %v, want %v", got, want)
	}
}

// soups gives rings of all kinds: jagged stars, random walks, rings on a coarse grid
// where nearly all meet in the same points and along the same lines; each of up to
// most points.
func soups(rnd *rand.Rand, n, most int) [][]Ring {
	var out [][]Ring
	for i := range n {
		var rings []Ring
		for range 1 + rnd.IntN(4) {
			switch k := 3 + rnd.IntN(most-2); i % 4 {
			case 0:
				rings = append(rings, star(rnd, Point{40 * rnd.Float64(), 40 * rnd.Float64()}, k, 1, 40))
			case 1:
				rings = append(rings, scatter(k, func() float64 { return 60 * rnd.Float64() }))
			case 2:
				rings = append(rings, scatter(k, func() float64 { return float64(rnd.IntN(7)) }))
			default: // A few hundred grid steps across: every crossing is rounded far.
				rings = append(rings, scatter(k, func() float64 { return float64(rnd.IntN(300)) * 1e-5 * 16 }))
			}
		}
		out = append(out, rings)
	}
	return out
}

func scatter(n int, at func() float64) Ring {
	r := make(Ring, n)
	for i := range r {
		r[i] = Point{at(), at()}
	}
	return r
}

// TestFillSoupAgainstGEOS checks areas and that every part is a valid polygon.
func TestFillSoupAgainstGEOS(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 8))
	var cases []geosCase
	for i, rings := range soups(rnd, 240, 12) {
		rule := FillRule(i / 4 % 2)
		s := Fill(rings, rule)
		cases = append(cases, geosCase{
			Op: "fill", name: fmt.Sprintf("soup %d", i), Raw: rawRings(rings), EvenOdd: rule == EvenOdd,
			Result: polygons(s), area: s.Area(),
		})
		again := Fill(s.Rings, EvenOdd)
		if !reflect.DeepEqual(again, s) || !reflect.DeepEqual(Fill(s.Rings, NonZero), s) {
			t.Errorf("soup %d: filled again it has area %v in %d rings, before %v in %d", i, again.Area(), len(again.Rings), s.Area(), len(s.Rings))
		}
	}
	for i, a := range askGEOS(t, cases) {
		agree(t, cases[i], a, 1e-4, 2e-4)
	}
}

// TestFillDoesNotMindDirection turns, mirrors, moves and shuffles the same rings.
func TestFillDoesNotMindDirection(t *testing.T) {
	rnd := rand.New(rand.NewPCG(9, 10))
	for i, rings := range soups(rnd, 160, 40) {
		for _, rule := range []FillRule{NonZero, EvenOdd} {
			want := Fill(rings, rule)
			near := func(how string, got Shape) {
				t.Helper()
				if math.Abs(got.Area()-want.Area()) > 2e-5*(1+want.Perimeter()) {
					t.Errorf("soup %d %s: area %v, before %v", i, how, got.Area(), want.Area())
				}
			}
			if got := Fill(shuffled(rnd, rings), rule); !reflect.DeepEqual(got, want) {
				t.Errorf("soup %d: other starts and order, other result: %v, before %v", i, got.Area(), want.Area())
			}
			near("reversed", Fill(mapped(rings, func(p Point) Point { return p }, true), rule))
			near("mirrored", Fill(mapped(rings, func(p Point) Point { return Point{-p.X, p.Y} }, false), rule))
			near("moved", Fill(mapped(rings, func(p Point) Point { return p.Add(Point{31.123456, -77.7}) }, false), rule))
			near("turned", Fill(mapped(rings, Rotate(1).Apply, false), rule))
			near("transformed", want.Transform(Translate(3, 4).Mul(Scale(-1, 1)).Mul(Rotate(2))))
		}
	}
}

func mapped(rings []Ring, f func(Point) Point, reverse bool) []Ring {
	out := make([]Ring, len(rings))
	for i, r := range rings {
		out[i] = make(Ring, len(r))
		for k, p := range r {
			if reverse {
				k = len(r) - 1 - k
			}
			out[i][k] = f(p)
		}
	}
	return out
}

func shuffled(rnd *rand.Rand, rings []Ring) []Ring {
	out := make([]Ring, len(rings))
	for i, k := range rnd.Perm(len(rings)) {
		start := rnd.IntN(len(rings[i]))
		out[k] = append(append(Ring(nil), rings[i][start:]...), rings[i][:start]...)
	}
	return out
}

// ringsOf reads coordinates from bytes: whole numbers, so that much coincides, and
// marks for what is not a number.
func ringsOf(data []byte) []Ring {
	rings := []Ring{nil}
	for i := 0; i+1 < len(data) && i < 400; i += 2 {
		p := Point{float64(int8(data[i])), float64(int8(data[i+1]))}
		switch data[i] {
		case 0x80:
			rings = append(rings, nil)
			continue
		case 0x81:
			p.X /= 7e4
		case 0x82:
			p.Y = math.Pow(10, p.Y)
		case 0x83:
			p.X = math.NaN()
		}
		rings[len(rings)-1] = append(rings[len(rings)-1], p)
	}
	return rings
}

var fuzzSeeds = [][]byte{
	{},
	{0, 0, 10, 0, 10, 10, 0, 10},
	{0, 0, 10, 10, 10, 0, 0, 10},
	{0, 0, 9, 0, 3, 0, 0x80, 0, 5, 5, 6, 6, 5, 7},
	{0, 0, 50, 1, 100, 0, 50, 2, 0x81, 3, 0x82, 9, 7, 7},
	{1, 2, 0x83, 4, 5, 6},
	{0, 0, 9, 9, 0x82, 4, 3, 1, 8, 8},
}

func FuzzFill(f *testing.F) {
	for _, s := range fuzzSeeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		rings := ringsOf(data)
		for _, rule := range []FillRule{NonZero, EvenOdd} {
			s := Fill(rings, rule)
			if again := Fill(s.Rings, EvenOdd); !reflect.DeepEqual(again, s) {
				t.Errorf("filled again it has area %v, before %v", again.Area(), s.Area())
			}
			if s.Area() < 0 {
				t.Errorf("area %v", s.Area())
			}
			s.Components()
		}
	})
}
