package job

import (
	"bytes"
	"context"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"math"
	"path"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/layout"
	"brushfall/internal/sheet"
	"brushfall/internal/ticket"
)

// small gives a quick job: a drawing of two squares in two colours.
func small(name string, width float64) GangJob {
	j := Default("oar.svg")
	j.Effort = layout.Live
	j.Design, j.Width, j.Artwork = name, unitOf(width), []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="60" height="40"><rect id="a" width="26" height="40"/><rect id="b" x="34" width="26" height="40"/></svg>`)
	jet := j.Setting
	jet.Stone, _ = ParseStone(catalogue.Stones{}, jet.Stone, "SS10", "jet")
	j.Regions = []Rule{{Match{ID: "b"}, jet, 1}}
	return GangJob{j, 1}
}

func made(t *testing.T, jobs []GangJob, opt GangOptions) GangResult {
	t.Helper()
	res, err := RunGang(context.Background(), jobs, opt, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range res.Findings {
		t.Error(f)
	}
	return res
}

func fileOf(t *testing.T, res GangResult, name string) []byte {
	t.Helper()
	for _, f := range res.Files() {
		if f.Name == name {
			return f.Data
		}
	}
	t.Fatalf("there is no %s", name)
	return nil
}

// Three oars and two badges of two plates each: read back from the SVG sheets by
// Go's XML reader, each plate is there as often as asked for, with as many holes
// as its design's own record has, all of them on the sheet, and no two frames
// overlap. The common counts are those of the designs times their numbers.
func TestGangReadBackFromItsSheets(t *testing.T) {
	oar, badge := small("Oar", 60), small("Badge", 90)
	oar.Number, badge.Number = 3, 2
	res := made(t, []GangJob{oar, badge}, GangOptions{})
	holes, times := map[string]int{}, map[string]int{}
	total := 0
	for _, d := range res.Designs {
		doc, err := design.Read(bytes.NewReader(fileOf(t, res, path.Join(d.Folder, "layout.json"))))
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range doc.Plates {
			holes[fmt.Sprint(doc.Design, p.Number)] = len(p.Holes)
		}
		total += d.Number * len(doc.Stones)
	}
	for n := range res.Sheets {
		var doc struct {
			Groups []struct {
				Design  string `xml:"data-design,attr"`
				Plate   int    `xml:"data-plate,attr"`
				Circles []struct {
					X float64 `xml:"cx,attr"`
					Y float64 `xml:"cy,attr"`
				} `xml:"circle"`
			} `xml:"g"`
		}
		if err := xml.Unmarshal(fileOf(t, res, fmt.Sprintf("sheet-%d.svg", n+1)), &doc); err != nil {
			t.Fatal(err)
		}
		for _, g := range doc.Groups {
			key := fmt.Sprint(g.Design, g.Plate)
			times[key]++
			if len(g.Circles) != holes[key] {
				t.Errorf("%s has %d holes on sheet %d, %d in its record", key, len(g.Circles), n+1, holes[key])
			}
			for _, c := range g.Circles {
				if c.X < 6 || c.Y < 6 || c.X > 298.8 || c.Y > 502 {
					t.Fatalf("a hole of %s lies in the margin: %+v", key, c)
				}
			}
		}
	}
	if want := (map[string]int{"Oar1": 3, "Oar2": 3, "Badge1": 2, "Badge2": 2}); fmt.Sprint(times) != fmt.Sprint(want) {
		t.Errorf("plates on the sheets: %v, want %v", times, want)
	}
	if csv := string(fileOf(t, res, "counts.csv")); !strings.Contains(csv, fmt.Sprintf("total,,%d,", total)) {
		t.Errorf("the counts do not tell %d stones:\n%s", total, csv)
	}
}

// sheets.json tells the sheets as the records of the designs do, and what is left.
func TestGangRecordOfSheets(t *testing.T) {
	oar, badge := small("Oar", 60), small("Badge", 90)
	res := made(t, []GangJob{oar, badge}, GangOptions{Pieces: []sheet.Piece{{Width: 110, Height: 90}}})
	var rec sheetsRecord
	if err := json.Unmarshal(fileOf(t, res, "sheets.json"), &rec); err != nil {
		t.Fatal(err)
	}
	var placed []design.Placed
	for _, d := range res.Designs {
		for _, s := range d.Document.Sheets {
			placed = append(placed, s.Placed...)
		}
	}
	n := 0
	for _, s := range rec.Sheets {
		n += len(s.Placed)
		for _, p := range s.Placed {
			if !slices.ContainsFunc(placed, func(q design.Placed) bool {
				return q.Design == p.Design && q.Plate == p.Plate && math.Abs(q.X-p.X) < 1e-5 && math.Abs(q.Y-p.Y) < 1e-5
			}) {
				t.Errorf("%+v is in no design's record", p)
			}
		}
	}
	if n != len(placed) || !rec.Sheets[0].Odd || rec.Sheets[1].Odd || len(rec.Sheets[1].Offcuts) == 0 {
		t.Errorf("%d placed of %d; %+v", n, len(placed), rec.Sheets)
	}
	pieces, err := ParsePieces("offcuts.csv", fileOf(t, res, "offcuts.csv"))
	if err != nil || len(pieces) == 0 || pieces[len(pieces)-1].Width < sheet.LeastOffcut {
		t.Errorf("the offcuts read back as %v (%v)", pieces, err)
	}
}

// The same jobs in another order give the same sheets, to the byte.
func TestGangInAnotherOrder(t *testing.T) {
	jobs := []GangJob{small("Oar", 60), small("Badge", 90), small("Cap", 45)}
	a := made(t, jobs, GangOptions{})
	slices.Reverse(jobs)
	b := made(t, jobs, GangOptions{})
	for _, name := range []string{"sheet-1.svg", "sheet-1.dxf", "sheet-1.plt", "offcuts.csv", "counts.csv", "oar/layout.json", "oar/ticket.pdf"} {
		if !bytes.Equal(fileOf(t, a, name), fileOf(t, b, name)) {
			t.Errorf("%s differs", name)
		}
	}
}

// A run of widths is as many designs; the same job named twice is one with both
// numbers; folders have no name twice.
func TestGangGathersJobs(t *testing.T) {
	run := small("Oar", 0)
	run.Width, run.Widths = 0, []NamedWidth{{"45mm", 45}, {"60mm", 60}}
	twice := small("Cap!", 45)
	res := made(t, []GangJob{run, twice, twice, small("Cap", 50)}, GangOptions{})
	var told []string
	for _, d := range res.Designs {
		told = append(told, fmt.Sprint(d.Document.Design, " in ", d.Folder, " ", d.Number))
	}
	if want := "[Oar 45mm in oar-45mm 1 Oar 60mm in oar-60mm 1 Cap! in cap 2 Cap in cap-2 1]"; fmt.Sprint(told) != want {
		t.Errorf("%v, want %s", told, want)
	}
}

// Tape by hand: a frame of about 73 × 53 mm with the flap of 40 mm is 73 × 93, of
// which 4 × 3 go on a sheet, so 13 want two. Film is wanted for glass alone.
func TestGangTapeAndFilm(t *testing.T) {
	oar := small("Oar", 60)
	oar.Number = 13
	res := made(t, []GangJob{oar}, GangOptions{})
	f := res.Designs[0].Document.Plates[0].Frame
	if w, h := f[2]-f[0], f[3]-f[1]; w < 65 || w > 76 || h < 45 || h > 61 || res.Tape.Sheets != 2 || res.Film.Covers != 0 {
		t.Errorf("frame %.1f × %.1f, tape %+v, film %+v", w, h, res.Tape, res.Film)
	}
	oar.Press = ticket.Glass // 72 × 52 mm of film: 4 × 5 and more on a sheet
	if res := made(t, []GangJob{oar}, GangOptions{}); res.Film.Sheets != 1 || res.Film.Covers != 13 {
		t.Errorf("film %+v", res.Film)
	}
}

// Common cuts and a roll: frames lie side against side, and the roll is cut short.
func TestGangOnARollWithCommonCuts(t *testing.T) {
	oar := small("Oar", 60)
	oar.Number = 4
	common := oar.Sheet.OffRoll(304.8, 0)
	common.Common = true
	res := made(t, []GangJob{oar}, GangOptions{Sheet: &common})
	f := res.Designs[0].Document.Plates[0].Frame
	w, h := f[2]-f[0], f[3]-f[1]
	// Eight frames of 72 × 52 mm or so: four side by side, two rows; or standing five.
	if len(res.Sheets) != 1 || res.Sheets[0].Height > 2*min(w, h)+12+0.01 {
		t.Errorf("%d pieces of the roll, %.2f mm long; frames %.2f × %.2f", len(res.Sheets), res.Sheets[0].Height, w, h)
	}
}

func TestGangRefusals(t *testing.T) {
	other := small("Oar", 70)
	wide := small("Badge", 60)
	wide.Sheet.Width = 400
	back := small("Cap", 60)
	back.Mirror = true
	huge := small("Banner", 900)
	none := small("Oar", 60)
	if _, err := RunGang(context.Background(), []GangJob{small("Oar", 60), back}, GangOptions{}, nil); fault.CodeOf(err) != "gang-sheet" {
		t.Errorf("mirrored with others: %v", err)
	}
	back.Mirror, back.Cutter.Passes = false, 7
	if _, err := RunGang(context.Background(), []GangJob{small("Oar", 60), back}, GangOptions{}, nil); fault.CodeOf(err) != "gang-cutter" {
		t.Errorf("two cutters: %v", err)
	}
	none.Number = 0
	for code, jobs := range map[string][]GangJob{
		"gang-empty":       {},
		"gang-name":        {small("Oar", 60), other},
		"gang-sheet":       {small("Oar", 60), wide},
		"gang-number":      {none},
		"design-too-large": {small("Oar", 60), huge},
	} {
		if _, err := RunGang(context.Background(), jobs, GangOptions{}, nil); fault.CodeOf(err) != code {
			t.Errorf("%v, want %s", err, code)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := RunGang(ctx, []GangJob{small("Oar", 60)}, GangOptions{}, nil); err == nil {
		t.Error("a cancelled run went on")
	}
}
