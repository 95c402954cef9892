package geom

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// A shape of the grid is the same shape, to the last bit, wherever it is moved and
// from wherever it is moved back.
func TestShiftKeepsShapesOfTheGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rnd := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		place := func() float64 { return 300 * rnd.NormFloat64() }
		var ring Ring
		for i := range 30 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 30)
			r := 5 + 3*rnd.Float64()
			ring = append(ring, Point{r*cos + place()/300, r * sin})
		}
		s := Fill([]Ring{ring}, NonZero)
		there, beyond := Snap(Point{place(), place()}), Snap(Point{place(), place()})
		if got := s.Shift(there).Shift(there.Mul(-1)); !reflect.DeepEqual(got, s.Shift(Point{})) {
			t.Fatal("there and back is not where it was")
		}
		if got, want := s.Shift(there).Shift(beyond.Sub(there)), s.Shift(beyond); !reflect.DeepEqual(got, want) {
			t.Fatal("it is another shape on another way")
		}
		for i, p := range s.Shift(there).Rings[0] {
			if p.Dist(s.Rings[0][i].Add(there)) > 1e-9 {
				t.Fatalf("%v is not moved by %v", s.Rings[0][i], there)
			}
		}
	})
}

// What lies off the grid is moved as any sum of two figures is.
func TestShiftOffTheGrid(t *testing.T) {
	got := Shift(Line{{0.1234567, 1}}, Point{2, -3})
	if want := (Line{{2.1234567, -2}}); math.Abs(got[0].X-want[0].X) > 1e-15 || got[0].Y != want[0].Y {
		t.Errorf("%v, want %v", got, want)
	}
	if z := Snap(Point{-1e-9, 0}); math.Signbit(z.X) {
		t.Error("zero has a sign")
	}
	if s := (Shape{}).Shift(Point{1, 1}); !s.Empty() {
		t.Error("an empty shape has rings")
	}
}
