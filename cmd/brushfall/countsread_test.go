package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"brushfall/internal/outside"
)

// laid is what the counts are held against: the stones and holes that layout.json has.
type laid struct {
	Design string
	Kinds  []struct {
		Size, Colour string
		Hole         float64
	}
	Stones []struct {
		Size, Colour string
		Plate        int
	}
	Plates []struct {
		Number int
		Holes  []struct{ D float64 }
	}
}

func laidIn(t *testing.T, folder string) laid {
	t.Helper()
	var l laid
	if err := json.Unmarshal([]byte(get(t, filepath.Join(folder, "layout.json"))), &l); err != nil {
		t.Fatal(err)
	}
	return l
}

// tally gives pieces by "SS10 crystal"; of one plate, or of all where it is 0.
func (l laid) tally(plate int) map[string]int {
	out := map[string]int{}
	for _, s := range l.Stones {
		if plate == 0 || s.Plate == plate {
			out[s.Size+" "+s.Colour]++
		}
	}
	return out
}

// holes are how many holes of a diameter a design's plate has: by "Heron badge, plate 1,
// 3.3 mm". No two sizes of a test's design have holes that a tenth does not tell apart.
type holes map[string]int

func (h holes) add(design string, plate int, d float64, times int) {
	h[fmt.Sprintf("%s, plate %d, %.1f mm", design, plate, d)] += times
}

// must gives how many holes the plates of so many templates must have, by the stones
// that go in.
func (l laid) must(h holes, templates int) {
	for _, s := range l.Stones {
		for _, k := range l.Kinds {
			if k.Size == s.Size && k.Colour == s.Colour {
				h.add(l.Design, s.Plate, k.Hole, templates)
			}
		}
	}
}

// row is a row of the counts as a paper or counts.csv has it.
type row struct {
	pieces, take, gross, packs int
	grams                      float64
}

// csvRows reads counts.csv; its total is of "total".
func csvRows(t *testing.T, folder string) map[string]row {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(get(t, filepath.Join(folder, "counts.csv")))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]row{}
	for _, r := range rows[1:] {
		out[strings.TrimSpace(r[0]+" "+r[1])] = row{number(t, r[2]), number(t, r[3]), number(t, r[4]), number(t, r[5]), figure(t, r[6])}
	}
	return out
}

