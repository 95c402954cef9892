package geom

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/outside"

	"pgregory.net/rapid"
)

func randomPoints(n int, size float64, seed uint64) []Point {
	r := rand.New(rand.NewPCG(seed, 1))
	out := make([]Point, n)
	for i := range out {
		out[i] = Point{r.Float64() * size, r.Float64() * size}
	}
	return out
}

// checkTriangulation holds a triangulation to its definition: positive
// triangles, neighbours that agree, and no place within a neighbour's circle
// (Delaunay's lemma: locally empty circles are empty), with integers of any size.
func checkTriangulation(t rapid.TB, tri Triangulation) {
	t.Helper()
	at := snap(tri.Points)
	for i, c := range tri.Triangles {
		if orient(at[c[0]], at[c[1]], at[c[2]]) <= 0 {
			t.Fatalf("triangle %d %v is not positive", i, c)
		}
		for k, n := range tri.Neighbours[i] {
			if n < 0 {
				continue
			}
			a, b := c[k], c[(k+1)%3]
			o := tri.Triangles[n]
			j := slices.IndexFunc([]int{0, 1, 2}, func(j int) bool { return o[j] == b && o[(j+1)%3] == a })
			if j < 0 || tri.Neighbours[n][j] != i {
				t.Fatalf("triangles %d and %d disagree on being neighbours", i, n)
			}
			if bigInCircle(at[c[0]], at[c[1]], at[c[2]], at[o[(j+2)%3]]) > 0 {
				t.Fatalf("triangle %d %v has point %d within its circle", i, c, o[(j+2)%3])
			}
		}
	}
}

func bigInCircle(a, b, c, d gridPoint) int {
	row := func(p gridPoint) [3]*big.Int {
		x, y := big.NewInt(p.x-d.x), big.NewInt(p.y-d.y)
		l := new(big.Int).Add(new(big.Int).Mul(x, x), new(big.Int).Mul(y, y))
		return [3]*big.Int{x, y, l}
	}
	cross := func(p, q [3]*big.Int) *big.Int {
		return new(big.Int).Sub(new(big.Int).Mul(p[0], q[1]), new(big.Int).Mul(p[1], q[0]))
	}
	p, q, r := row(a), row(b), row(c)
	sum := new(big.Int).Mul(p[2], cross(q, r))
	sum.Add(sum, new(big.Int).Mul(q[2], cross(r, p)))
	sum.Add(sum, new(big.Int).Mul(r[2], cross(p, q)))
	return sum.Sign()
}

// hullOf counts the places on the hull and its area, by Andrew's monotone chain.
func hullOf(points []Point) (corners int, area float64) {
	at := snap(points)
	order := slices.Clone(at)
	slices.SortFunc(order, gridPoint.compare)
	order = slices.Compact(order)
	var hull []gridPoint
	for pass := 0; pass < 2; pass++ {
		start := len(hull)
		for _, p := range order {
			for len(hull) >= start+2 && orient(hull[len(hull)-2], hull[len(hull)-1], p) < 0 {
				hull = hull[:len(hull)-1]
			}
			hull = append(hull, p)
		}
		hull = hull[:len(hull)-1]
		slices.Reverse(order)
	}
	for i, p := range hull {
		q := hull[(i+1)%len(hull)]
		area += float64(p.x*q.y-q.x*p.y) / 2
	}
	return len(hull), area
}

func gridArea(tri Triangulation) float64 {
	at := snap(tri.Points)
	sum := 0.0
	for _, c := range tri.Triangles {
		sum += float64(orient(at[c[0]], at[c[1]], at[c[2]])) / 2
	}
	return sum
}

// Euler's formula: n places with h on the hull (counting those on its sides)
// give 2n − 2 − h triangles, and they cover the hull.
func TestDelaunayIsDelaunay(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(3, 200).Draw(r, "n")
		grid := rapid.SampledFrom([]int{3, 10, 1000, 1 << 29}).Draw(r, "grid")
		var points []Point
		for i := 0; i < n; i++ {
			points = append(points, Point{float64(rapid.IntRange(0, grid).Draw(r, "x")) / 1e5, float64(rapid.IntRange(0, grid).Draw(r, "y")) / 1e5})
		}
		tri := Delaunay(points)
		checkTriangulation(r, tri)
		places := 0
		for i, s := range tri.Same {
			if s == i {
				places++
			}
		}
		if len(tri.Triangles) == 0 {
			return
		}
		h, area := hullOf(points)
		if want := 2*places - 2 - h; len(tri.Triangles) != want {
			r.Fatalf("%d triangles on %d places with %d on the hull, want %d", len(tri.Triangles), places, h, want)
		}
		if got := gridArea(tri); math.Abs(got-area) > 1e-9*area {
			r.Fatalf("triangles cover %g, the hull is %g", got, area)
		}
	})
}

