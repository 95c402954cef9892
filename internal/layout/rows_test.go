package layout

import (
	"math"
	"math/rand/v2"
	"testing"

	"brushfall/internal/geom"
)

// circle gives a closed track round the origin.
func circle(radius float64, n int) track {
	points := make([]geom.Point, n)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		points[i] = geom.Point{X: radius * cos, Y: radius * sin}
	}
	return newTrack(points, true)
}

// A ring of n equal chords of a circle of radius R has chords 2R·sin(π/n)
// (Euclid IV; any table of regular polygons), so a pitch p allows
// floor(π / asin(p/2R)) stones.
func TestEqualChordsRoundACircle(t *testing.T) {
	const pitch = 3.8
	for _, radius := range []float64{4, 7.5, 12, 25, 60.3} {
		tr := circle(radius, 4000)
		got := tr.evenly(pitch, 1)
		want := int(math.Floor(math.Pi / math.Asin(pitch/(2*radius))))
		if len(got) != want {
			t.Errorf("radius %v: %d stones, want %d", radius, len(got), want)
		}
		chord := 2 * radius * math.Sin(math.Pi/float64(want))
		for i, p := range got {
			if d := p.Dist(got[(i+1)%len(got)]); math.Abs(d-chord) > 1e-3 {
				t.Errorf("radius %v: chord %d is %.5f, want %.5f", radius, i, d, chord)
			}
		}
	}
}

// On any path the chords are equal, no shorter than the pitch, and one more
// stone would make them shorter.
func TestEqualChordsOnWindingPaths(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 7))
	for range 200 {
		var pts []geom.Point
		a, at := rnd.Float64()*6, geom.Point{}
		for range 60 {
			pts = append(pts, at)
			a += rnd.NormFloat64() * 0.12
			at = at.Add(geom.Point{X: math.Cos(a), Y: math.Sin(a)})
		}
		pitch := 1.5 + 3*rnd.Float64()
		row := newTrack(pts, false).equalChords(pitch)
		if len(row) < 2 || row[0] != pts[0] || row[len(row)-1] != pts[len(pts)-1] {
			t.Fatalf("row of %d stones does not join the ends", len(row))
		}
		first := row[0].Dist(row[1])
		if first < pitch-1e-9 || first > 2*pitch {
			t.Fatalf("chord %v for a pitch of %v", first, pitch)
		}
		for i := 1; i < len(row); i++ {
			if d := row[i].Dist(row[i-1]); math.Abs(d-first) > 1e-6 {
				t.Fatalf("chord %d is %v, the first %v", i, d, first)
			}
		}
	}
}

// The exact choice among rivals is as good as trying every set.
func TestThinKeepsTheMost(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 9))
	for trial := range 150 {
		n := 3 + rnd.IntN(12)
		rows := make([]candidate, n)
		near := make([][]int, n)
		for i := range rows {
			rows[i].pin = rnd.IntN(5) == 0
			for j := range i {
				if rnd.Float64() < 0.3 {
					near[i], near[j] = append(near[i], j), append(near[j], i)
				}
			}
		}
		knot := make([]int, n)
		for i := range knot {
			knot[i] = i
		}
		got := 0
		stay := bestOf(knot, near, rows)
		for i := range rows {
			if stay[i] {
				got += worth(rows[i])
				for _, j := range near[i] {
					if stay[j] {
						t.Fatalf("trial %d keeps rivals %d and %d", trial, i, j)
					}
				}
			}
		}
		if want := mostWorth(near, rows); got != want {
			t.Errorf("trial %d keeps %d, the most is %d", trial, got, want)
		}
	}
}

// mostWorth tries every set.
func mostWorth(near [][]int, rows []candidate) int {
	best := 0
	for set := range 1 << len(rows) {
		sum, ok := 0, true
		for i := range rows {
			if set&(1<<i) == 0 {
				continue
			}
			sum += worth(rows[i])
			for _, j := range near[i] {
				ok = ok && set&(1<<j) == 0
			}
		}
		if ok {
			best = max(best, sum)
		}
	}
	return best
}

// A square has four corners, a regular polygon with many sides none, and a
// square end narrower than a pitch one place between its two corners.
func TestCorners(t *testing.T) {
	square := newTrack([]geom.Point{{X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 20}, {X: 0, Y: 20}}, true)
	got := square.pins(3.8, 0, false)
	want := []float64{0, 20, 40, 60}
	if len(got) != 4 {
		t.Fatalf("corners of a square at %v", got)
	}
	for i, v := range got {
		if math.Abs(v-want[i]) > 1e-6 {
			t.Errorf("corner at %v, want %v", v, want[i])
		}
	}
	if got := circle(10, 90).pins(3.8, 0, false); len(got) != 0 {
		t.Errorf("a circle has corners at %v", got)
	}
	bar := newTrack([]geom.Point{{X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 2}, {X: 0, Y: 2}}, true)
	if got := bar.pins(3.8, 0, false); len(got) != 0 {
		t.Errorf("the ends of a bar too narrow for two stones have corners at %v", got)
	}
}