func figure(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", ""), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// printedPaper is the text of a ticket as poppler reads it: "-layout" as it lies on the
// page, "-raw" in the order of printing.
func printedPaper(t *testing.T, folder, how string) string {
	t.Helper()
	out, err := exec.Command(outside.Need(t, "pdftotext"), how, filepath.Join(folder, "ticket.pdf"), "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

var apart = regexp.MustCompile(`\s{2,}`)

// printedRows reads the table of stones: its columns are kind, plates (where it has
// them), pieces, with spare, gross, packs, grams. The total is of "All together".
func printedRows(t *testing.T, text string) map[string]row {
	t.Helper()
	out := map[string]row{}
	for line := range strings.Lines(text) {
		f := apart.Split(strings.TrimSpace(line), -1)
		kind := strings.Join(strings.Fields(f[0]), " ")
		switch {
		case kind == "All together":
			out[kind] = row{pieces: int(figure(t, f[1]))}
		case strings.HasPrefix(kind, "SS") && len(f) >= 6:
			n := f[len(f)-5:]
			out[kind] = row{int(figure(t, n[0])), int(figure(t, n[1])), int(figure(t, n[2])), int(figure(t, n[3])), figure(t, n[4])}
		}
	}
	return out
}

var (
	brushStep  = regexp.MustCompile(`Brush plate (\d+) (.*?)Lift plate`)
	brushWords = regexp.MustCompile(`(?:pour|Pour|then) (SS\d+ [a-z ]+?) (?:and brush in light circles to fill|into the other) ([\d,]+) holes?\b`)
)

// printedPlates reads from the steps what is brushed into which plate.
func printedPlates(t *testing.T, text string) map[int]map[string]int {
	t.Helper()
	out := map[int]map[string]int{}
	for _, m := range brushStep.FindAllStringSubmatch(strings.Join(strings.Fields(text), " "), -1) {
		plate := number(t, m[1])
		out[plate] = map[string]int{}
		for _, k := range brushWords.FindAllStringSubmatch(m[2], -1) {
			out[plate][k[1]] += int(figure(t, k[2]))
		}
	}
	return out
}

// cutPlate is a plate of a cut file: its name there, its design and its number.
type cutPlate struct {
	name, design string
	number       int
}

// svgHoles reads the SVG files of a folder as XML (SVG 1.1: a circle is an element of
// this name, its radius the attribute r), and the plates of each sheet in their order.
func svgHoles(t *testing.T, folder string) (holes, [][]cutPlate) {
	t.Helper()
	found, sheets := holes{}, [][]cutPlate{}
	for n := 1; ; n++ {
		text, err := os.ReadFile(filepath.Join(folder, fmt.Sprintf("sheet-%d.svg", n)))
		if errors.Is(err, os.ErrNotExist) {
			return found, sheets
		}
		var doc struct {
			G []struct {
				ID      string `xml:"id,attr"`
				Design  string `xml:"data-design,attr"`
				Plate   int    `xml:"data-plate,attr"`
				Circles []struct {
					R float64 `xml:"r,attr"`
				} `xml:"circle"`
			} `xml:"g"`
		}
		if err := xml.Unmarshal(text, &doc); err != nil {
			t.Fatal(err)
		}
		var plates []cutPlate
		for _, g := range doc.G {
			plates = append(plates, cutPlate{g.ID, g.Design, g.Plate})
			for _, c := range g.Circles {
				found.add(g.Design, g.Plate, 2*c.R, 1)
			}
		}
		sheets = append(sheets, plates)
	}
}

// ezdxf reads DXF files: for each its circles' layers and radii.
const ezdxf = `
import sys, json, ezdxf
print(json.dumps([[[e.dxf.layer, e.dxf.radius] for e in ezdxf.readfile(f).modelspace().query("CIRCLE")] for f in sys.argv[1:]]))
`

// dxfCircle is a circle of a drawing.
type dxfCircle struct {
	layer  string
	radius float64
}

// dxfCircles has ezdxf read drawings, all in one go.
func dxfCircles(t *testing.T, files []string) [][]dxfCircle {
	t.Helper()
	out, err := exec.Command(outside.Python(t), append([]string{"-c", ezdxf}, files...)...).Output()
	if err != nil {
		t.Fatal(err)
	}
	var all [][][2]any
	if err := json.Unmarshal(out, &all); err != nil {
		t.Fatal(err)
	}
	var found [][]dxfCircle
	for _, file := range all {
		var circles []dxfCircle
		for _, c := range file {
			circles = append(circles, dxfCircle{c[0].(string), c[1].(float64)})
		}
		found = append(found, circles)
	}
	return found
}

// bounds gives the wider side of what points span.
func bounds(points [][2]float64) float64 {
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, p := range points {
		for i := range p {
			low[i], high[i] = math.Min(low[i], p[i]), math.Max(high[i], p[i])
		}
	}
	return math.Max(high[0]-low[0], high[1]-low[1])
}

// pltHoles reads an HP-GL file as its reference has it: PU and PD with pairs of units of
// 0.025 mm. A hole is a pen down of many points that is no wider than 10 mm; an empty
// line parts the plates (docs/formats/cut.md).
func pltHoles(t *testing.T, file string, plates []cutPlate, found holes) {
	t.Helper()
	blocks := strings.Split(get(t, file), "\n\n")
	if len(blocks) != len(plates)+2 {
		t.Fatalf("%s has %d plates, want %d", file, len(blocks)-2, len(plates))
	}
	for i, p := range plates {
		for command := range strings.SplitSeq(blocks[i+1], ";") {
			points := pairsOf(t, strings.TrimSpace(command))
			if d := bounds(points) / 40; strings.HasPrefix(strings.TrimSpace(command), "PD") && len(points) > 8 && d < 10 {
				found.add(p.design, p.number, d, 1)
			}
		}
	}
}

func pairsOf(t *testing.T, command string) [][2]float64 {
	t.Helper()
	var out [][2]float64
	if len(command) < 3 {
		return nil
	}
	f := strings.Split(command[2:], ",")
	for i := 0; i+1 < len(f); i += 2 {
		out = append(out, [2]float64{figure(t, f[i]), figure(t, f[i+1])})
	}
	return out
}

var curve = regexp.MustCompile(`C ([\d. -]+)`)

// pdfHoles has poppler read the first page of a PDF: a path of curves is a hole, and the
// straight ones after it, nicks and frame, end its plate.
func pdfHoles(t *testing.T, file string, plates []cutPlate, found holes) {
	t.Helper()
	out, err := exec.Command(outside.Need(t, "pdftocairo"), "-svg", "-f", "1", "-l", "1", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	at, ended := 0, false
	for d := xml.NewDecoder(bytes.NewReader(out)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		path := pathOf(token)
		if path == "" {
			continue
		}
		curves := curve.FindAllStringSubmatch(path, -1)
		if len(curves) == 0 {
			ended = true
			continue
		}
		if ended {
			at, ended = at+1, false
		}
		var ends [][2]float64 // the four points where the quarters of a circle meet
		for _, c := range curves {
			f := strings.Fields(c[1])
			ends = append(ends, [2]float64{figure(t, f[4]), figure(t, f[5])})
		}
		if at >= len(plates) {
			t.Fatalf("%s has more plates than %d", file, len(plates))
		}
		found.add(plates[at].design, plates[at].number, bounds(ends)*25.4/72, 1)
	}
	if at != len(plates)-1 {
		t.Errorf("%s has %d plates, want %d", file, at+1, len(plates))
	}
}

// pathOf gives the data of a path that is drawn.
func pathOf(token xml.Token) string {
	e, ok := token.(xml.StartElement)
	if !ok || e.Name.Local != "path" {
		return ""
	}
	data, drawn := "", false
	for _, a := range e.Attr {
		switch a.Name.Local {
		case "d":
			data = a.Value
		case "stroke":
			drawn = a.Value != "none"
		case "style":
			drawn = strings.Contains(a.Value, "stroke:rgb")
		}
	}
	if !drawn {
		return ""
	}
	return data
}
