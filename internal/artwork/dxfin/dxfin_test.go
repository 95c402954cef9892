package dxfin_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"testing/iotest"

	"brushfall/internal/artwork"
	"brushfall/internal/artwork/dxfin"
	"brushfall/internal/fault"
)

func TestFaults(t *testing.T) {
	cycle := withBlocks([]string{block("a", insert("b", 0, 0)), block("b", insert("A", 0, 0))}, insert("a", 0, 0))
	var deep []string
	for i := range 20 {
		deep = append(deep, block("d"+strconv.Itoa(i), insert("d"+strconv.Itoa(i+1), 0, 0)))
	}
	// Ten blocks of ten INSERTs each: ten thousand million circles.
	var bomb []string
	for i := range 10 {
		bomb = append(bomb, block("b"+strconv.Itoa(i), strings.Repeat(insert("b"+strconv.Itoa(i+1), 0, 0), 10)))
	}
	bomb = append(bomb, block("b10", circle(0, 0, 1)))
	scribble, rng := groups(0, "LWPOLYLINE", 70, 1), rand.New(rand.NewPCG(1, 1))
	for range 1500 {
		scribble += groups(10, 200*rng.Float64(), 20, 200*rng.Float64())
	}
	spline := func(more ...any) string {
		return groups(0, "SPLINE", 70, 8, 71, 2, 10, 0, 20, 0, 10, 1, 20, 1, 10, 2, 20, 0) + groups(more...)
	}
	for _, c := range []struct{ name, code, says, text string }{
		{"nothing", "dxf-not-dxf", "", ""},
		{"an svg", "dxf-not-dxf", "", "<svg/>\n"},
		{"a picture", "dxf-not-dxf", "", "\x89PNG\r\n\x1a\n\x00\x00"},
		{"binary", "dxf-binary", "ASCII DXF", "AutoCAD Binary DXF\r\n\x1a\x00"},
		{"dwg", "dxf-dwg", "ASCII DXF", "AC1027\x00\x00"},
		{"no end", "dxf-truncated", "cut short", strings.TrimSuffix(drawing(circle(0, 0, 1)), groups(0, "EOF"))},
		{"half a group", "dxf-truncated", "", strings.TrimSuffix(drawing(), "EOF\n")},
		{"end in a section", "dxf-truncated", "ENDSEC", groups(0, "SECTION", 2, "ENTITIES") + circle(0, 0, 1) + groups(0, "EOF")},
		{"a code in words", "dxf-syntax", "line 15", drawing("code\n5\n")},
		{"outside of sections", "dxf-syntax", "LINE", section("HEADER") + line(0, 0, 1, 1) + groups(0, "EOF")},
		{"a stray vertex", "dxf-syntax", "vertex", drawing(groups(0, "VERTEX", 10, 0, 20, 0))},
		{"no radius", "dxf-missing", "line 15, CIRCLE 2F on layer STARS: the group 40", drawing(groups(0, "CIRCLE", 5, "2F", 8, "STARS", 10, 0, 20, 0))},
		{"a word for a number", "dxf-value", "on line 24", drawing(groups(0, "CIRCLE", 5, "2F", 10, 0, 20, 0, 40, "wide"))},
		{"no number", "dxf-value", "NaN", drawing(circle(0, 0, math.NaN()))},
		{"endless", "dxf-value", "Inf", drawing(line(0, 0, math.Inf(1), 0))},
		{"far away", "dxf-coordinate", "", drawing(line(0, 0, 1e7, 0))},
		{"light years", "dxf-units", "millimetres", strings.Replace(drawing(circle(0, 0, 1)), "$INSUNITS\n 70\n4", "$INSUNITS\n 70\n19", 1)},
		{"a unit in words", "dxf-value", "$INSUNITS", strings.Replace(drawing(circle(0, 0, 1)), "$INSUNITS\n 70\n4", "$INSUNITS\n 70\nmm", 1)},
		{"a block in itself", "dxf-cycle", "holds itself", cycle},
		{"too deep", "dxf-too-deep", "", withBlocks(deep, insert("d0", 0, 0))},
		{"a bomb", "dxf-too-many", "file of its own", withBlocks(bomb, insert("b0", 0, 0))},
		{"a huge array", "dxf-too-many", "", withBlocks([]string{block("a")}, insert("a", 0, 0, 70, 30000, 71, 30000))},
		{"too many points", "dxf-too-many", "points", withBlocks([]string{block("a", circle(0, 0, 1e5))}, insert("a", 0, 0, 70, 1000))},
		{"few knots", "dxf-spline", "knots", drawing(spline(40, 0, 40, 0, 40, 0, 40, 1))},
		{"falling knots", "dxf-spline", "rise", drawing(spline(40, 0, 40, 0, 40, 0, 40, 1, 40, 1, 40, 0.5))},
		{"a weight of 0", "dxf-spline", "weight", drawing(spline(40, 0, 40, 0, 40, 0, 40, 1, 40, 1, 40, 1, 41, 1, 41, 0, 41, 1))},
		{"a scribble", "dxf-tangled", "cross each other", drawing(scribble)},
		{"text only", "dxf-empty", "outlines", drawing(groups(0, "TEXT", 1, "HERON"))},
		{"no entities", "dxf-empty", "model space", drawing()},
	} {
		_, err := dxfin.Read(strings.NewReader(c.text), dxfin.Options{})
		if fault.CodeOf(err) != c.code || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want the code %s and %q", c.name, err, c.code, c.says)
		}
	}
}

