package inspect

import (
	"fmt"
	"testing"

	"brushfall/internal/design"
)

// Each fault of shared sheets is found, by hand, and nothing on sound ones. Oar's
// plate is 40 × 30 mm at 6, 6 and the bow ball's 30 × 20 at 50, 6, turned.
func TestSheetsOfSeveralDesigns(t *testing.T) {
	doc := func(name string, w, h float64, at design.Placed) design.Document {
		at.Design, at.Plate = name, 1
		return design.Document{
			Design: name, Plates: []design.Plate{{Number: 1, Frame: [4]float64{0, 0, w, h}}},
			Sheets: []design.Sheet{{Number: 1, Width: 100, Height: 60, Placed: []design.Placed{at}}},
		}
	}
	sound := func() []design.Document {
		return []design.Document{doc("Oar", 40, 30, design.Placed{X: 6, Y: 6}), doc("Bow ball", 30, 20, design.Placed{X: 50, Y: 6, Turned: true})}
	}
	for _, c := range []struct {
		name  string
		spoil func(d []design.Document)
		want  string
	}{
		{"sound", func([]design.Document) {}, "[]"},
		{"touching", func(d []design.Document) { d[1].Sheets[0].Placed[0].X = 46 }, "[]"},
		{"over each other", func(d []design.Document) { d[1].Sheets[0].Placed[0].X = 45 }, "[BF-OVERLAP]"},
		{"clear by the turn alone", func(d []design.Document) { d[0].Sheets[0].Placed[0].X = 70; d[0].Sheets[0].Placed[0].Y = 26 }, "[]"},
		{"another size", func(d []design.Document) { d[1].Sheets[0].Height = 50 }, "[BF-SHEET]"},
		{"one name", func(d []design.Document) { d[1] = d[0]; d[1].Sheets = nil }, "[BF-VALUE]"},
		{"another sheet", func(d []design.Document) { d[1].Sheets[0].Placed[0].X = 10; d[1].Sheets[0].Number = 2 }, "[]"},
	} {
		docs := sound()
		c.spoil(docs)
		ids := []ID{}
		for _, f := range InspectTogether(docs) {
			ids = append(ids, f.ID)
		}
		if fmt.Sprint(ids) != c.want {
			t.Errorf("%s: %v, want %s", c.name, ids, c.want)
		}
	}
}
