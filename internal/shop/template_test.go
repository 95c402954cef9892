package shop

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"brushfall/internal/catalogue"
)

func TestWordsAreTakenApart(t *testing.T) {
	for text, want := range map[string][]string{
		"Łukasz, Siân & Nguyễn's":   {"lukasz", "sian", "nguyen", "s"},
		"Straße 12-oz  SS10":        {"strasse", "12", "oz", "ss10"},
		"  \"*()^\t":                {},
		"Ærø e\u0301te\u0301 ÅNGST": {"aero", "ete", "angst"},
	} {
		if got := Words(text); !slices.Equal(got, want) {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func TestFramesSayTheirDesign(t *testing.T) {
	for text, want := range map[string]string{"heron 1/2": "HERON", "HERON": "HERON", "crew 8/9 2/2": "CREW 8/9", "1/2": "1/2", "": ""} {
		if got := TemplateMark(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// template makes one of kinds with the stones each takes.
func templateOf(name string, takes map[Kind]int) TemplateSet {
	t := TemplateSet{Design: name, Condition: Good}
	for k, n := range takes {
		t.Kinds = append(t.Kinds, Stones{k, n, n})
	}
	slices.SortFunc(t.Kinds, LargestFirst)
	return t
}

func TestWhatCanBeBrushed(t *testing.T) {
	crystal, jet, siam := Kind{"SS10", "crystal"}, Kind{"SS10", "jet"}, Kind{"SS6", "siam"}
	all := []TemplateSet{
		templateOf("much", map[Kind]int{crystal: 500}),
		templateOf("two", map[Kind]int{crystal: 40, siam: 30}),
		templateOf("none of it", map[Kind]int{siam: 1000}),
		{Design: "gone", Condition: Gone, Kinds: []Stones{{crystal, 1, 1}}},
		templateOf("nearly", map[Kind]int{crystal: 40, jet: 12}),
	}
	free := map[Kind]int{crystal: 1000, siam: 90, jet: 10}
	got := ""
	for _, b := range Brushable(all, free, BrushQuestion{Transfers: 1}) {
		got += fmt.Sprint(b.Template.Design, " ", b.Transfers, " ", b.Missing, "; ")
	}
	if want := "much 2 []; two 3 []; nearly 0 [{SS10 jet 2}]; none of it 0 [{SS6 siam 910}]; "; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	// Nine tenths and more of the stones are there for three of them.
	if few := Brushable(all, free, BrushQuestion{Transfers: 1, Least: 0.9, Most: 9}); len(few) != 3 || few[2].Template.Design != "nearly" {
		t.Errorf("%+v", few)
	}
	// Eleven of the second: 440 crystal and 330 siam.
	if b := Brushable(all[1:2], free, BrushQuestion{Transfers: 11})[0]; b.Transfers != 3 || b.Short() != 240 {
		t.Errorf("%+v", b)
	}
	free[Kind{"SS10", "siam"}], free[Kind{"SS10", "black diamond"}] = 50, 50
	b := Brushable(all[4:], free, BrushQuestion{Transfers: 1, Swap: true})[0]
	if !b.Can() || len(b.Swaps) != 1 || b.Swaps[0].For != jet || b.Swaps[0].By.Colour == "crystal" || b.Transfers != 4 {
		t.Errorf("%+v", b)
	}
}

// bestSwaps tries every assignment of colours to what is short.
func bestSwaps(own map[Kind]int, free map[Kind]int) (most int, apart float64) {
	var short []Kind
	for k, n := range own {
		if free[k] < n {
			short = append(short, k)
		}
	}
	apart = math.Inf(1)
	taken := map[Kind]bool{}
	var try func(i, n int, sum float64)
	try = func(i, n int, sum float64) {
		if i == len(short) {
			if n > most || n == most && sum < apart {
				most, apart = n, sum
			}
			return
		}
		for k, has := range free {
			if _, mine := own[k]; !mine && !taken[k] && k.Size == short[i].Size && has >= own[short[i]] {
				taken[k] = true
				try(i+1, n+1, sum+colourApart(catalogue.Stones{}, k.Colour, short[i].Colour))
				delete(taken, k)
			}
		}
		try(i+1, n, sum)
	}
	try(0, 0, 0)
	return most, apart
}

// The substitutes are those that trying everything finds: as many as can be, and the
// nearest colours in sum.
func TestSubstitutesAreTheNearest(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	colours := catalogue.Colours()
	some := func() Kind {
		return Kind{[]string{"SS6", "SS10"}[rng.IntN(2)], colours[rng.IntN(len(colours))].Name}
	}
	swapped := 0
	for range 300 {
		own, free := map[Kind]int{}, map[Kind]int{}
		for range 1 + rng.IntN(4) {
			own[some()] = 1 + rng.IntN(100)
		}
		for range 6 {
			free[some()] = rng.IntN(150)
		}
		b := Brushable([]TemplateSet{templateOf("x", own)}, free, BrushQuestion{Transfers: 1, Swap: true})[0]
		sum := 0.0
		by := map[Kind]bool{}
		for _, s := range b.Swaps {
			sum += s.Apart
			if _, mine := own[s.By]; mine || by[s.By] || s.By.Size != s.For.Size || free[s.By] < own[s.For] || free[s.For] >= own[s.For] {
				t.Fatalf("%+v cannot stand in; own %v, free %v", s, own, free)
			}
			by[s.By] = true
		}
		most, apart := bestSwaps(own, free)
		if len(b.Swaps) != most || math.Abs(sum-apart) > 1e-9 {
			t.Fatalf("%d substitutes %g apart, want %d, %g; own %v, free %v", len(b.Swaps), sum, most, apart, own, free)
		}
		swapped += min(1, most)
	}
	if swapped < 50 {
		t.Error("the cases are too plain to tell:", swapped)
	}
}

// Light and dark are far apart, a colour from itself is not.
func TestColoursApart(t *testing.T) {
	if d := colourApart(catalogue.Stones{}, "jet", "crystal"); d < 50 {
		t.Error("jet and crystal are", d)
	}
	if d := colourApart(catalogue.Stones{}, "jet", "jet"); d != 0 {
		t.Error("jet and jet are", d)
	}
	if d := colourApart(catalogue.Stones{}, "jet", "no such"); d != 100 {
		t.Error(d)
	}
}
