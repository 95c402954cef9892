package plate

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"

	"pgregory.net/rapid"
)

// kindOf gives a kind of the catalogue's figures.
func kindOf(size, colour string) design.Kind {
	s, err := catalogue.FindSize(size)
	if err != nil {
		panic(err)
	}
	return design.Kind{Size: s.Name, Colour: colour, Diameter: s.Largest, Smallest: s.Smallest, Hole: s.Hole, Height: s.Height}
}

func usual() Options { return Options{Web: catalogue.Web, Border: catalogue.Border} }

// checkPlan holds a plan against the rules of plates, from its data alone.
func checkPlan(t rapid.TB, in []design.Stone, kinds []design.Kind, opt Options, r Result) {
	t.Helper()
	const eps = 1e-6
	if len(r.Stones) != len(in) || len(r.Plates) == 0 {
		t.Fatalf("%d stones in, %d out, on %d plates", len(in), len(r.Stones), len(r.Plates))
	}
	find := func(s design.Stone) design.Kind {
		i := slices.IndexFunc(kinds, func(k design.Kind) bool { return k.Size == s.Size && k.Colour == s.Colour })
		return kinds[i]
	}
	holes := make([][]design.Hole, len(r.Plates))
	met := make([][]design.Kind, len(r.Plates))
	for i, s := range r.Stones {
		p := s.Plate
		s.Plate = in[i].Plate
		if s != in[i] || p < 1 || p > len(r.Plates) {
			t.Fatalf("stone %d: %+v came out as %+v on plate %d", i, in[i], s, p)
		}
		holes[p-1] = append(holes[p-1], design.Hole{X: s.X, Y: s.Y, D: find(s).Hole})
		if k := find(s); !slices.Contains(met[p-1], k) {
			met[p-1] = append(met[p-1], k)
		}
	}
	for n, p := range r.Plates {
		if p.Number != n+1 || !slices.Equal(p.Holes, holes[n]) || len(p.Holes) == 0 {
			t.Fatalf("plate %d: number %d, %d holes, want %d in the stones' order", n+1, p.Number, len(p.Holes), len(holes[n]))
		}
		if p.Frame != r.Plates[0].Frame || p.Notch != r.Plates[0].Notch {
			t.Fatalf("plate %d has a frame or a notch of its own", n+1)
		}
		checkHoles(t, p, opt, eps)
		checkMarks(t, p, opt, eps)
		checkKinds(t, p, met[n], opt)
	}
	if r.Bound.Plates > len(r.Plates) || r.Bound.Met != (r.Bound.Plates == len(r.Plates)) || r.Bound.Why == "" {
		t.Fatalf("%d plates, %+v", len(r.Plates), r.Bound)
	}
}

func checkHoles(t rapid.TB, p design.Plate, opt Options, eps float64) {
	t.Helper()
	for i, h := range p.Holes {
		edge := min(h.X-p.Frame[0], h.Y-p.Frame[1], p.Frame[2]-h.X, p.Frame[3]-h.Y) - h.D/2
		if edge < opt.Border-eps {
			t.Fatalf("plate %d: hole %+v is %g mm from the frame", p.Number, h, edge)
		}
		for _, g := range p.Holes[:i] {
			if web := math.Hypot(h.X-g.X, h.Y-g.Y) - h.D/2 - g.D/2; web < opt.Web-WebTolerance {
				t.Fatalf("plate %d: a web of %g mm", p.Number, web)
			}
		}
	}
}

// checkMarks holds the marks to what a person needs of them: the notch in the
// middle, as many nicks as the plate's number, all to its right, clear of holes
// and inside the frame.
func checkMarks(t rapid.TB, p design.Plate, opt Options, eps float64) {
	t.Helper()
	middle := (p.Frame[0] + p.Frame[2]) / 2
	if math.Abs(p.Notch[0]-middle) > eps || math.Abs(p.Notch[1]-p.Frame[1]-3) > eps || len(p.Nicks) != p.Number {
		t.Fatalf("plate %d: notch %v, %d nicks in %v", p.Number, p.Notch, len(p.Nicks), p.Frame)
	}
	clear := max(opt.Web, 1)
	marks := [][4]float64{
		{middle - 2, p.Frame[1], p.Notch[0], p.Notch[1]},
		{p.Notch[0], p.Notch[1], middle + 2, p.Frame[1]},
	}
	for _, n := range p.Nicks {
		if n[0] < middle+3 || min(n[1], n[3]) < p.Frame[1]+1 || max(n[0], n[2]) > p.Frame[2]-1 || math.Abs(n[3]-n[1]-3) > eps {
			t.Fatalf("plate %d: nick %v in frame %v", p.Number, n, p.Frame)
		}
		marks = append(marks, n)
	}
	for _, m := range marks {
		for _, h := range p.Holes {
			if d := toSegment(h, m) - h.D/2; d < clear-eps {
				t.Fatalf("plate %d: hole %+v is %g mm from the mark %v", p.Number, h, d, m)
			}
		}
	}
}

