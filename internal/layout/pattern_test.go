package layout

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// lineOf gives n stones of a role in a row, a pitch of 1 apart.
func lineOf(n int, role design.Role) ([]design.Stone, Row) {
	stones := make([]design.Stone, n)
	row := Row{Stones: make([]int, n)}
	for i := range stones {
		stones[i] = design.Stone{X: float64(i), Colour: "own", Region: "r", Role: role}
		row.Stones[i] = i
	}
	return stones, row
}

func coloursOf(stones []design.Stone) []string {
	var out []string
	for _, s := range stones {
		out = append(out, s.Colour)
	}
	return out
}

func tally(stones []design.Stone) map[string]int {
	out := map[string]int{}
	for _, s := range stones {
		out[s.Colour]++
	}
	return out
}

// Along an open row the k-th stone has the colour k modulo the period; a stone
// in no row keeps its own.
func TestAlongAnOpenRow(t *testing.T) {
	stones, row := lineOf(8, design.RoleRim)
	stones = append(stones, design.Stone{X: 4, Y: 3, Colour: "own", Role: design.RoleBed})
	Paint(stones, []Row{row}, 1, []Coat{{Pattern: Along, Colours: []string{"a", "a", "b"}}})
	if want := []string{"a", "a", "b", "a", "a", "b", "a", "a", "own"}; !slices.Equal(coloursOf(stones), want) {
		t.Errorf("got %v, want %v", coloursOf(stones), want)
	}
}

// Around a closed row the turns are whole: as many as go into it, one stone longer
// than the others at most, and every colour of the period in each.
func TestAlongAClosedRow(t *testing.T) {
	for period := 2; period <= 5; period++ {
		for n := period; n < 90; n++ {
			var lengths []int
			last, seen := -1, map[int]int{}
			for k := range n {
				turn := turnOf(k, n, period, true)
				if turn < last || k == 0 {
					lengths = append(lengths, 0)
				}
				if turn > last+1 || (turn < last && (turn != 0 || last != period-1)) {
					t.Fatalf("%d stones, period %d: colour %d follows %d", n, period, turn, last)
				}
				last = turn
				seen[turn]++
				lengths[len(lengths)-1]++
			}
			want := n / period
			if len(lengths) != want || slices.Max(lengths)-slices.Min(lengths) > 1 || len(seen) != period {
				t.Errorf("%d stones, period %d: turns of %v, want %d", n, period, lengths, want)
			}
			if n%period == 0 {
				for k := range n {
					if turnOf(k, n, period, true) != k%period {
						t.Fatalf("%d stones, period %d: stone %d has colour %d", n, period, k, turnOf(k, n, period, true))
					}
				}
			}
		}
	}
}

// The largest remainder, on the example that is commonly given for it (from
// memory): 100,000 votes for six parties, ten seats.
func TestSplitByLargestRemainder(t *testing.T) {
	got := Split(10, []float64{47000, 16000, 15900, 12000, 6000, 3100})
	if want := []int{5, 2, 1, 1, 1, 0}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

// Every part is its exact share to within one stone, and all are given.
func TestSharesAreMet(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 5))
	for range 500 {
		n := rnd.IntN(300)
		shares := make([]float64, 1+rnd.IntN(6))
		sum := 0.0
		for i := range shares {
			shares[i] = rnd.Float64() + 0.01
			sum += shares[i]
		}
		total := 0
		for i, part := range Split(n, shares) {
			total += part
			if exact := float64(n) * shares[i] / sum; math.Abs(float64(part)-exact) >= 1 {
				t.Errorf("%d of %d for a share of %.3f", part, n, exact)
			}
		}
		if total != n {
			t.Errorf("%d of %d are given", total, n)
		}
	}
}