func TestDelaunayDegenerate(t *testing.T) {
	for _, c := range []struct {
		name      string
		points    []Point
		triangles int
	}{
		{"none", nil, 0},
		{"one", []Point{{1, 1}}, 0},
		{"two", []Point{{1, 1}, {2, 2}}, 0},
		{"one place", []Point{{1, 1}, {1, 1}, {1, 1}, {1, 1}}, 0},
		{"one line", []Point{{0, 0}, {3, 3}, {1, 1}, {2, 2}, {5, 5}}, 0},
		{"upright line", []Point{{2, 0}, {2, 3}, {2, 1}, {2, -4}}, 0},
		{"square with twins", []Point{{0, 0}, {1, 0}, {0, 0}, {1, 1}, {0, 1}, {1, 1}}, 2},
		{"not finite", []Point{{math.NaN(), 0}, {math.Inf(1), 1}, {0, 0}, {1, 0}, {0, 1}}, 1},
		{"huge", []Point{{-1e300, 0}, {1e300, 0}, {0, 1e300}}, 1},
	} {
		tri := Delaunay(c.points)
		if len(tri.Triangles) != c.triangles {
			t.Errorf("%s: %d triangles, want %d", c.name, len(tri.Triangles), c.triangles)
		}
		checkTriangulation(t, tri)
	}
}

// Twins map to the first of them.
func TestDelaunaySame(t *testing.T) {
	tri := Delaunay([]Point{{0, 0}, {1, 0}, {0, 0}, {0, 1}, {1, 0}})
	if want := []int{0, 1, 0, 3, 1}; !slices.Equal(tri.Same, want) {
		t.Errorf("Same = %v, want %v", tri.Same, want)
	}
}

func TestCircumcentre(t *testing.T) {
	// A 3-4-5 triangle has its circumcentre in the middle of the hypotenuse, radius 2.5.
	c, r := Delaunay([]Point{{10, 10}, {13, 10}, {10, 14}}).Circumcentre(0)
	if c.Dist(Point{11.5, 12}) > 1e-12 || math.Abs(r-2.5) > 1e-12 {
		t.Errorf("circumcentre %v radius %v", c, r)
	}
}

// GEOS makes the same triangles of points in general position.
func TestDelaunayAgainstGEOS(t *testing.T) {
	points := randomPoints(2000, 200, 7)
	at := snap(points)
	var in strings.Builder
	for _, p := range at {
		fmt.Fprintf(&in, "%d %d\n", p.x, p.y)
	}
	cmd := exec.Command(outside.Python(t), "-c", `
import sys
from shapely.geometry import MultiPoint
from shapely.ops import triangulate
pts=[tuple(map(float,l.split())) for l in sys.stdin]
key={p:i for i,p in enumerate(pts)}
for t in triangulate(MultiPoint(pts)):
    print(*sorted(key[c] for c in list(t.exterior.coords)[:3]))
`)
	cmd.Stdin = strings.NewReader(in.String())
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	theirs := map[[3]int]bool{}
	for line := range strings.Lines(string(out)) {
		var k [3]int
		if _, err := fmt.Sscan(line, &k[0], &k[1], &k[2]); err != nil {
			t.Fatal(err)
		}
		theirs[k] = true
	}
	ours := Delaunay(points).Triangles
	// GEOS leaves out a few slivers on the hull; it must not have one that we lack.
	if d := len(ours) - len(theirs); d < 0 || d > 10 {
		t.Fatalf("%d triangles, GEOS has %d", len(ours), len(theirs))
	}
	missed := 0
	for _, c := range ours {
		s := c[:]
		slices.Sort(s)
		if !theirs[[3]int(s)] {
			missed++
		}
	}
	if missed != len(ours)-len(theirs) {
		t.Errorf("%d of %d triangles are not in GEOS's %d", missed, len(ours), len(theirs))
	}
}

func BenchmarkDelaunay10000(b *testing.B) {
	points := randomPoints(10000, 300, 1)
	for b.Loop() {
		Delaunay(points)
	}
}
