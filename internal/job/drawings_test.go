package job

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

const (
	barDrawing  = `<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="80mm" viewBox="0 0 120 80"><rect id="bar" x="10" y="10" width="100" height="60" fill="#1f4e79"/></svg>`
	flagDrawing = `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30"><path id="flag" d="M5 5H35L25 15L35 25H5Z" fill="#d4af37"/><path id="pole" d="M5 5V29" stroke="#000" fill="none"/></svg>`
)

func assembledJob(t *testing.T, text string) Job {
	t.Helper()
	j, err := Parse("job.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return j.WithArtwork("bar.svg", []byte(barDrawing)).WithArtwork("flag.svg", []byte(flagDrawing))
}

// One drawing among drawings is the artwork, to the byte of every file.
func TestOneOfSeveralIsTheArtwork(t *testing.T) {
	const rest = "design: bar\neffort: live\nstone: {size: SS10}\nregions:\n  - {match: {id: bar}, treatment: rim}\n"
	plain := assembledJob(t, "artwork: bar.svg\nwidth: 80 mm\n"+rest)
	for _, text := range []string{"drawings:\n  - {file: bar.svg, width: 80 mm}\n", "drawings:\n  - {file: bar.svg}\nwidth: 80 mm\n", "drawings:\n  - {file: bar.svg, height: 48 mm}\n"} {
		want, err := Run(context.Background(), plain, nil)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Run(context.Background(), assembledJob(t, text+rest), nil)
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range want.Files() {
			if !bytes.Equal(got.Files()[i].Data, f.Data) {
				t.Errorf("%q gives another %s", text, f.Name)
			}
		}
	}
}

// Drawings in their places are what the transforms of SVG 1.1 §7.6 make of them in one file:
// the flag, 30.5 mm wide as drawn with its stroke, is brought to 61 mm, turned by 30 degrees and laid with
// the middle of its box on a place.
func TestDrawingsInTheirPlaces(t *testing.T) {
	d, placed, err := Drawing(assembledJob(t, "drawings:\n  - {file: bar.svg}\n  - {file: flag.svg, id: flag, width: 61 mm, turn: 30 deg, at: [0.25, 30 mm]}\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(placed) != 2 || placed[1].ID != "flag" || math.Abs(placed[1].OwnWidth-30.5) > 0.02 {
		t.Fatalf("placed are %+v", placed)
	}
	turned := fmt.Sprintf(`<g id="flag" transform="translate(150 100) rotate(30) scale(%g)"><path d="M5 5H35L25 15L35 25H5Z" fill="#d4af37"/><path d="M5 5V29" stroke="#000" fill="none"/></g>`, 61/30.5)
	alone, err := ReadArtwork("a.svg", []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400">`+turned+`</svg>`))
	if err != nil {
		t.Fatal(err)
	}
	box := alone.Extent()
	// The bar's corner is the origin of places; a quarter of 100 mm along, 30 mm down.
	dx, dy := 25-(box.MinX+box.MaxX)/2, 30-(box.MinY+box.MaxY)/2
	left, top := math.Min(0, box.MinX+dx), math.Min(0, box.MinY+dy)
	want := box
	want.MinX, want.MaxX, want.MinY, want.MaxY = box.MinX+dx-left, box.MaxX+dx-left, box.MinY+dy-top, box.MaxY+dy-top
	if got := placed[1].Box; boxesApart(got, want) > 0.02 {
		t.Errorf("the flag lies in %+v, want %+v", got, want)
	}
	if got, want := placed[0].Box, (geom.Box{MinX: -left, MinY: -top, MaxX: 100 - left, MaxY: 60 - top}); boxesApart(got, want) > 1e-3 {
		t.Errorf("the bar lies in %+v, want %+v", got, want)
	}
	ids := map[string]bool{}
	for _, r := range d.Regions {
		ids[r.ID] = true
	}
	if !ids["bar"] || !ids["flag-flag"] || !ids["flag-pole"] {
		t.Errorf("the regions are %v", ids)
	}
}

func boxesApart(a, b geom.Box) float64 {
	return math.Max(math.Max(math.Abs(a.MinX-b.MinX), math.Abs(a.MinY-b.MinY)), math.Max(math.Abs(a.MaxX-b.MaxX), math.Abs(a.MaxY-b.MaxY)))
}

// The same file twice: every region has its own name, rules find each, and the whole
// can be scaled and laid out.
func TestSameDrawingTwice(t *testing.T) {
	j := assembledJob(t, "effort: live\nwidth: 150 mm\ndrawings:\n  - {file: flag.svg}\n  - {file: flag.svg, at: [2, 0.5]}\nregions:\n  - {match: {id: drawing-2}, stone: {size: SS6}}\n")
	res, err := Run(context.Background(), j, nil)
	if err != nil {
		t.Fatal(err)
	}
	sizes := map[string]string{}
	for _, r := range res.Document.Regions {
		if _, twice := sizes[r.ID]; twice {
			t.Errorf("two regions are %q", r.ID)
		}
		sizes[r.ID] = r.Size
	}
	if sizes["flag"] != "SS10" || sizes["drawing-2-flag"] != "SS6" || len(sizes) != 4 {
		t.Errorf("the regions are %v", sizes)
	}
	if w := res.Document.Width; math.Abs(w-150) > 1e-6 || len(res.Findings) > 0 {
		t.Errorf("it is %g mm wide with %v", w, res.Findings)
	}
}

// With a memory a drawing that is moved is laid as without.
func TestMemoryKnowsPlaces(t *testing.T) {
	m := &Memory{}
	for _, at := range []string{"[0.5, 0.5]", "[1.2, 0.5]", "[1.2, 0.9]"} {
		j := assembledJob(t, "effort: live\ndrawings:\n  - {file: bar.svg}\n  - {file: flag.svg, at: "+at+"}\n")
		got, err := Lay(context.Background(), j, m, nil)
		if err != nil {
			t.Fatal(err)
		}
		want, err := Lay(context.Background(), j, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got.Document, want.Document) {
			t.Errorf("at %s the memory changes the layout", at)
		}
	}
}

func TestDrawingsThatCannotBe(t *testing.T) {
	for _, c := range []struct{ text, code, where string }{
		{"artwork: a.svg\ndrawings:\n  - {file: b.svg}\n", "artwork-and-drawings", "job.yaml"},
		{"drawings: bar.svg\n", "job-value", "job.yaml:1:11"},
		{"drawings: []\n", "job-value", "job.yaml:1:11"},
		{"drawings:\n  - {width: 9 in}\n", "artwork-missing", "job.yaml:2:"},
		{"drawings:\n  - {file: a.svg, width: 9 in, height: 3 in}\n", "width-and-height", "job.yaml:2:"},
		{"drawings:\n  - {file: a.svg, turn: left}\n", "turn", "job.yaml:2:25"},
		{"drawings:\n  - {file: a.svg, at: 0.5}\n", "job-value", "job.yaml:2:23"},
		{"drawings:\n  - {file: a.svg, at: [1, 99]}\n", "length-unit", "job.yaml:2:27"},
		{"drawings:\n  - {file: a.svg, id: x}\n  - {file: b.svg, id: x}\n", "job-value", "job.yaml:3:"},
		{"drawings:\n  - {file: a.svg, scale: 2}\n", "job-key", "job.yaml:2:19"},
		{"drawings:\n" + strings.Repeat("  - {file: a.svg}\n", mostParts+1), "job-value", "job.yaml:"},
	} {
		_, err := Parse("job.yaml", []byte(c.text))
		if fault.CodeOf(err) != c.code || !strings.HasPrefix(err.Error(), c.where) {
			t.Errorf("%q gives %s %v, want %s at %s", c.text, fault.CodeOf(err), err, c.code, c.where)
		}
	}
	j := assembledJob(t, "drawings:\n  - {file: bar.svg}\n  - {file: none.svg}\n").WithArtwork("none.svg", []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"/>`))
	if _, _, err := Drawing(j, nil); fault.CodeOf(err) != "artwork-empty" || !strings.HasPrefix(err.Error(), "none.svg") {
		t.Errorf("an empty drawing gives %v", err)
	}
	j = j.WithArtwork("none.svg", []byte(`<svg`))
	if _, _, err := Drawing(j, nil); err == nil || !strings.HasPrefix(err.Error(), "none.svg") {
		t.Errorf("half a drawing gives %v", err)
	}
}
