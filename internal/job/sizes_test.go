package job

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"strconv"
	"strings"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/fault"
)

// 1 in is 25.4 mm (NIST SP 811, appendix B); the name keeps the unit as written.
func TestParseWidths(t *testing.T) {
	for text, want := range map[string]struct {
		name string
		mm   float64
	}{
		"7in": {"7in", 177.8}, " 9 1/2 in ": {"9.5in", 241.3}, `11"`: {"11in", 279.4},
		"240 mm": {"240mm", 240}, "24 CM": {"24cm", 240}, "254mm": {"254mm", 254}, "30 centimetres": {"30cm", 300},
		"12.5 millimeters": {"12.5mm", 12.5}, "9 inches": {"9in", 228.6},
	} {
		w, err := ParseWidth(text)
		if err != nil || w.Name != want.name || w.Width.MM() != want.mm {
			t.Errorf("%q: %+v, %v; want %+v", text, w, err, want)
		}
	}
	list, err := ParseWidths("7in, 9in,11in")
	if err != nil || len(list) != 3 || list[1].Name != "9in" {
		t.Errorf("%+v, %v", list, err)
	}
	for text, code := range map[string]string{
		"": "length-number", "7in,": "length-number", "7": "length-unit", "7in,0in": "length-range",
		"10in,254mm": "widths", "7in,7in": "widths", strings.TrimSuffix(strings.Repeat("7in,", 2), ","): "widths",
	} {
		if _, err := ParseWidths(text); fault.CodeOf(err) != code {
			t.Errorf("%q: %v, want %s", text, err, code)
		}
	}
	var many []string
	for i := range maxWidths + 1 {
		many = append(many, strconv.Itoa(50+i)+"mm")
	}
	if _, err := ParseWidths(strings.Join(many, ",")); fault.CodeOf(err) != "widths" {
		t.Errorf("%d widths: %v", len(many), err)
	}
}

func TestWidthsOfAJobFile(t *testing.T) {
	parse := func(lines string) (Job, error) { return Parse("a.yaml", []byte("artwork: a.svg\n"+lines)) }
	j, err := parse("widths: [7 in, 24 cm]")
	if err != nil || len(j.Widths) != 2 || j.Widths[0].Name != "7in" || j.Widths[1].Name != "24cm" || j.Width != 0 {
		t.Errorf("%+v, %v", j.Widths, err)
	}
	if j, err = parse("widths: 7 in"); err != nil || len(j.Widths) != 1 {
		t.Errorf("one width: %+v, %v", j.Widths, err)
	}
	for lines, want := range map[string]string{
		"widths: []":                         "a.yaml:2:9",
		"widths: [7 in, 9]":                  "a.yaml:2:16",
		"widths: [10 in, 254 mm]":            "a.yaml:2:17",
		"widths: [7 in]\nwidth: 9 in":        "keep widths",
		"widths: [7 in]\nheight: 9 in":       "keep widths",
		"widths: {small: 7 in, large: 9 in}": "a.yaml:2:9",
	} {
		if _, err := parse(lines); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", lines, err, want)
		}
	}
}

// sunJob is a badge in two kinds, 60 × 30 as drawn.
func sunJob(t *testing.T, widths string) Job {
	t.Helper()
	j, err := Parse("sun.yaml", []byte(`artwork: sun.svg
effort: live
widths: [`+widths+`]
regions:
  - match: {id: sun}
    stone: {size: SS6, colour: sun}
`))
	if err != nil {
		t.Fatal(err)
	}
	j.Artwork = []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 30"><rect width="30" height="30"/><circle id="sun" cx="47" cy="15" r="13"/></svg>`)
	return j
}

// Every size is the design that one run at its width makes, byte by byte, and the
// table adds up.
func TestRunSizesIsRunAtEachWidth(t *testing.T) {
	j := sunJob(t, "45 mm, 2 in, 40mm")
	stages := map[string]bool{}
	all, err := RunSizes(t.Context(), j, func(stage string, _, _ int) { stages[stage] = true })
	if err != nil {
		t.Fatal(err)
	}
	if !stages["size 1 of 3, 2in: setting stones"] || !stages["size 3 of 3, 40mm: inspecting"] {
		t.Errorf("stages %v", stages)
	}
	files := map[string][]byte{}
	for _, f := range all.Files() {
		files[f.Name] = f.Data
	}
	rows, err := csv.NewReader(bytes.NewReader(files["sizes.csv"])).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(rows[0], ","); got != "folder,width mm,height mm,width in,height in,SS10 crystal,SS6 sun,stones,plates,sheets,grams" {
		t.Errorf("the head is %s", got)
	}
	n := 1
	for i, w := range j.Widths {
		one := j
		one.Widths, one.Width = nil, w.Width
		res, err := Run(t.Context(), one, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range res.Files() {
			if n++; !bytes.Equal(files[w.Name+"/"+f.Name], f.Data) {
				t.Errorf("%s/%s is not what one run makes", w.Name, f.Name)
			}
		}
		row, doc := rows[i+1], res.Document
		first, _ := strconv.Atoi(row[5])
		second, _ := strconv.Atoi(row[6])
		if row[0] != w.Name || row[1] != decimals(w.Width.MM(), 1) || first == 0 || second == 0 || first+second != len(doc.Stones) || row[7] != strconv.Itoa(len(doc.Stones)) {
			t.Errorf("row %v for %d stones at %s", row, len(doc.Stones), w.Name)
		}
		if row[8] != strconv.Itoa(len(doc.Plates)) || row[9] != strconv.Itoa(len(doc.Sheets)) {
			t.Errorf("row %v for %d plates on %d sheets", row, len(doc.Plates), len(doc.Sheets))
		}
	}
	if n != len(files) {
		t.Errorf("%d files, want %d", len(files), n)
	}
}

func TestRunSizesFaults(t *testing.T) {
	small := sunJob(t, "30 mm, 90 mm, 40 mm")
	small.Sheet = Sheet{Width: 80, Height: 80, Margin: 6}
	for _, c := range []struct {
		name, code, says string
		job              Job
	}{
		{"no widths", "widths", "7in,9in", Job{ArtworkName: "sun.svg"}},
		{"wider than a sheet", "design-too-large", "width 90mm, ", small},
		{"too small for a stone", "layout-empty", "width 2mm, sun.svg", func() Job {
			j := sunJob(t, "50 mm, 2 mm")
			j.Treatment, j.Regions = []design.Treatment{design.Bed}, nil
			return j
		}()},
		{"not a drawing", "svg-none", "sun.svg", func() Job { j := sunJob(t, "50 mm"); j.Artwork = []byte("Dear Herons"); return j }()},
	} {
		res, err := RunSizes(t.Context(), c.job, nil)
		if fault.CodeOf(err) != c.code || !strings.Contains(err.Error(), c.says) || len(res.Runs) != 0 {
			t.Errorf("%s: %s, %v", c.name, fault.CodeOf(err), err)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := RunSizes(ctx, sunJob(t, "50 mm, 60 mm"), nil); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}
