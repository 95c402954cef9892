package trial

import (
	"fmt"
	"math"
	"testing"

	"brushfall/internal/geom"
)

func discOf(radius float64) geom.Shape {
	return geom.Fill([]geom.Ring{circle(radius, 3, -7)}, geom.NonZero)
}

// Every placing that Honeycomb may try, counted point by point: none holds more
// than it gives, and the best of them holds as many.
func TestHoneycombAgainstEveryPoint(t *testing.T) {
	const p = 2.9
	shapes := map[string]geom.Shape{
		"disc": discOf(13.3), "star": geom.Fill([]geom.Ring{star(5, 20, 9)}, geom.NonZero),
		"ring": geom.Fill([]geom.Ring{circle(20, 0, 0), circle(9, 2, 1)}, geom.EvenOdd),
	}
	for name, s := range shapes {
		b, box := geom.NewBoundary(s), s.Bounds()
		most := 0
		for i := range combTurns {
			turn := geom.Rotate(math.Pi / 3 * float64(i) / combTurns)
			for k := range combShifts * combShifts {
				x, y := p*float64(k%combShifts)/combShifts, p*math.Sqrt(3)/2*float64(k/combShifts)/combShifts
				n := 0
				for row := -16; row <= 16; row++ {
					for col := -16; col <= 16; col++ {
						at := geom.Point{X: x + p*(float64(col)+float64(row&1)/2), Y: y + p*math.Sqrt(3)/2*float64(row)}
						at = turn.Apply(at)
						if box.Overlaps(geom.Box{MinX: at.X, MinY: at.Y, MaxX: at.X, MaxY: at.Y}) && b.Depth(at) >= 0 {
							n++
						}
					}
				}
				most = max(most, n)
			}
		}
		got := Honeycomb(s, p)
		if len(got) != most {
			t.Errorf("%s: %d points, counted %d", name, len(got), most)
		}
		checkSpread(t, name, s, got, p-1e-9)
	}
}

// checkSpread finds points outside the area and pairs nearer than p.
func checkSpread(t *testing.T, name string, s geom.Shape, points []geom.Point, p float64) {
	t.Helper()
	b := geom.NewBoundary(s)
	for i, at := range points {
		if b.Depth(at) < -1e-6 {
			t.Errorf("%s: point %v is %g mm outside", name, at, -b.Depth(at))
		}
		for _, other := range points[:i] {
			if at.Dist(other) < p {
				t.Errorf("%s: points %v and %v are %g apart", name, at, other, at.Dist(other))
			}
		}
	}
}

// Around a disc of radius r in steps of p there are ⌊π ÷ arcsin(p/2r)⌋ stones,
// and the rows go inwards by p each.
func TestOffsetRowsOfADisc(t *testing.T) {
	const radius, p = 20.0, 3.0
	want := 0
	for r := radius; r > 0; r -= p {
		if r < p/2 {
			want++
			continue
		}
		want += int(math.Pi / math.Asin(p/2/r))
	}
	s := discOf(radius)
	got, outer := OffsetRows(s, p)
	if first := int(math.Pi / math.Asin(p/2/radius)); outer != first {
		t.Errorf("%d stones along the border, want %d", outer, first)
	}
	checkSpread(t, "disc", s, got, p-1e-6)
	if len(got) != want {
		t.Errorf("%d stones, want %d", len(got), want)
	}
}

// A maximal sampling leaves no place for another point: a fine grid finds none
// clear by more than the last cell. Its density is that of random sequential
// addition: a cover of 0.547 of the plane by discs of the diameter p (E. L.
// Hinrichsen, J. Feder, T. Jøssang, J. Stat. Phys. 44, 1986), here on a square large
// against p, whose edges hold some more.
func TestPoissonIsMaximal(t *testing.T) {
	const side, p = 60.0, 1.5
	s := geom.Fill([]geom.Ring{{{}, {X: side}, {X: side, Y: side}, {Y: side}}}, geom.NonZero)
	points := Poisson(s, p, 7)
	checkSpread(t, "square", s, points, p)
	set := geom.NewIndex(s.Bounds(), p)
	for i, at := range points {
		set.Insert(i, at)
	}
	for x := 0.0; x <= side; x += 0.05 {
		for y := 0.0; y <= side; y += 0.05 {
			if _, _, near := set.Nearest(geom.Point{X: x, Y: y}, p*(1+2*leastCell), -1); !near {
				t.Fatalf("room at %g, %g", x, y)
			}
		}
	}
	// Discs around the points lie in the square grown by half of p.
	cover := float64(len(points)) * math.Pi * p * p / 4 / ((side + p) * (side + p))
	if math.Abs(cover-0.547) > 0.01 {
		t.Errorf("the cover is %.4f, published 0.547", cover)
	}
	if a, b := fmt.Sprint(points), fmt.Sprint(Poisson(s, p, 7)); a != b {
		t.Error("the same seed gives two samplings")
	}
	rows, _ := OffsetRows(geom.Shape{}, p)
	if len(Poisson(geom.Shape{}, p, 7))+len(Honeycomb(geom.Shape{}, p))+len(rows) != 0 {
		t.Error("points in the empty shape")
	}
}