func TestOptionsAndReader(t *testing.T) {
	text := drawing(circle(0, 0, 5))
	for _, opt := range []dxfin.Options{{JoinTolerance: -1}, {JoinTolerance: math.NaN()}, {JoinTolerance: 11}, {Unit: -1}, {Unit: math.NaN()}, {Unit: math.Inf(1)}} {
		if _, err := dxfin.Read(strings.NewReader(text), opt); fault.CodeOf(err) != "dxf-option" {
			t.Errorf("%+v gives %v", opt, err)
		}
	}
	if _, err := dxfin.Read(strings.NewReader(text), dxfin.Options{Limits: dxfin.Limits{Bytes: 20}}); fault.CodeOf(err) != "dxf-too-large" {
		t.Errorf("a file over the limit gives %v", err)
	}
	if _, err := dxfin.Read(iotest.ErrReader(errors.New("gone")), dxfin.Options{}); fault.CodeOf(err) != "dxf-read" {
		t.Errorf("a reader that fails gives %v", err)
	}
}

// Lengths of the units: the inch of 25.4 mm (international yard and pound
// agreement 1959), the US survey foot of 1200/3937 m (Mendenhall Order 1893), the
// numbers of $INSUNITS by the DXF Reference.
func TestUnits(t *testing.T) {
	for value, mm := range map[string]float64{
		"1": 25.4, "2": 304.8, "4": 1, "5": 10, "6": 1000, "8": 2.54e-5, "9": 0.0254, "10": 914.4, "13": 0.001, "14": 100,
		"21": 304.8006096, "22": 25.4000508, "23": 914.4018288,
	} {
		text := strings.Replace(drawing(line(0, 0, 100, 0), line(0, 0, 0, 50)), "$INSUNITS\n 70\n4", "$INSUNITS\n 70\n"+value, 1)
		d := mustRead(t, text, dxfin.Options{JoinTolerance: 1e-6})
		if math.Abs(d.Width-100*mm) > 1e-7*mm*100 || math.Abs(d.Height-50*mm) > 1e-7*mm*50 || len(d.Warnings) > 0 {
			t.Errorf("$INSUNITS %s: %g × %g mm, %v; want %g × %g", value, d.Width, d.Height, d.Warnings, 100*mm, 50*mm)
		}
	}
	text := strings.Replace(drawing(circle(0, 0, 5)), "$INSUNITS\n 70\n4", "$MEASUREMENT\n 70\n0", 1)
	if d := mustRead(t, text, dxfin.Options{}); !warned(d, "dxf-unitless", "inches") || math.Abs(d.Width-10) > 0.01 {
		t.Errorf("without a unit: %g mm, %v", d.Width, d.Warnings)
	}
	if d := mustRead(t, text, dxfin.Options{Unit: 25.4}); len(d.Warnings) > 0 || math.Abs(d.Width-254) > 0.01 {
		t.Errorf("with a stated unit: %g mm, %v", d.Width, d.Warnings)
	}
}

