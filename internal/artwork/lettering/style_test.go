package lettering

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/go-text/typesetting/font"

	"brushfall/internal/fault"
	"brushfall/internal/outside"
)

// python runs a script of fontTools, which the makers of fonts use, on files in a
// folder of the test.
func python(t *testing.T, script string, args ...string) []byte {
	t.Helper()
	cmd := exec.Command(outside.Python(t), append([]string{"-c", script}, args...)...)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("fontTools: %v\n%s", err, out)
	}
	return out
}

func faceOf(t *testing.T, path, which string) (*Face, error) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return ReadFace(path+which, data)
}

// Of a collection the face that is named is taken, by any of its names; without a name
// the first; and one that is not there is refused with those that are.
func TestCollections(t *testing.T) {
	path := filepath.Join(t.TempDir(), "crew.ttc")
	python(t, `
import sys
from fontTools.ttLib import TTFont, TTCollection
c = TTCollection(); c.fonts = [TTFont(p) for p in sys.argv[2:]]; c.save(sys.argv[1])`,
		path, "faces/Lora_700Bold.ttf", "faces/Pacifico_400Regular.ttf")
	for which, like := range map[string]string{
		"": "Lora Bold", "#Lora Bold": "Lora Bold", "#lora-bold": "Lora Bold", "#Pacifico": "Pacifico", "# Pacifico Regular": "Pacifico",
	} {
		f, err := faceOf(t, path, which)
		if err != nil {
			t.Errorf("%q: %v", which, err)
			continue
		}
		if want := FindShipped(like); f.capital != want.capital || f.font.Upem() != want.font.Upem() {
			t.Errorf("%q has capitals of %g em, %s of %g", which, f.capital, like, want.capital)
		}
	}
	_, err := faceOf(t, path, "#Arvo")
	if fault.CodeOf(err) != "font-unreadable" || !strings.Contains(err.Error(), `no face "Arvo"; it has Lora Bold`) || !strings.Contains(err.Error(), "Pacifico") {
		t.Errorf("a face that is not there: %v", err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if f, err := ReadFace("Pacifico", data); err != nil || f.capital != FindShipped("Pacifico").capital {
		t.Errorf("an installed collection is not told by the name of its face (%v)", err)
	}
	one, err := faceOf(t, path, "")
	if err != nil {
		t.Fatal(err)
	}
	if two, err := faceOf(t, path, "#Pacifico"); err != nil || one.Digest() == two.Digest() {
		t.Errorf("two faces of a file are told to be one (%v)", err)
	}
}

// buildVarying makes a font of two letters whose stems grow with the weight, one of
// them the Chinese 李 drawn as a frame, and prints what fontTools makes of its area at
// some weights.
const buildVarying = `
import json, sys
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.pens.areaPen import AreaPen
from fontTools.ttLib import TTFont
from fontTools.ttLib.tables.TupleVariation import TupleVariation
from fontTools.varLib.instancer import instantiateVariableFont
def box(*boxes):
    pen = TTGlyphPen(None)
    for x0, y0, x1, y1 in boxes:
        pen.moveTo((x0, y0)); pen.lineTo((x0, y1)); pen.lineTo((x1, y1)); pen.lineTo((x1, y0)); pen.closePath()
    return pen.glyph()
fb = FontBuilder(1000, isTTF=True)
fb.setupGlyphOrder([".notdef", "H", "li"])
fb.setupCharacterMap({0x48: "H", 0x674E: "li"})
fb.setupGlyf({".notdef": box((50, 0, 450, 700)), "H": box((100, 0, 200, 700), (400, 0, 500, 700)), "li": box((50, 0, 950, 700))})
fb.setupHorizontalMetrics({".notdef": (500, 50), "H": (600, 100), "li": (1000, 50)})
fb.setupHorizontalHeader(ascent=800, descent=-200)
fb.setupNameTable({"familyName": "Crew", "styleName": "Regular"})
fb.setupFvar([("wght", 100, 400, 900, "Weight")], [{"location": {"wght": 900}, "stylename": "Black"}, {"location": {"wght": 200}, "stylename": "Extra Light"}])
grow = [(0, 0), (0, 0), (80, 0), (80, 0)]
fb.setupGvar({"H": [TupleVariation({"wght": (0, 1, 1)}, grow + grow + [(0, 0)] * 4), TupleVariation({"wght": (-1, -1, 0)}, [(0, 0), (0, 0), (-60, 0), (-60, 0)] * 2 + [(0, 0)] * 4)]})
fb.setupOS2(); fb.setupPost(); fb.save(sys.argv[1])
out = {}
for w in (200, 400, 650, 900):
    f = instantiateVariableFont(TTFont(sys.argv[1]), {"wght": w})
    pen = AreaPen(f.getGlyphSet()); f.getGlyphSet()["H"].draw(pen); out[w] = abs(pen.value) / 1e6
print(json.dumps(out))`

// A font whose outlines vary is taken at its named instances and at any weight, with
// the outlines that fontTools gives there; by itself it is as the file has it.
func TestVariableFonts(t *testing.T) {
	path := filepath.Join(t.TempDir(), "crew.ttf")
	var want map[string]float64
	if err := json.Unmarshal(python(t, buildVarying, path), &want); err != nil || len(want) != 4 {
		t.Fatal(err)
	}
	for which, weight := range map[string]string{"": "400", "#Black": "900", "#crew black": "900", "#extralight": "200", "#650": "650", "#400": "400"} {
		f, err := faceOf(t, path, which)
		if err != nil {
			t.Errorf("%q: %v", which, err)
			continue
		}
		letters, err := f.lettersOf("H", false, 1e-5, nil)
		if err != nil {
			t.Fatal(err)
		}
		area := 0.0
		for _, r := range letters[0].rings {
			area += math.Abs(r.Area())
		}
		if math.Abs(area-want[weight]) > 1e-3*want[weight] { // outlines in whole units
			t.Errorf("%q: %.6f em², fontTools has %.6f at %s", which, area, want[weight], weight)
		}
	}
	for which, says := range map[string]string{"#Bold": "it has Crew Regular, Black, Extra Light", "#950": `no face "950"`} {
		if _, err := faceOf(t, path, which); fault.CodeOf(err) != "font-unreadable" || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v", which, err)
		}
	}
	if f, err := faceOf(t, path, ""); err != nil || len(f.Missing("李")) != 0 || len(f.Missing("木")) != 1 {
		t.Errorf("the Chinese letter of the font is not found (%v)", err)
	}
}

// A packed file for web pages is told by its name, with what to do.
func TestWOFF2IsRefused(t *testing.T) {
	_, err := ReadFace("crew.woff2", []byte("wOF2\x00\x01\x00\x00"))
	if fault.CodeOf(err) != "font-unreadable" || !strings.Contains(err.Error(), "TTF or OTF") || strings.Contains(err.Error(), "no font file") {
		t.Errorf("%v", err)
	}
}

// Whatever stands in the tables that styles are read from, nothing but a fault comes
// of it.
func FuzzStyles(f *testing.F) {
	whole, err := os.ReadFile("faces/Lora_700Bold.ttf")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(whole, "Lora Bold")
	f.Add(whole, "650")
	f.Add([]byte("ttcf\x00\x01\x00\x00\x00\x00\x00\x02\x00\x00\x00\x10\x00\x00\x00\x10"), "x")
	for _, at := range []int{14, 60, 200, len(whole) / 2} {
		bad := append([]byte(nil), whole...)
		for i := range 30 {
			bad[at+i] ^= 0x55
		}
		f.Add(bad, "Bold")
	}
	f.Fuzz(func(t *testing.T, data []byte, which string) {
		face, err := ReadFace("fuzzed.ttf#"+which, data)
		if err != nil && fault.CodeOf(err) == "" {
			t.Errorf("no fault: %v", err)
		}
		if err == nil && face.font == (*font.Font)(nil) {
			t.Error("a face without a font")
		}
	})
}

func TestFontFile(t *testing.T) {
	for name, want := range map[string][3]string{
		"fonts/crew.TTF": {"fonts/crew.TTF", "", "true"}, "crew.ttc# Crew Bold": {"crew.ttc", "Crew Bold", "true"},
		"my#2.otf": {"my#2.otf", "", "true"}, "my#2.otf#650": {"my#2.otf", "650", "true"},
		"Lora Bold": {"Lora Bold", "", "false"}, "Crew #2": {"Crew #2", "", "false"}, "": {"", "", "false"},
	} {
		file, which, ok := FontFile(name)
		if got := [3]string{file, which, fmt.Sprint(ok)}; got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}
