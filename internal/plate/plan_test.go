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
	var try func(i, used, n int) bool
	try = func(i, used, n int) bool {
		if i == len(stones) {
			return true
		}
		for p := range min(n, used+1) { // one empty plate is as good as another
			free := true
			for j := range i {
				free = free && (on[j] != p || !apart(stones[i], stones[j]))
			}
			on[i] = p
			if free && try(i+1, max(used, p+1), n) {
				return true
			}
		}
		return false
	}
	n := 1
	for !try(0, 0, n) {
		n++
	}
	return n
}

// The plan has the fewest plates, and says so with proof, whatever clashes: kinds
// up to the dozen, webs, or both.
func TestFewestIsFewest(t *testing.T) {
	for name, c := range map[string]struct {
		kinds  int
		spread float64
	}{"kinds clash": {12, 500}, "webs clash": {1, 7}, "both clash": {12, 9}, "few kinds, many webs": {3, 5}} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				kinds := drawKinds(t, c.kinds)
				stones := drawStones(t, kinds, rapid.IntRange(1, 12).Draw(t, "stones"), c.spread)
				r, err := Plan(stones, kinds, usual())
				if err != nil {
					t.Fatal(err)
				}
				checkPlan(t, stones, kinds, usual(), r)
				byName := map[[2]string]design.Kind{}
				for _, k := range kinds {
					byName[[2]string{k.Size, k.Colour}] = k
				}
				want := fewestByTrial(stones, byName, usual().Web)
				if len(r.Plates) != want || !r.Bound.Met {
					t.Fatalf("%d plates, %+v; by trial %d", len(r.Plates), r.Bound, want)
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

// at sets one stone of a kind.
func at(k design.Kind, x, y float64) []design.Stone {
	return []design.Stone{{X: x, Y: y, Size: k.Size, Colour: k.Colour, Region: "r", Role: design.RoleHand}}
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
		{"two colours", [][]design.Stone{row(crystal, 0, 5, 5), row(jet, 20, 5, 4)}, Fewest, "[SS10 jet] [SS10 crystal]", "2 plates: SS10 comes in two colours"},
		{"sizes too near", [][]design.Stone{row(crystal, 0, 5, 5), row(siam12, 20, 5, 4)}, Fewest, "[SS10 crystal] [SS12 siam]", "2 plates: SS10 crystal and SS12 siam fall into"},
		{
			"colours kept together",
			[][]design.Stone{row(crystal, 0, 5, 5), row(jet, 10, 5, 5), row(jet6, 20, 5, 5), row(crystal16, 30, 7, 5)},
			Fewest,
			"[SS10 jet SS6 jet] [SS16 crystal SS10 crystal]", "2 plates: SS10 comes in two colours",
		},
		{
			"by colour",
			[][]design.Stone{row(crystal16, 0, 7, 5), row(jet6, 20, 5, 5)},
			ByColour,
			"[SS6 jet] [SS16 crystal]", "2 plates: each colour on its own",
		},
		{
			"kinds stay whole",
			[][]design.Stone{row(crystal6, 0, 5, 3), row(crystal16, 3, 50, 2)},
			Fewest,
			"[SS6 crystal] [SS16 crystal]", "2 plates: among the stones, two stand too close",
		},
		{
			"stones are told apart where that needs fewer",
			[][]design.Stone{
				at(crystal6, 0, 0), at(crystal, 0, 3), at(crystal6, 50, 0), at(crystal16, 50, 3.5), at(crystal, 100, 0), at(crystal16, 100, 4),
			},
			Fewest,
			"[SS10 crystal SS6 crystal] [SS16 crystal SS10 crystal]", "2 plates: among the stones, two stand too close",
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

// More kinds than the search can try in every way still get the fewest plates:
// three sizes follow each other closely, in six colours each.
func TestManyKinds(t *testing.T) {
	var kinds []design.Kind
	var stones []design.Stone
	for _, s := range catalogue.Sizes() {
		for _, c := range catalogue.Colours()[:6] {
			k := kindOf(s.Name, c.Name)
			kinds = append(kinds, k)
			stones = append(stones, row(k, float64(20*len(kinds)), 50, 2)...)
		}
	}
	r, err := Plan(stones, kinds, usual())
	if err != nil {
		t.Fatal(err)
	}
	checkPlan(t, stones, kinds, usual(), r)
	if want := "18 plates: 18 kinds of SS3, SS4 and SS5 fall into each other's holes"; len(r.Plates) != 18 || r.Bound.Why != want {
		t.Errorf("%d plates, %+v, want %q", len(r.Plates), r.Bound, want)
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

// Stones that could stand on any plate of a tight kind all go onto one.
func TestKindsAreGathered(t *testing.T) {
	tight, loose := kindOf("SS10", "crystal"), kindOf("SS16", "crystal")
	stones := slices.Concat(row(tight, 0, 3, 30), row(loose, 50, 9, 20), row(loose, 3.9, 84, 2))
	r, err := Plan(stones, []design.Kind{tight, loose}, usual())
	if err != nil {
		t.Fatal(err)
	}
	checkPlan(t, stones, []design.Kind{tight, loose}, usual(), r)
	holders := 0
	for _, p := range r.Plates {
		if slices.Contains(p.Order, "SS16 crystal") {
			holders++
		}
	}
	if len(r.Plates) != 2 || holders > 2 {
		t.Errorf("%d plates, SS16 on %d", len(r.Plates), holders)
	}
	w, err := newWork(stones, []design.Kind{tight, loose}, usual())
	if err != nil {
		t.Fatal(err)
	}
	g := w.groups(Fewest)[0]
	spread := share{of: make([]int, len(stones)), count: 4}
	for i, s := range g.stones {
		spread.of[i] = s % 4 // the loose ones in the far row need none of this
	}
	got := w.gathered(g, spread)
	on := map[int]bool{}
	for i, s := range g.stones {
		if stones[s].Y == 50 {
			on[got.of[i]] = true
		}
	}
	if len(on) > 2 {
		t.Errorf("stones that are free to stand anywhere are on %d plates", len(on))
	}
}
