package svg_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"testing"

	"brushfall/internal/cut"
	"brushfall/internal/cut/cuttest"
	"brushfall/internal/cut/svg"
	"brushfall/internal/design"
	"brushfall/internal/fault"
)

// Every hole of the file, read as the SVG standard says (SVG 1.1 §7: the viewBox
// is stretched to width and height) by a small reader of the test's own.
func TestEveryHoleByXML(t *testing.T) {
	for _, doc := range []design.Document{cuttest.Badge(), cuttest.Marked(), cuttest.Many()} {
		for i, s := range cuttest.Plan(t, doc) {
			got := readXML(t, write(t, s), doc.Sheets[i])
			cuttest.Compare(t, fmt.Sprintf("svg, xml: %s %d", doc.Design, i+1), cuttest.Expected(doc, doc.Sheets[i]), got)
			cuttest.InOrder(t, s, got)
		}
	}
}

// Every hole of the picture that rsvg-convert draws at true size.
func TestEveryHoleByRaster(t *testing.T) {
	for _, c := range []struct {
		doc  design.Document
		perM int // pixels a millimetre
	}{{cuttest.Badge(), 20}, {cuttest.Many(), 8}} {
		for i, s := range cuttest.Plan(t, c.doc) {
			got := readRaster(t, write(t, s), c.doc.Sheets[i], c.perM)
			cuttest.Compare(t, fmt.Sprintf("svg, rsvg-convert: %s %d", c.doc.Design, i+1), cuttest.Expected(c.doc, c.doc.Sheets[i]), got)
		}
	}
}

func TestCuttingOrderAndGroups(t *testing.T) {
	text := write(t, cuttest.Plan(t, cuttest.Badge())[0])
	for _, g := range strings.Split(text, "<g ")[1:] {
		lastHole, nick, frame := strings.LastIndex(g, "<circle"), strings.Index(g, `class="nick"`), strings.Index(g, `class="frame"`)
		if lastHole < 0 || nick < lastHole || frame < nick {
			t.Errorf("the group does not go holes, nicks, frame:\n%s", g)
		}
	}
	for _, want := range []string{
		`width="170.1800mm" height="101.6000mm" viewBox="0 0 170.1800 101.6000"`,
		`id="plate-1" data-design="Heron &lt;&amp; badge&gt;" data-plate="1" data-holes="29"`,
		`id="plate-2"`, `stroke="#000000"`, `stroke="#d00000"`,
		// The frame of plate 1, worked out by hand: 89.62 × 60.11 mm at 5, 5.5.
		`d="M5.0000 5.5000L47.8100 5.5000L49.8100 8.5000L51.8100 5.5000L94.6200 5.5000L94.6200 65.6100L5.0000 65.6100Z"`,
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the file lacks %s", want)
		}
	}
}

func TestWriteFails(t *testing.T) {
	if err := svg.Write(broken{}, cuttest.Plan(t, cuttest.Badge())[0]); fault.CodeOf(err) != "cut-write" {
		t.Errorf("a writer that fails gives %v", err)
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func readXML(t *testing.T, text string, sheet design.Sheet) []cuttest.Hole {
	t.Helper()
	var out []cuttest.Hole
	plate, scaleX, scaleY := 0, 0.0, 0.0
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		token, err := d.Token()
		if err == io.EOF {
			return out
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		at := map[string]string{}
		for _, a := range e.Attr {
			at[a.Name.Local] = a.Value
		}
		switch e.Name.Local {
		case "svg":
			width, height := millimetres(t, at["width"]), millimetres(t, at["height"])
			var x, y, w, h float64
			if _, err := fmt.Sscanf(at["viewBox"], "%g %g %g %g", &x, &y, &w, &h); err != nil || x != 0 || y != 0 {
				t.Fatalf("viewBox %q: %v", at["viewBox"], err)
			}
			if width != sheet.Width || height != sheet.Height {
				t.Errorf("the file is %g × %g mm, the sheet %g × %g", width, height, sheet.Width, sheet.Height)
			}
			scaleX, scaleY = width/w, height/h
		case "g":
			plate = int(float(t, at["data-plate"]))
		case "circle":
			out = append(out, cuttest.Hole{X: float(t, at["cx"]) * scaleX, Y: float(t, at["cy"]) * scaleY, D: 2 * float(t, at["r"]) * scaleX, Plate: plate})
		}
		if _, moved := at["transform"]; moved {
			t.Fatal("a transform, which this reader does not know")
		}
	}
}

func millimetres(t *testing.T, s string) float64 {
	t.Helper()
	v, ok := strings.CutSuffix(s, "mm")
	if !ok {
		t.Fatalf("the length %q is not in mm", s)
	}
	return float(t, v)
}

func float(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func write(t *testing.T, s cut.Sheet) string {
	t.Helper()
	var b bytes.Buffer
	if err := svg.Write(&b, s); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