func toSegment(h design.Hole, m [4]float64) float64 {
	dx, dy := m[2]-m[0], m[3]-m[1]
	share := min(1, max(0, ((h.X-m[0])*dx+(h.Y-m[1])*dy)/(dx*dx+dy*dy)))
	return math.Hypot(h.X-m[0]-share*dx, h.Y-m[1]-share*dy)
}

// checkKinds holds the kinds of one plate against the rule of the trade: the
// larger cannot enter the smaller hole; brushed largest first (common practice).
func checkKinds(t rapid.TB, p design.Plate, met []design.Kind, opt Options) {
	t.Helper()
	for i, a := range met {
		for _, b := range met[:i] {
			large, small := a, b
			if large.Diameter < small.Diameter {
				large, small = small, large
			}
			if large.Size == small.Size || large.Smallest <= small.Hole {
				t.Fatalf("plate %d: %v falls into the holes of %v", p.Number, large, small)
			}
			if opt.Mode == ByColour && a.Colour != b.Colour {
				t.Fatalf("plate %d holds two colours", p.Number)
			}
		}
	}
	slices.SortFunc(met, func(a, b design.Kind) int { return int(math.Copysign(1, b.Diameter-a.Diameter)) })
	var order []string
	for _, k := range met {
		order = append(order, k.Size+" "+k.Colour)
	}
	if !slices.Equal(order, p.Order) {
		t.Fatalf("plate %d: order %v, want %v", p.Number, p.Order, order)
	}
}

func drawKinds(t *rapid.T, most int) []design.Kind {
	sizes := catalogue.Sizes()
	colours := []string{"crystal", "jet", "siam"}
	var kinds []design.Kind
	picks := rapid.SliceOfNDistinct(rapid.IntRange(0, len(sizes)*3-1), 1, most, rapid.ID[int]).Draw(t, "kinds")
	for _, n := range picks {
		kinds = append(kinds, kindOf(sizes[n/3].Name, colours[n%3]))
	}
	return kinds
}

func drawStones(t *rapid.T, kinds []design.Kind, n int, spread float64) []design.Stone {
	var stones []design.Stone
	for range n {
		k := rapid.SampledFrom(kinds).Draw(t, "kind")
		stones = append(stones, design.Stone{
			X: rapid.Float64Range(-spread, spread).Draw(t, "x"), Y: rapid.Float64Range(-spread, spread).Draw(t, "y"),
			Size: k.Size, Colour: k.Colour, Region: "r", Role: design.RoleBed,
		})
	}
	return stones
}

func TestPlansKeepTheRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kinds := drawKinds(t, 7)
		stones := drawStones(t, kinds, rapid.IntRange(1, 60).Draw(t, "stones"), rapid.Float64Range(3, 60).Draw(t, "spread"))
		opt := Options{
			Mode: rapid.SampledFrom([]Mode{Fewest, ByColour}).Draw(t, "mode"),
			Web:  rapid.Float64Range(0, 1).Draw(t, "web"), Border: rapid.Float64Range(0, 12).Draw(t, "border"),
			RoundFrame: rapid.SampledFrom([]float64{0, 12.7, 5}).Draw(t, "round"),
		}
		r, err := Plan(stones, kinds, opt)
		if err != nil {
			t.Fatal(err)
		}
		checkPlan(t, stones, kinds, opt, r)
		f := r.Plates[0].Frame
		for _, side := range []float64{f[2] - f[0], f[3] - f[1]} {
			if n := side / opt.RoundFrame; opt.RoundFrame > 0 && math.Abs(n-math.Round(n)) > 1e-6 {
				t.Fatalf("a side of %g mm is no multiple of %g", side, opt.RoundFrame)
			}
		}
		again, _ := Plan(stones, kinds, opt)
		if fmt.Sprint(again) != fmt.Sprint(r) {
			t.Fatal("the same stones are planned in another way")
		}
	})
}

