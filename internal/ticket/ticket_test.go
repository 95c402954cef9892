package ticket

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/fault"
)

// twoPlates is a made-up design: a row of SS10 and SS6 stones in two colours,
// a plate for each colour, both on one sheet.
func twoPlates() Input {
	doc := design.Document{
		Version: design.Version, Unit: "mm", Design: "Two rows", Width: 228.6, Height: 101.6,
		Sheets: []design.Sheet{{Number: 1, Width: 304.8, Height: 508, Placed: []design.Placed{{Plate: 2}, {Plate: 1}}}},
	}
	var counts []Count
	for plate, colour := range []string{"crystal ab", "light sapphire"} {
		p := design.Plate{Number: plate + 1, Frame: [4]float64{0, 0, 240, 110}, Notch: [2]float64{120, 3}}
		// the small ones stand first: brushing must not follow the stones' order
		for i, size := range []string{"SS6", "SS10"} {
			hole := []float64{2.4, 3.3}[i]
			doc.Kinds = append(doc.Kinds, design.Kind{Size: size, Colour: colour, Diameter: []float64{2.1, 2.9}[i], Hole: hole})
			n := 20*plate + 7*i + 3
			for j := range n {
				x, y := 6+4*float64(j), 10+8*float64(2*plate+i)
				doc.Stones = append(doc.Stones, design.Stone{X: x, Y: y, Size: size, Colour: colour, Plate: plate + 1})
				p.Holes = append(p.Holes, design.Hole{X: x, Y: y, D: hole})
			}
			counts = append(counts, Count{Size: size, Colour: colour, Pieces: n})
		}
		doc.Plates = append(doc.Plates, p)
	}
	return Input{Document: doc, Counts: counts, Press: Cotton, Tape: Tape{Width: 240, Height: 150, Sheets: 1, PerSheet: 2}}
}