// A draw keeps its shares, is the same again, and differs by seed and by region.
func TestRandomDraw(t *testing.T) {
	draw := func(seed uint64, region string) []design.Stone {
		stones, row := lineOf(137, design.RoleBed)
		for i := range stones {
			stones[i].Region = region
		}
		Paint(stones, []Row{row}, 1, []Coat{{Pattern: Random, Colours: []string{"a", "b", "c"}, Shares: []float64{60, 30, 10}, Seed: seed}})
		return stones
	}
	first := draw(1, "r")
	if got, want := tally(first), map[string]int{"a": 82, "b": 41, "c": 14}; !reflect.DeepEqual(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if !reflect.DeepEqual(first, draw(1, "r")) {
		t.Error("the same seed draws otherwise the second time")
	}
	if slices.Equal(coloursOf(first), coloursOf(draw(2, "r"))) || slices.Equal(coloursOf(first), coloursOf(draw(1, "s"))) {
		t.Error("another seed or region draws the same")
	}
}

// The first coat for a role wins; a coat without roles is for all that are left.
func TestCoatsByRole(t *testing.T) {
	stones, row := lineOf(4, design.RoleRim)
	stones[2].Role, stones[3].Role = design.RoleBed, design.RoleSpine
	coats := []Coat{
		{Roles: []design.Role{design.RoleRim}, Colours: []string{"r"}},
		{Roles: []design.Role{design.RoleBed, design.RoleRim}, Colours: []string{"b"}},
		{Colours: []string{"s"}},
	}
	Paint(stones, []Row{row}, 1, coats)
	if want := []string{"r", "r", "b", "s"}; !slices.Equal(coloursOf(stones), want) {
		t.Errorf("got %v, want %v", coloursOf(stones), want)
	}
}

// Row by row: levels take the colours in turn, a bed's own coat begins at its
// outermost level, a stone between rows is as the nearest row, and a bed without
// rows is one level.
func TestRowByRow(t *testing.T) {
	build := func(bedRows bool) ([]design.Stone, []Row) {
		stones, rim := lineOf(3, design.RoleRim)
		rows := []Row{rim}
		for level := 1; level <= 3; level++ {
			more, _ := lineOf(3, design.RoleBed)
			r := Row{Level: level}
			for _, s := range more {
				s.Y = float64(level)
				r.Stones = append(r.Stones, len(stones))
				stones = append(stones, s)
			}
			if bedRows {
				rows = append(rows, r)
			}
		}
		return append(stones, design.Stone{X: 1, Y: 2.3, Role: design.RoleBed}), rows
	}
	for _, c := range []struct {
		bedRows bool
		roles   []design.Role
		want    string
	}{
		{true, nil, "[a a a b b b c c c a a a c]"},
		{true, []design.Role{design.RoleBed}, "[own own own a a a b b b c c c b]"},
		{false, nil, "[a a a b b b b b b b b b b]"},
	} {
		stones, rows := build(c.bedRows)
		Paint(stones, rows, 1, []Coat{{Pattern: ByRow, Roles: c.roles, Colours: []string{"a", "b", "c"}}})
		if got := fmt.Sprint(coloursOf(stones)); got != c.want {
			t.Errorf("with rows %v for %v: got %s, want %s", c.bedRows, c.roles, got, c.want)
		}
	}
}

// combIn gives the points of a honeycomb of pitch 1 in a box.
func combIn(w, h int) []design.Stone {
	var out []design.Stone
	for y := range h {
		for x := range w {
			out = append(out, design.Stone{X: float64(x) + float64(y%2)/2, Y: float64(y) * math.Sqrt(3) / 2, Region: "r", Role: design.RoleBed})
		}
	}
	return out
}

// A gradient rightwards is pure over the first and last sixth (three colours, half
// a share each), has only the two colours next to it anywhere, shares all colours
// alike, and in every upright band has the mean that its place asks for.
func TestGradientMeans(t *testing.T) {
	stones := combIn(90, 30)
	Paint(stones, nil, 1, []Coat{{Pattern: Gradient, Colours: []string{"a", "b", "c"}}})
	value := map[string]float64{"a": 0, "b": 1, "c": 2}
	least, most := 0.0, 89.5
	const band = 6.0
	sums, wants, counts := map[int]float64{}, map[int]float64{}, map[int]float64{}
	for _, s := range stones {
		asked := math.Max(0, math.Min(2, 3*(s.X-least)/(most-least)-0.5))
		if math.Abs(value[s.Colour]-asked) >= 1 {
			t.Fatalf("the stone at %v is %s where the gradient is %.3f", s.X, s.Colour, asked)
		}
		k := int(s.X / band)
		sums[k], wants[k], counts[k] = sums[k]+value[s.Colour], wants[k]+asked, counts[k]+1
	}
	for k, n := range counts {
		if off := math.Abs(sums[k]-wants[k]) / n; off > 0.02 {
			t.Errorf("band %d is %.3f off the gradient", k, off)
		}
	}
	for colour, n := range tally(stones) {
		if share := float64(n) / float64(len(stones)); math.Abs(share-1.0/3) > 0.01 {
			t.Errorf("%s has a share of %.3f", colour, share)
		}
	}
}

// The mixture looks even: through the blur of an eye it is far nearer to the
// gradient than stones chosen each by lot with the right chance.
func TestGradientLooksEven(t *testing.T) {
	stones := combIn(60, 40)
	Paint(stones, nil, 1, []Coat{{Pattern: Gradient, Colours: []string{"a", "b"}, Towards: math.Pi / 3}})
	c := Coat{Colours: []string{"a", "b"}, Towards: math.Pi / 3}
	var at []geom.Point
	for _, s := range stones {
		at = append(at, geom.Point{X: s.X, Y: s.Y})
	}
	asked := c.values(at)
	rnd := rand.New(rand.NewPCG(2, 2))
	var ours, lot []float64
	for i, s := range stones {
		mine, drawn := 0.0, 0.0
		if s.Colour == "b" {
			mine = 1
		}
		if rnd.Float64() < asked[i] {
			drawn = 1
		}
		ours, lot = append(ours, mine-asked[i]), append(lot, drawn-asked[i])
	}
	rough := func(errs []float64) float64 {
		sum := 0.0
		for _, p := range at {
			felt, weight := 0.0, 0.0
			for j, q := range at {
				w := math.Exp(-p.Dist2(q) / 2)
				felt, weight = felt+w*errs[j], weight+w
			}
			sum += felt / weight * felt / weight
		}
		return math.Sqrt(sum / float64(len(at)))
	}
	a, b := rough(ours), rough(lot)
	t.Logf("root mean square of the blurred error: %.4f, by lot %.4f", a, b)
	if a > b/4 {
		t.Errorf("the blurred error is %.4f, by lot %.4f", a, b)
	}
}

// Outwards, the middle is of the first colour and the edge of the last; a region
// of one stone, or of stones in one place along the direction, has a colour too.
func TestGradientOutwardsAndDegenerate(t *testing.T) {
	stones := combIn(41, 47)
	Paint(stones, nil, 1, []Coat{{Pattern: Gradient, Outward: true, Colours: []string{"a", "b"}}})
	middle := geom.Point{X: 20.25, Y: 46 * math.Sqrt(3) / 4}
	far := middle.Dist(geom.Point{X: 0, Y: 0})
	for _, s := range stones {
		d := middle.Dist(geom.Point{X: s.X, Y: s.Y})
		if (d < far/5 && s.Colour != "a") || (d > 0.8*far && s.Colour != "b") {
			t.Errorf("the stone %.2f from the middle is %s", d/far, s.Colour)
		}
	}
	for _, towards := range []float64{0, math.Pi / 2} {
		one, _ := lineOf(5, design.RoleRim)
		Paint(one, nil, 1, []Coat{{Pattern: Gradient, Towards: towards, Colours: []string{"a", "b"}}})
		if n := tally(one); n["a"]+n["b"] != 5 {
			t.Errorf("towards %v gives %v", towards, n)
		}
	}
	Paint(nil, nil, 1, []Coat{{Pattern: Gradient, Colours: []string{"a", "b"}}})
}

func BenchmarkGradient10k(b *testing.B) {
	stones := combIn(100, 100)
	for b.Loop() {
		Paint(stones, nil, 1, []Coat{{Pattern: Gradient, Colours: []string{"a", "b", "c"}}})
	}
}
