package cut_test

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"slices"
	"testing"

	"brushfall/internal/cut"
	"brushfall/internal/cut/svg"
	"brushfall/internal/design"
	"brushfall/internal/fault"
)

// two gives two designs of one plate each, 40 × 30 mm and 30 × 20 mm with one hole,
// beside each other on sheet 1, the first once more on sheet 2.
func two() []design.Document {
	plate := func(w, h float64) design.Plate {
		return design.Plate{Number: 1, Frame: [4]float64{0, 0, w, h}, Notch: [2]float64{w / 2, 3}, Holes: []design.Hole{{X: 10, Y: 15, D: 3}}}
	}
	put := func(name string, x, y float64, turned bool) []design.Placed {
		return []design.Placed{{Design: name, Plate: 1, X: x, Y: y, Turned: turned}}
	}
	return []design.Document{
		{Design: "Oar", Plates: []design.Plate{plate(40, 30)}, Sheets: []design.Sheet{
			{Number: 1, Width: 100, Height: 60, Placed: put("Oar", 6, 6, false)},
			{Number: 2, Width: 100, Height: 60, Placed: put("Oar", 6, 6, false)},
		}},
		{Design: "Bow ball", Plates: []design.Plate{plate(30, 20)}, Sheets: []design.Sheet{
			{Number: 1, Width: 100, Height: 60, Placed: put("Bow ball", 50, 6, true)},
		}},
	}
}

// Read back from the SVG by Go's XML reader: each design's plates in groups of its
// name, its hole where it lies. By hand: of the turned plate, (10, 15) is at
// (50 + 20 − 15, 6 + 10).
func TestDesignsTogetherReadBack(t *testing.T) {
	sheets, err := cut.PlanTogether(two(), cut.Options{})
	if err != nil || len(sheets) != 2 {
		t.Fatalf("%d sheets (%v)", len(sheets), err)
	}
	var read []string
	for _, s := range sheets {
		var b bytes.Buffer
		if err := svg.Write(&b, s); err != nil {
			t.Fatal(err)
		}
		var doc struct {
			Groups []struct {
				ID      string `xml:"id,attr"`
				Design  string `xml:"data-design,attr"`
				Circles []struct {
					X float64 `xml:"cx,attr"`
					Y float64 `xml:"cy,attr"`
				} `xml:"circle"`
			} `xml:"g"`
		}
		if err := xml.Unmarshal(b.Bytes(), &doc); err != nil {
			t.Fatal(err)
		}
		for _, g := range doc.Groups {
			read = append(read, fmt.Sprint(s.Number, " ", g.ID, " of ", g.Design, " ", g.Circles))
		}
	}
	want := []string{
		"1 oar-plate-1 of Oar [{16 21}]",
		"1 bow-ball-plate-1 of Bow ball [{55 16}]",
		"2 plate-1 of Oar [{16 21}]",
	}
	if !slices.Equal(read, want) {
		t.Errorf("read %q, want %q", read, want)
	}
}

// Frames of two designs that touch are cut apart by one cut: by hand, the frames'
// lengths less the 20 mm that they share.
func TestTouchingDesignsShareTheCut(t *testing.T) {
	docs := two()
	docs[1].Sheets[0].Placed[0] = design.Placed{Design: "Bow ball", Plate: 1, X: 46, Y: 6}
	sheets, err := cut.PlanTogether(docs, cut.Options{})
	if err != nil {
		t.Fatal(err)
	}
	length := func(s cut.Sheet) float64 {
		sum := 0.0
		for _, p := range s.Plates {
			for _, c := range p.Cuts() {
				if c.Kind != cut.Frame {
					continue
				}
				line := c.Line
				if c.Closed {
					line = append(slices.Clone(line), line[0])
				}
				for i := range line[1:] {
					sum += line[i].Dist(line[i+1])
				}
			}
		}
		return sum
	}
	notch := 2*math.Hypot(cut.NotchWidth/2, 3) - cut.NotchWidth
	if got, want := length(sheets[0]), 140+100-20+2*notch; math.Abs(got-want) > 0.05 {
		t.Errorf("the frames are cut over %.3f mm, want %.3f", got, want)
	}
}

func TestDesignsThatDoNotGoTogether(t *testing.T) {
	for code, spoil := range map[string]func(d []design.Document){
		"cut-design-twice":  func(d []design.Document) { d[1].Design = "Oar" },
		"cut-sheet-size":    func(d []design.Document) { d[1].Sheets[0].Width = 90 },
		"cut-plate-unknown": func(d []design.Document) { d[1].Sheets[0].Placed[0].Plate = 2 },
		"cut-mirrored":      func(d []design.Document) { d[1].Mirrored = true },
		"cut-off-sheet":     func(d []design.Document) { d[1].Sheets[0].Placed[0].X = 95 },
	} {
		docs := two()
		spoil(docs)
		if _, err := cut.PlanTogether(docs, cut.Options{}); fault.CodeOf(err) != code {
			t.Errorf("%v, want %s", err, code)
		}
	}
}