// fewestByTrial gives the fewest plates by trying them all: the least n for
// which every stone can be given one of n plates. Small sets only.
func fewestByTrial(stones []design.Stone, kinds map[[2]string]design.Kind, web float64) int {
	apart := func(a, b design.Stone) bool {
		ka, kb := kinds[[2]string{a.Size, a.Colour}], kinds[[2]string{b.Size, b.Colour}]
		if ka.Diameter < kb.Diameter {
			ka, kb = kb, ka
		}
		return ka != kb && (ka.Size == kb.Size || ka.Smallest <= kb.Hole) ||
			math.Hypot(a.X-b.X, a.Y-b.Y)-ka.Hole/2-kb.Hole/2 < web-WebTolerance
	}
	on := make([]int, len(stones))
	var try func(i, n int) bool
	try = func(i, n int) bool {
		if i == len(stones) {
			return true
		}
		for p := range n {
			free := true
			for j := range i {
				free = free && (on[j] != p || !apart(stones[i], stones[j]))
			}
			on[i] = p
			if free && try(i+1, n) {
				return true
			}
		}
		return false
	}
	n := 1
	for !try(0, n) {
		n++
	}
	return n
}

func TestFewestIsFewest(t *testing.T) {
	for name, c := range map[string]struct {
		kinds  int
		spread float64
	}{"kinds clash": {6, 500}, "webs clash": {1, 7}} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				kinds := drawKinds(t, c.kinds)
				stones := drawStones(t, kinds, rapid.IntRange(1, 9).Draw(t, "stones"), c.spread)
				r, err := Plan(stones, kinds, usual())
				if err != nil {
					t.Fatal(err)
				}
				byName := map[[2]string]design.Kind{}
				for _, k := range kinds {
					byName[[2]string{k.Size, k.Colour}] = k
				}
				want := fewestByTrial(stones, byName, usual().Web)
				if c.kinds > 1 && r.Notes != nil {
					return // a stroke of luck put two stones together; the other case is for them
				}
				if len(r.Plates) != want || r.Bound.Plates > want {
					t.Fatalf("%d plates, bound %d; by trial %d", len(r.Plates), r.Bound.Plates, want)
				}
			})
		})
	}
}

// row sets n stones of a kind in a row at a pitch.
func row(k design.Kind, y, pitch float64, n int) []design.Stone {
	var out []design.Stone
	for i := range n {
		out = append(out, design.Stone{X: float64(i) * pitch, Y: y, Size: k.Size, Colour: k.Colour, Region: "r", Role: design.RoleRim})
	}
	return out
}

func TestHowPlatesAreShared(t *testing.T) {
	kinds := []design.Kind{
		kindOf("SS10", "crystal"), kindOf("SS10", "jet"), kindOf("SS6", "jet"), kindOf("SS16", "crystal"), kindOf("SS12", "siam"), kindOf("SS6", "crystal"),
	}
	crystal, jet, jet6, crystal16, siam12, crystal6 := kinds[0], kinds[1], kinds[2], kinds[3], kinds[4], kinds[5]
	for _, c := range []struct {
		name   string
		stones [][]design.Stone
		mode   Mode
		orders string // of the plates, in the order of brushing
		why    string
	}{
		{"one kind", [][]design.Stone{row(crystal, 0, 5, 5)}, Fewest, "[SS10 crystal]", "1 plate: SS10 crystal is by itself"},
		{"sizes share", [][]design.Stone{row(crystal, 0, 5, 5), row(jet6, 20, 5, 5)}, Fewest, "[SS10 crystal SS6 jet]", "1 plate: none of SS6 jet and SS10 crystal falls"},
		{"two colours", [][]design.Stone{row(crystal, 0, 5, 5), row(jet, 20, 5, 4)}, Fewest, "[SS10 jet] [SS10 crystal]", "2 plates: SS10 comes in 2 colours"},
		{"sizes too near", [][]design.Stone{row(crystal, 0, 5, 5), row(siam12, 20, 5, 4)}, Fewest, "[SS10 crystal] [SS12 siam]", "2 plates: SS10 crystal and SS12 siam fall into"},
		{
			"colours kept together", [][]design.Stone{row(crystal, 0, 5, 5), row(jet, 10, 5, 5), row(jet6, 20, 5, 5), row(crystal16, 30, 7, 5)}, Fewest,
			"[SS10 jet SS6 jet] [SS16 crystal SS10 crystal]", "2 plates: SS10 comes in 2 colours",
		},
		{
			"by colour", [][]design.Stone{row(crystal16, 0, 7, 5), row(jet6, 20, 5, 5)}, ByColour,
			"[SS6 jet] [SS16 crystal]", "2 plates: each colour on its own",
		},
		{
			"kinds stay whole", [][]design.Stone{row(crystal6, 0, 5, 3), row(crystal16, 3, 50, 2)}, Fewest,
			"[SS6 crystal] [SS16 crystal]", "2 plates: stones stand too close",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			stones := slices.Concat(c.stones...)
			r, err := Plan(stones, kinds, Options{Mode: c.mode, Web: 0.5, Border: 6})
			if err != nil {
				t.Fatal(err)
			}
			checkPlan(t, stones, kinds, Options{Mode: c.mode, Web: 0.5, Border: 6}, r)
			var orders []string
			for _, p := range r.Plates {
				orders = append(orders, fmt.Sprint(p.Order))
			}
			if got := strings.Join(orders, " "); got != c.orders {
				t.Errorf("plates %s, want %s", got, c.orders)
			}
			if !strings.HasPrefix(r.Bound.Why, c.why) || !r.Bound.Met {
				t.Errorf("%+v, want %q", r.Bound, c.why)
			}
		})
	}
}