func build(t *testing.T, in Input) Ticket {
	t.Helper()
	out, err := Build(in)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// The largest stones go first on every plate (common practice): the smaller
// would fall into their holes.
func TestLargestStonesAreBrushedFirst(t *testing.T) {
	tk := build(t, twoPlates())
	for _, p := range tk.Plates {
		if len(p.Brush) != 2 || p.Brush[0].Size != "SS10" || p.Brush[1].Size != "SS6" {
			t.Errorf("plate %d is brushed %v", p.Number, p.Brush)
		}
		if p.Brush[0].Pieces+p.Brush[1].Pieces != len(p.Holes) || p.Sheet != 1 {
			t.Errorf("plate %d: %d holes for %v on sheet %d", p.Number, len(p.Holes), p.Brush, p.Sheet)
		}
	}
}

// The order of the work is common practice: one hinge; each plate is brushed,
// lifted and taken away before the next takes its place.
func TestStepsGoPlateByPlateOverOneHinge(t *testing.T) {
	tk := build(t, twoPlates())
	var titles []string
	for _, s := range tk.Steps {
		titles = append(titles, s.Title)
	}
	want := "Cut|Weed|Set up the tray|Brush plate 1|Lift plate 1|Change to plate 2|Brush plate 2|Lift plate 2|Finish"
	if got := strings.Join(titles, "|"); got != want {
		t.Errorf("steps are %s", got)
	}
	checks := map[int]string{0: "sheet 1 holds plates 1 and 2", 3: "pour SS10 crystal ab and brush in light circles to fill 10 holes", 4: "hinge", 6: "SS6 light sapphire into the other 23 holes", 8: tk.Code}
	for i, text := range checks {
		if !strings.Contains(tk.Steps[i].Text, text) {
			t.Errorf("step %d lacks %q: %s", i+1, text, tk.Steps[i].Text)
		}
	}
}

// 9 in are 228.6 mm and 4 in are 101.6 mm: the inch is 25.4 mm (NIST SP 811).
func TestSizeInBothUnits(t *testing.T) {
	tk := build(t, twoPlates())
	if tk.Size != "228.6 × 101.6 mm" || tk.SizeInch != "9 × 4 in" {
		t.Errorf("size %q, %q", tk.Size, tk.SizeInch)
	}
}

func TestFactsNameFlockTapeAndHoles(t *testing.T) {
	in := twoPlates()
	in.Tape = Tape{Width: 400.2, Height: 300, Sheets: 2}
	got := fmt.Sprint(build(t, in).Facts)
	want := "[{Template flock 1 sheet, 304.8 × 508 mm} {Tape for one transfer 401 × 300 mm, pieced from 2 sheets} {Holes SS10 3.3 mm, SS6 2.4 mm}]"
	if got != want {
		t.Errorf("facts are %s", got)
	}
}

// Plates of one design are told from those of another by their code; the code
// must not change with what a sheet of paper says otherwise.
func TestCodeFollowsTheHolesAlone(t *testing.T) {
	in := twoPlates()
	first := Code(in.Document)
	in.Document.Design = "Renamed"
	if Code(in.Document) != first {
		t.Error("the code follows the name")
	}
	in.Document.Plates[0].Holes[3].X += 0.001
	if Code(in.Document) != first {
		t.Error("the code follows what no cutter can show")
	}
	in.Document.Plates[0].Holes[3].X += 0.1
	if Code(in.Document) == first {
		t.Error("the code does not follow the holes")
	}
}

func TestOverlappingHolesAreNotSaidToBeApart(t *testing.T) {
	in := twoPlates()
	if text := build(t, in).Steps[1].Text; !strings.Contains(text, "no hole shows through") {
		t.Errorf("plates apart: %s", text)
	}
	last := len(in.Document.Stones) - 1
	in.Document.Stones[last].X, in.Document.Stones[last].Y = in.Document.Stones[0].X+2, in.Document.Stones[0].Y
	if text := build(t, in).Steps[1].Text; strings.Contains(text, "no hole shows through") {
		t.Errorf("plates overlap: %s", text)
	}
}

// The figures for cotton are from memory; that glass and nylon are not pressed
// and what the cautions must name is common practice and the law named there.
func TestPressingAndCautions(t *testing.T) {
	for _, m := range []Material{Any, Cotton, Polyester, Nylon, Acrylic, Glass} {
		in := twoPlates()
		in.Press = m
		tk := build(t, in)
		chosen := 0
		for _, r := range tk.Press.Rows {
			if r.Chosen {
				chosen++
			}
			if r.Never != (r.Material == Nylon || r.Material == Glass) {
				t.Errorf("%s: never is %v", r.Material, r.Never)
			}
		}
		if want := map[bool]int{true: 0, false: 1}[m == Any]; chosen != want {
			t.Errorf("%q: %d rows are marked", m, chosen)
		}
		if !strings.Contains(tk.Press.Rule, "overrules") {
			t.Errorf("rule is %q", tk.Press.Rule)
		}
		all := fmt.Sprint(tk.Cautions)
		for _, word := range []string{"burns", "swallowed", "16 CFR 1501", "100 ppm", "REACH Annex XVII entry 63", "Check the rules where you sell", "blade"} {
			if !strings.Contains(all, word) {
				t.Errorf("%q: the cautions lack %q", m, word)
			}
		}
		if got := strings.Contains(all, "lip area"); got != (m == Any || m == Acrylic || m == Glass) {
			t.Errorf("%q: caution for drinkware is %v", m, got)
		}
		if got := strings.Contains(all, "driver"); got != (m == Any || m == Glass) {
			t.Errorf("%q: caution for windows is %v", m, got)
		}
	}
}

func TestThousands(t *testing.T) {
	for n, want := range map[int]string{0: "0", 144: "144", 1440: "1,440", 1000000: "1,000,000"} {
		if got := Thousands(n); got != want {
			t.Errorf("%d prints %q", n, got)
		}
	}
}

func TestFaults(t *testing.T) {
	cases := map[string][]func(*Input){
		"ticket-counts": {
			func(in *Input) { in.Counts[1].Pieces++ },
			func(in *Input) { in.Counts = in.Counts[:3] },
			func(in *Input) { in.Document.Plates[1].Holes = in.Document.Plates[1].Holes[1:] },
		},
		"ticket-plate": {
			func(in *Input) { in.Document.Stones[2].Plate = 9 },
			func(in *Input) { in.Document.Stones[2].Size = "SS40" },
			func(in *Input) { in.Document.Plates[0].Frame = [4]float64{} },
			func(in *Input) { in.Document.Plates[0].Frame[2] = math.NaN() },
		},
		"ticket-press":   {func(in *Input) { in.Press = "velvet" }},
		"colour-unknown": {func(in *Input) { in.Document.Kinds[0].Colour = "moonless" }},
	}
	for code, changes := range cases {
		for i, change := range changes {
			in := twoPlates()
			change(&in)
			if _, err := Build(in); fault.CodeOf(err) != code {
				t.Errorf("%s, change %d: %v", code, i+1, err)
			}
		}
	}
}

func TestNoStonesNoSteps(t *testing.T) {
	tk := build(t, Input{Document: design.Document{Design: "Empty"}})
	if tk.Stones != 0 || len(tk.Steps) != 0 || len(tk.Cautions) == 0 {
		t.Errorf("%+v", tk)
	}
}
