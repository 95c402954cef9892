package pdf

import (
	"bytes"
	"os/exec"
	"strings"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/outside"
	"brushfall/internal/ticket"
	"brushfall/internal/wording"
)

// gangOf gives twelve designs of two plates on six sheets, the second an odd piece.
func gangOf(l wording.Language) ticket.GangInput {
	v := wording.In(l)
	in := ticket.GangInput{Language: l}
	for n := range 12 {
		name := "Heron badge number " + string(rune('A'+n))
		var sheets []design.Sheet
		on := n/2 + 1
		for p := range 2 {
			sheets = append(sheets, design.Sheet{Number: on, Placed: []design.Placed{{Design: name, Plate: p + 1, X: 6 + 100*float64(p), Y: 6 + 120*float64(n%2), Turned: p == 1}}})
		}
		in.Designs = append(in.Designs, ticket.GangPart{
			Folder: "heron-badge-number-" + string(rune('a'+n)), Templates: n + 1,
			Document: design.Document{Design: name, Kinds: []design.Kind{{Size: "SS10", Colour: "crystal", Diameter: 2.9}}, Plates: []design.Plate{{Number: 1, Frame: [4]float64{0, 0, 90, 100}}, {Number: 2, Frame: [4]float64{0, 0, 90, 100}}}, Sheets: sheets[:1]},
		})
		if n%2 == 0 {
			in.Sheets = append(in.Sheets, design.Sheet{Number: on, Width: 304.8, Height: 508})
			in.Odd = append(in.Odd, on == 2)
			in.Left = append(in.Left, []ticket.Rect{{X: 210, Y: 0, Width: 94.8, Height: 508}, {X: 0, Y: 250, Width: 200, Height: 257.9}})
		}
		for _, s := range sheets {
			in.Sheets[on-1].Placed = append(in.Sheets[on-1].Placed, s.Placed...)
		}
	}
	in.Designs[3].Document.Design = crowdedName // as long as they come
	in.Sheets[1].Placed[2].Design, in.Sheets[1].Placed[3].Design = crowdedName, crowdedName
	in.Counts = []ticket.Count{{Size: "SS10", Colour: "crystal", Pieces: 4321, Take: 4408, Gross: 31, Packs: 4, Grams: 62.2}}
	in.Facts = []ticket.Fact{
		{Label: v.Say("Tape, a transfer each"), Value: v.Say("%d sheets, %s", 39, v.Area(304.8, 304.8))},
		{Label: v.Say("Decal film, a transfer each"), Value: v.Say("%d sheets, %s", 39, v.Area(304.8, 304.8))},
		{Label: v.Say("Cutting, estimated"), Value: v.Say("about %s", "2 h 44 min")},
	}
	return in
}

// Poppler reads on the paper what it is for: every design with its folder, every
// plate on its sheet, what is left over, what to take, and the caution.
func TestGangPaperReadByPoppler(t *testing.T) {
	g, err := ticket.BuildGang(gangOf(wording.English))
	if err != nil {
		t.Fatal(err)
	}
	for _, paper := range []Paper{A4, Letter} {
		var b, again bytes.Buffer
		if err := WriteGang(&b, g, Options{Paper: paper}); err != nil {
			t.Fatal(err)
		}
		if err := WriteGang(&again, g, Options{Paper: paper}); err != nil || !bytes.Equal(b.Bytes(), again.Bytes()) {
			t.Errorf("the same paper has other bytes (%v)", err)
		}
		cmd := exec.Command(outside.Need(t, "pdftotext"), "-layout", "-", "-")
		cmd.Stdin = &b
		text, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{
			"12 designs on 6 sheets", "5 sheets, 304.8 × 508 mm", "1 piece, 304.8 × 508 mm", "39 sheets", "Heron badge number L",
			"12 × 2", "A1", "A2", "L2", "94 × 508 mm of sheet 1", "200 × 257 mm", "4,321", "4,408", "odd piece", "Sheet 6", "Blades",
		} {
			if !strings.Contains(string(text), want) {
				t.Errorf("%s: the paper does not say %q:\n%s", paper, want, text)
			}
		}
	}
}

func TestGangPaperRefusesAStrangePlate(t *testing.T) {
	in := gangOf(wording.English)
	in.Sheets[0].Placed[0].Plate = 7
	if _, err := ticket.BuildGang(in); err == nil || !strings.Contains(err.Error(), "plate 7") {
		t.Error(err)
	}
}
