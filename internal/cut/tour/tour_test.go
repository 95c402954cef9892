package tour_test

import (
	"bytes"
	"math"
	"math/bits"
	"os"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"brushfall/internal/cut/tour"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// Drilling tours of TSPLIB against their shortest lengths (Reinelt 1991).
func TestDrillingTours(t *testing.T) {
	for _, c := range []struct {
		name     string
		shortest int
	}{{"d198", 15780}, {"pcb442", 50778}} {
		text, err := os.ReadFile("testdata/" + c.name + ".tsp")
		if err != nil {
			t.Fatal(err)
		}
		points, err := tour.ReadTSPLIB(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range []struct {
			name   string
			effort tour.Effort
			most   float64
		}{{"quick", tour.Quick(), 1.10}, {"thorough", tour.Thorough(), 1.02}} {
			order := tour.Closed(points, e.effort)
			visitsAll(t, order, len(points))
			over := float64(tour.WholeLength(points, order)) / float64(c.shortest)
			t.Logf("%s, %s: %.2f %% over the shortest tour", c.name, e.name, 100*(over-1))
			if over > e.most || over < 1 {
				t.Errorf("%s, %s: %.4f of the shortest tour", c.name, e.name, over)
			}
		}
	}
}

// Up to nine points, against the shortest path that Held and Karp's dynamic
// programme finds (J. SIAM 10 (1962)).
func TestShortPathsAreShortest(t *testing.T) {
	worst := 1.0
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 9).Draw(t, "n")
		point := rapid.Custom(func(t *rapid.T) geom.Point {
			return geom.Point{X: float64(rapid.IntRange(0, 40).Draw(t, "x")), Y: float64(rapid.IntRange(0, 40).Draw(t, "y"))}
		})
		points := rapid.SliceOfN(point, n, n).Draw(t, "points")
		from, to := point.Draw(t, "from"), point.Draw(t, "to")
		order := tour.Path(points, from, to, tour.Thorough())
		if err := permutation(order, n); err {
			t.Fatalf("%v is not an order of %d points", order, n)
		}
		got, want := pathLength(points, order, from, to), heldKarp(points, from, to)
		if got < want-1e-9 {
			t.Fatalf("a path of %g is shorter than the shortest, %g", got, want)
		}
		if want > 0 {
			worst = math.Max(worst, got/want)
		}
		if got > 1.25*want+1e-9 {
			t.Fatalf("%v has a path of %g, the shortest is %g", points, got, want)
		}
	})
	t.Logf("worst of all: %.3f of the shortest", worst)
}

func heldKarp(points []geom.Point, from, to geom.Point) float64 {
	n := len(points)
	best := make([][]float64, 1<<n)
	for set := 1; set < 1<<n; set++ {
		best[set] = make([]float64, n)
		for last := range n {
			best[set][last] = math.Inf(1)
			rest := set &^ (1 << last)
			switch {
			case rest == set:
			case rest == 0:
				best[set][last] = from.Dist(points[last])
			default:
				for r := rest; r != 0; r &= r - 1 {
					k := bits.TrailingZeros(uint(r))
					best[set][last] = math.Min(best[set][last], best[rest][k]+points[k].Dist(points[last]))
				}
			}
		}
	}
	shortest := math.Inf(1)
	for last := range n {
		shortest = math.Min(shortest, best[1<<n-1][last]+points[last].Dist(to))
	}
	return shortest
}

func TestWhateverThePointsAre(t *testing.T) {
	same := make([]geom.Point, 500)
	line := make([]geom.Point, 300)
	for i := range line {
		line[i].X = float64((i * 7919) % 300)
	}
	for _, points := range [][]geom.Point{nil, same[:1], same[:2], same[:3], same[:4], same[:7], same, line} {
		visitsAll(t, tour.Closed(points, tour.Thorough()), len(points))
		order := tour.Path(points, geom.Point{X: -3}, geom.Point{X: 400}, tour.Thorough())
		visitsAll(t, order, len(points))
		if !reflect.DeepEqual(order, tour.Path(points, geom.Point{X: -3}, geom.Point{X: 400}, tour.Thorough())) {
			t.Error("two runs differ")
		}
	}
	order := tour.Path(line, geom.Point{X: -3}, geom.Point{X: 400}, tour.Thorough())
	if got := pathLength(line, order, geom.Point{X: -3}, geom.Point{X: 400}); math.Abs(got-403) > 1e-6 {
		t.Errorf("the way along a line is %g mm, want 403", got)
	}
}

func TestReadTSPLIBRefuses(t *testing.T) {
	for _, bad := range []string{"EDGE_WEIGHT_TYPE : GEO\n", "NODE_COORD_SECTION\n1 2\n", "NODE_COORD_SECTION\n1 2 x\n", "NODE_COORD_SECTION\n1 2 1e999\n"} {
		if _, err := tour.ReadTSPLIB(bytes.NewReader([]byte(bad))); fault.CodeOf(err) != "tsplib" {
			t.Errorf("%q gives %v", bad, err)
		}
	}
}

func FuzzReadTSPLIB(f *testing.F) {
	f.Add([]byte("NAME : a\nEDGE_WEIGHT_TYPE : EUC_2D\nNODE_COORD_SECTION\n1 0 0\n2 1e1 5.5\n3 3 4\nEOF\n"))
	f.Add([]byte("NODE_COORD_SECTION\n1 nan 0\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		points, err := tour.ReadTSPLIB(bytes.NewReader(text))
		if err == nil && len(points) < 200 {
			visitsAll(t, tour.Closed(points, tour.Quick()), len(points))
		}
	})
}

func visitsAll(t *testing.T, order []int, n int) {
	t.Helper()
	if permutation(order, n) {
		t.Fatalf("the order does not visit each of %d points once", n)
	}
}

func permutation(order []int, n int) (wrong bool) {
	sorted := slices.Sorted(slices.Values(order))
	for i, v := range sorted {
		wrong = wrong || i != v
	}
	return wrong || len(order) != n
}

func pathLength(points []geom.Point, order []int, from, to geom.Point) float64 {
	sum, here := 0.0, from
	for _, i := range order {
		sum += here.Dist(points[i])
		here = points[i]
	}
	return sum + here.Dist(to)
}
