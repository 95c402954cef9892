package trial

import (
	"context"
	"errors"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

func standard(t testing.TB) []Case {
	t.Helper()
	shapes, err := Standard(os.DirFS(".."))
	if err != nil {
		t.Fatal(err)
	}
	all, err := Cases(shapes)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// The set is what it says: enough outlines of every kind, each of them a
// normalised area that can hold stones, names that tell them apart.
func TestStandardSet(t *testing.T) {
	kinds, names := map[string]int{}, map[string]bool{}
	for _, c := range standard(t) {
		if names[c.Name()] {
			t.Errorf("two cases are called %s", c.Name())
		}
		names[c.Name()] = true
		if c.Size == "SS6" {
			kinds[c.Kind]++
		}
		b := c.Area.Bounds()
		box := b.Width() * b.Height()
		if a := c.Area.Area(); a < 0.1*box || a > 0.9*box || a < 500 || a > 20_000 {
			t.Errorf("%s has an area of %.0f mm² in a box of %.0f mm²", c.Name(), a, box)
		}
		if math.Abs(b.MinX)+math.Abs(b.MinY) > 1e-9 || math.Max(b.Width(), b.Height()) > 230 {
			t.Errorf("%s has the box %v", c.Name(), b)
		}
		if again := geom.Fill(c.Area.Rings, geom.EvenOdd); math.Abs(again.Area()-c.Area.Area()) > 1e-3 {
			t.Errorf("%s is not normalised: %.4f and %.4f mm²", c.Name(), c.Area.Area(), again.Area())
		}
	}
	if kinds["letter"] < 60 || kinds["icon"] != 20 || kinds["drawn"] < 12 {
		t.Errorf("outlines by kind: %v", kinds)
	}
	for _, name := range quick() {
		if !names[name] {
			t.Errorf("a short run names %s, which there is not", name)
		}
	}
}

// Letters stand as high as they are asked to, and the upright ones have the
// holes that their letter has.
func TestLetters(t *testing.T) {
	holes := map[string]int{"A": 1, "B": 2, "R": 1, "S": 0, "k": 0, "5": 0, "w": 0, "e": 1}
	for _, c := range standard(t) {
		if c.Kind != "letter" {
			continue
		}
		words := strings.Split(c.Shape.Name, "-")
		letter, height := words[len(words)-2], words[len(words)-1]
		if h := c.Area.Bounds().Height(); math.Abs(h-map[string]float64{"60": 60, "120": 120}[height]) > 1e-6 {
			t.Errorf("%s is %g mm high", c.Name(), h)
		}
		upright := !strings.HasPrefix(c.Name(), "dancing") && !strings.HasPrefix(c.Name(), "libre")
		if n, known := holes[letter]; known && upright && c.Area.Euler() != 1-n {
			t.Errorf("%s has the Euler characteristic %d, want %d", c.Name(), c.Area.Euler(), 1-n)
		}
	}
}

// Areas by formula: π r², ring, six-pointed star (12 equal triangles), and heart,
// 180 π in its own units (Weisstein, "Heart Curve", MathWorld).
func TestDrawnAreas(t *testing.T) {
	want := map[string]float64{
		"disc-40": math.Pi * 400, "ring-slim": math.Pi * (35*35 - 28*28),
		"star6-70": 12 * math.Sqrt(3) / 4 * (35 / math.Sqrt(3)) * (35 / math.Sqrt(3)),
		"heart-90": 180 * math.Pi * (90.0 / 32) * (90.0 / 32),
	}
	for _, s := range drawnShapes() {
		if a, ok := want[s.Name]; ok && math.Abs(s.Area.Area()/a-1) > 1e-4 {
			t.Errorf("%s: %.2f mm², want %.2f", s.Name, s.Area.Area(), a)
		}
	}
	for _, n := range []int{1000, 100_000} {
		const d, p = 2.9, 3.8
		inner := geom.Inset(Blob(n, d, p), d/2, chordError)
		if got := inner.Area() / (p * p * math.Sqrt(3) / 2); math.Abs(got/float64(n)-1) > 0.01 {
			t.Errorf("a blob for %d stones has place for %.0f", n, got)
		}
	}
}

func TestFaultsOfTheSet(t *testing.T) {
	var f *fault.Error
	if _, err := Standard(fstest.MapFS{}); !errors.As(err, &f) || f.Code != "trial-set" || !strings.HasPrefix(f.Where, "trial/testdata/fonts/") {
		t.Errorf("a missing font: %v", err)
	}
	if _, err := Match(standard(t), "no such"); !errors.As(err, &f) || f.Code != "trial-shape" {
		t.Errorf("an unknown shape: %v", err)
	}
	for _, text := range []string{"", "# remark", "n\n7", "n,ratio\n7", "n,ratio\nx,3", "n,ratio\n7,x"} {
		if got, err := ReadDiscs(strings.NewReader(text), "file"); err == nil && len(got) > 0 {
			t.Errorf("%q gives %v", text, got)
		}
	}
}

// No outline of the standard set, left to the program, breaks a rule or has room
// left for a stone.
func TestNoOutlineBreaksARule(t *testing.T) {
	t.Parallel()
	all := slices.DeleteFunc(standard(t), func(c Case) bool { return c.Size != "SS10" })
	trials, err := Run(context.Background(), all, []int{AutoLive}, func() float64 { return 0 }, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range trials {
		for _, f := range slices.Concat(x.Laid[AutoLive].Broken, x.Laid[AutoLive].Places) {
			t.Errorf("%s: %v", x.Case.Name(), f)
		}
	}
}

// A short bench breaks no rule and leaves no room, and its figures can be printed.
func TestBenchOfThreeCases(t *testing.T) {
	all := slices.DeleteFunc(standard(t), func(c Case) bool {
		return !slices.Contains([]string{"lora-e-60 SS10", "lucide-static/paw-print SS10", "star5-60 SS10"}, c.Name())
	})
	seconds := 0.0
	var r Report
	var err error
	if r.Trials, err = Run(context.Background(), all, []int{AutoLive, AutoFinal, FullLive, FullFinal}, func() float64 { return seconds }, nil); err != nil {
		t.Fatal(err)
	}
	if len(r.Trials) != 3 {
		t.Fatalf("%d cases", len(r.Trials))
	}
	for _, x := range r.Trials {
		for i, l := range x.Laid {
			if l.Row.Broken != 0 || l.Row.Room != nil && *l.Row.Room != 0 {
				t.Errorf("%s, %s: %d broken %v", x.Case.Name(), Settings()[i].Name, l.Row.Broken, l.Broken)
			}
		}
		if n := float64(x.Laid[FullFinal].Row.Filling); n > x.Bound || n < 1 {
			t.Errorf("%s: %g stones where the bound is %.1f", x.Case.Name(), n, x.Bound)
		}
		for i, l := range x.Plain {
			if n := float64(l.Row.Filling); l.Row.Broken > 0 || n > x.Bound || n < 1 || n != float64(len(l.Stones)) {
				t.Errorf("%s, plain way %d: %g stones, %v", x.Case.Name(), i, n, l.Broken)
			}
		}
		if *x.Plain[Random].Row.Room != 0 {
			t.Errorf("%s: the maximal sampling has room", x.Case.Name())
		}
	}
	if r.Turned, err = Turn(context.Background(), all[:1], nil); err != nil {
		t.Fatal(err)
	}
	if x := r.Turned[0]; x.Fewest < 1 || x.Fewest > x.Most || float64(x.Most) > r.Trials[0].Bound {
		t.Errorf("turned: %+v", x)
	}
	var table, shapes strings.Builder
	if err := r.Print(&table); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"3 outlines, 3 cases", "M1 ", "M2 ", "M3 ", "M4 ", "M5 ", "M6 ", "M7 ", "M8 ", "M9 ", "M10 ", "turn ", "honeycomb", "worst"} {
		if !strings.Contains(table.String(), want) {
			t.Errorf("the table has no %q:\n%s", want, table.String())
		}
	}
	if err := r.PrintShapes(&shapes); err != nil || strings.Count(shapes.String(), "rim+bed final, ") != 3 {
		t.Errorf("%v\n%s", err, shapes.String())
	}
}

// The design that changes are timed on has its regions side by side, each near
// others, and as many stones as are asked for.
func TestQuilt(t *testing.T) {
	shapes, err := Standard(os.DirFS(".."))
	if err != nil {
		t.Fatal(err)
	}
	req := Quilt(shapes, 1000)
	area, beside := 0.0, 0
	for i, r := range req.Regions {
		area += r.Shape.Area()
		for _, o := range req.Regions[:i] {
			if r.Shape.Bounds().Overlaps(o.Shape.Bounds()) {
				beside++
			}
		}
	}
	if want := 1000 * 3.8 * 3.8 * math.Sqrt(3) / 2; math.Abs(area-want) > 1e-6*want {
		t.Errorf("the design has %.1f mm², want %.1f", area, want)
	}
	if len(req.Regions) != QuiltRegions || beside < QuiltRegions {
		t.Errorf("%d regions, %d pairs side by side", len(req.Regions), beside)
	}
}
