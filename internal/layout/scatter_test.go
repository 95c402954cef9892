package layout_test

import (
	"fmt"
	"math"
	"math/cmplx"
	"reflect"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/layout"
)

func scatter(as layout.BedSettings) wish { return wish{design.Scatter, as} }

// nearestOf gives the distance of each point to its nearest other.
func nearestOf(points []geom.Point) []float64 {
	index := geom.NewIndex(geom.Bounds(points), 4)
	for i, p := range points {
		index.Insert(i, p)
	}
	out := make([]float64, len(points))
	for i, p := range points {
		_, out[i], _ = index.Nearest(p, 1000, i)
	}
	return out
}

// Stones are spread evenly. R of Clark and Evans (Ecology 35 (1954) 445), the
// mean distance to the nearest neighbour over 1/(2√density), is 1 for places at
// random, 2.15 in a honeycomb; stones thrown where there is room for them end at
// about 1.5 (random sequential addition; common knowledge from simulations).
func TestScatterIsEven(t *testing.T) {
	for _, density := range []float64{1, 0.6, 0.25} {
		shape := rectangle(200, 150)
		stones := beds(t, set(shape, scatter(layout.BedSettings{Density: density}), design.Bed))
		sum, sq := 0.0, 0.0
		near := nearestOf(stones)
		for _, d := range near {
			sum, sq = sum+d, sq+d*d
		}
		n := float64(len(near))
		mean := sum / n
		// The stones' centres lie in the shape less half a stone on every side.
		r := 2 * mean * math.Sqrt(n/((200-2.9)*(150-2.9)))
		spread := math.Sqrt(sq/n-mean*mean) / mean
		t.Logf("density %v: %d stones, R %.3f, spread of the nearest distance %.3f", density, len(near), r, spread)
		if r < 1.7 || spread > 0.06 {
			t.Errorf("density %v: R = %.3f, spread %.3f", density, r, spread)
		}
	}
}

// Stones stand in no rows: the directions to their neighbours are spread round.
// The mean of e^(ikθ) over n directions at random is about 1/√n for every k (Rayleigh;
// Mardia and Jupp, Directional Statistics, 2000, §6.3.1); it is 1 for a honeycomb and
// k = 6, and for a square grid and k = 4.
func TestScatterHasNoDirection(t *testing.T) {
	for _, as := range []layout.BedSettings{{}, {Seed: 3}, {Density: 0.5, Seed: 1}} {
		stones := beds(t, set(rectangle(300, 220), scatter(as), design.Bed))
		tri := geom.Delaunay(stones)
		for _, k := range []float64{2, 4, 6} {
			var sum complex128
			n := 0.0
			for _, c := range tri.Triangles {
				for e := range 3 {
					d := stones[c[e]].Sub(stones[c[(e+1)%3]])
					if d.Len() < 10 { // not the long edges along the border
						sum += cmplx.Exp(complex(0, k*math.Atan2(d.Y, d.X)))
						n++
					}
				}
			}
			if got := cmplx.Abs(sum) / n; got > 0.08 {
				t.Errorf("%+v: the mean of the directions to neighbours is %.3f for k = %v", as, got, k)
			}
		}
	}
}

// A full scatter holds more than stones thrown at random, which jam at 0.547 of
// the area (J. Feder, J. Theor. Biol. 87 (1980) 237), and less than a honeycomb, 0.907.
func TestFullScatterIsFullerThanChance(t *testing.T) {
	stones := beds(t, set(rectangle(300, 220), scatter(layout.BedSettings{}), design.Bed))
	covered := float64(len(stones)) * math.Pi / 4 * 3.8 * 3.8 / ((300 - 2.9 + 3.8) * (220 - 2.9 + 3.8))
	if covered < 0.62 || covered > 0.85 {
		t.Errorf("stones with their gaps cover %.3f", covered)
	}
}

// The number of stones follows the density, in the mean over shapes and seeds
// within a twentieth.
func TestScatterFollowsTheDensity(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"disc", "heart", "ell", "star"} {
		for _, treatment := range [][]design.Treatment{{design.Rim, design.Bed}, {design.Bed}} {
			count := func(density float64) float64 {
				sum := 0
				for seed := range uint64(6) {
					sum += len(beds(t, set(shapes()[name], scatter(layout.BedSettings{Density: density, Seed: seed}), treatment...)))
				}
				return float64(sum) / 6
			}
			full := count(1)
			for _, density := range []float64{0.9, 0.5, 0.2} {
				// A few stones cannot follow nearer than half a one.
				if got := count(density); math.Abs(got-density*full) > max(0.05*density*full, 0.5) {
					t.Errorf("%s %v: a density of %v gives %.1f of a full scatter's %.1f stones", name, treatment, density, got, full)
				}
			}
		}
	}
}

// A gradient thins out evenly from one side to the other: each fifth of the way
// holds its share of stones.
func TestScatterFadesAlongAGradient(t *testing.T) {
	for _, towards := range []float64{0, 90, 180} {
		shape := rectangle(250, 250)
		full := beds(t, set(shape, scatter(layout.BedSettings{}), design.Bed))
		stones := beds(t, set(shape, scatter(layout.BedSettings{Density: 1, DensityTo: 0.1, Towards: towards * math.Pi / 180}), design.Bed))
		sin, cos := math.Sincos(towards * math.Pi / 180)
		var held [5]int
		for _, p := range stones {
			u := (p.X-125)*cos/250 + (p.Y-125)*sin/250 + 0.5
			held[min(max(int(5*u), 0), 4)]++
		}
		for i, n := range held {
			want := (1 - 0.9*(float64(i)+0.5)/5) * float64(len(full)) / 5
			if math.Abs(float64(n)/want-1) > 0.08 {
				t.Errorf("towards %v°: fifth %d holds %d stones, want about %.0f", towards, i, n, want)
			}
		}
	}
}

// Another seed gives another scatter of about as many stones, the same seed the
// same.
func TestScatterSeeds(t *testing.T) {
	lay := func(seed uint64) []geom.Point {
		return beds(t, set(shapes()["heart"], scatter(layout.BedSettings{Seed: seed}), design.Rim, design.Bed))
	}
	a, again, b := lay(1), lay(1), lay(2)
	if !reflect.DeepEqual(a, again) || reflect.DeepEqual(a, b) {
		t.Error("seeds do not tell scatters apart")
	}
	if d := len(a) - len(b); d < -4 || d > 4 {
		t.Errorf("%d and %d stones", len(a), len(b))
	}
}

func BenchmarkBeds(b *testing.B) {
	for _, n := range []int{1000, 10_000, 100_000} {
		for _, w := range []wish{{bed: design.Courses}, {bed: design.Spokes}, scatter(layout.BedSettings{}), scatter(layout.BedSettings{DensityTo: 0.2})} {
			b.Run(fmt.Sprintf("%s/%v/%d", w.bed, w.as.DensityTo, n), func(b *testing.B) {
				r := disc(n, w.bed)
				r.BedAs = w.as
				req := layout.Request{Regions: []layout.Region{r}, Effort: layout.Live}
				for b.Loop() {
					if _, err := layout.Run(b.Context(), req, nil); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