// Stones at the tightest gap of one plate, fit + web, stay on one plate; a
// hair nearer in a row they alternate over two, in a honeycomb over three (the
// triangular lattice has the chromatic number 3).
func TestTightStones(t *testing.T) {
	size, err := catalogue.FindSize("SS10")
	if err != nil {
		t.Fatal(err)
	}
	k := kindOf("SS10", "crystal")
	pitch := size.Largest + size.Gap(catalogue.Web)
	honeycomb := func(pitch float64) []design.Stone {
		var out []design.Stone
		for r := range 30 {
			for _, s := range row(k, float64(r)*pitch*math.Sqrt(3)/2, pitch, 30) {
				s.X += float64(r%2) * pitch / 2
				out = append(out, s)
			}
		}
		return out
	}
	for name, c := range map[string]struct {
		stones []design.Stone
		want   int
	}{
		"row": {row(k, 0, pitch, 40), 1}, "tight row": {row(k, 0, pitch-0.1, 40), 2},
		"comb": {honeycomb(pitch), 1}, "tight comb": {honeycomb(pitch - 0.1), 3},
	} {
		r, err := Plan(c.stones, []design.Kind{k}, usual())
		if err != nil {
			t.Fatal(err)
		}
		checkPlan(t, c.stones, []design.Kind{k}, usual(), r)
		if len(r.Plates) != c.want || !r.Bound.Met || (len(r.Notes) > 0) != (c.want > 1) {
			t.Errorf("%s: %d plates, want %d; %+v %v", name, len(r.Plates), c.want, r.Bound, r.Notes)
		}
	}
}

func TestWhatCannotBePlanned(t *testing.T) {
	k := kindOf("SS10", "crystal")
	stones := row(k, 0, 5, 2)
	bad := k
	bad.Hole = 2.8
	for _, c := range []struct {
		name   string
		stones []design.Stone
		kinds  []design.Kind
		opt    Options
		code   string
	}{
		{"no stones", nil, []design.Kind{k}, usual(), "no-stones"},
		{"kind not listed", stones, []design.Kind{kindOf("SS6", "crystal")}, usual(), "kind-unknown"},
		{"kind twice", stones, []design.Kind{k, k}, usual(), "kind-twice"},
		{"hole too small", stones, []design.Kind{bad}, usual(), "kind-sizes"},
		{"no place", []design.Stone{{X: math.NaN(), Size: "SS10", Colour: "crystal"}}, []design.Kind{k}, usual(), "stone-place"},
		{"web", stones, []design.Kind{k}, Options{Web: -1}, "plate-options"},
		{"border", stones, []design.Kind{k}, Options{Border: math.Inf(1)}, "plate-options"},
		{"rounding", stones, []design.Kind{k}, Options{RoundFrame: math.NaN()}, "plate-options"},
		{"mode", stones, []design.Kind{k}, Options{Mode: 7}, "plate-options"},
	} {
		if _, err := Plan(c.stones, c.kinds, c.opt); fault.CodeOf(err) != c.code {
			t.Errorf("%s: %v, want %s", c.name, err, c.code)
		}
	}
}