// The palette against ezdxf's. Where a colour of that table does not follow the
// table's own pattern (136 for 38, 126 for 76) the pattern is kept here.
func TestPaletteAsEzdxfHasIt(t *testing.T) {
	_, palette := expectations(t)
	same, near := 0, 0
	for index := 1; index < 256; index++ {
		want := palette[index]
		if index == 7 {
			want = "#000000" // white on a black screen, black on a page
		}
		d := mustRead(t, drawing(circle(0, 0, 5, 62, index)), dxfin.Options{})
		got := d.Regions[0].Paint
		switch off := channels(t, got, want); {
		case off == 0:
			same++
		case off <= 1:
			near++
		case !strings.Contains(want, "58") && !strings.Contains(want, "7e"):
			t.Errorf("index %d is %s, want %s", index, got, want)
		}
	}
	t.Logf("colour indices the same as ezdxf's: %d, within one step: %d, of 255", same, near)
	if same+near < 230 {
		t.Errorf("only %d colours are as ezdxf has them", same+near)
	}
}

// channels gives the largest difference of a colour channel.
func channels(t *testing.T, a, b string) int {
	t.Helper()
	worst := 0
	for i := 1; i < 7; i += 2 {
		x, errA := strconv.ParseInt(a[i:i+2], 16, 0)
		y, errB := strconv.ParseInt(b[i:i+2], 16, 0)
		if errA != nil || errB != nil {
			t.Fatalf("%s and %s are not colours", a, b)
		}
		worst = max(worst, int(x-y), int(y-x))
	}
	return worst
}

func TestSameBytesSameDrawing(t *testing.T) {
	for _, name := range []string{"blocks.dxf", "nested.dxf", "unread.dxf"} {
		if !reflect.DeepEqual(read(t, name, dxfin.Options{}), read(t, name, dxfin.Options{})) {
			t.Errorf("%s reads differently twice", name)
		}
	}
}

// Line ends, a byte order mark and comments change nothing.
func TestSpellings(t *testing.T) {
	text := drawing(circle(0, 0, 5, 8, "STARS"), line(20, 0, 30, 7))
	want := mustRead(t, text, dxfin.Options{})
	for _, other := range []string{
		strings.ReplaceAll(text, "\n", "\r\n"), "\ufeff" + text, groups(999, "a comment") + text, text + "\n\n",
		strings.ReplaceAll(text, "  0\n", "0\n"), strings.Replace(text, "CIRCLE", "circle", 1),
	} {
		got := mustRead(t, other, dxfin.Options{})
		for i := range got.Regions { // a comment moves the lines on
			got.Regions[i].Where = want.Regions[i].Where
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%.40q… reads as %+v, want %+v", other, got, want)
		}
	}
}

func warned(d artwork.Drawing, code, says string) bool {
	for _, w := range d.Warnings {
		if w.Code == code && strings.Contains(w.Where+": "+w.Message, says) {
			return true
		}
	}
	return false
}

func mustRead(t *testing.T, text string, opt dxfin.Options) artwork.Drawing {
	t.Helper()
	d, err := dxfin.Read(strings.NewReader(text), opt)
	if err != nil {
		t.Fatalf("%v in\n%.300s", err, text)
	}
	return d
}
