package svgin

import (
	"math"
	"strconv"
	"testing"

	"brushfall/internal/geom"
)

func formatFloat(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// TestColours: the values of CSS Color 3 §4 and CSS Color 4 §6, and the examples
// given there.
func TestColours(t *testing.T) {
	for text, want := range map[string]string{
		"red": "#ff0000", "Navy": "#000080", "lightgoldenrodyellow": "#fafad2", "rebeccapurple": "#663399", "grey": "#808080",
		"#fb0": "#ffbb00", "#ffbb00": "#ffbb00", "#00ff0080": "#00ff00", "#0f08": "#00ff00",
		"rgb(255,0,0)": "#ff0000", "rgb(300,-10,0)": "#ff0000", "rgb(110%, 0%, 0%)": "#ff0000", "rgb(0 128 0 / 50%)": "#008000",
		"hsl(0, 100%, 50%)": "#ff0000", "hsl(120, 100%, 25%)": "#008000", "hsl(120, 75%, 75%)": "#8fef8f", "hsl(-240deg 100% 50%)": "#00ff00",
	} {
		if got, ok := parseColour(text); !ok || got.String() != want {
			t.Errorf("%s: %v %v, want %s", text, got, ok, want)
		}
	}
	for _, text := range []string{"", "#12", "#ggg", "blurple", "rgb(1,2)", "rgb(1,2,3", "hsl(1,2,3)", "rgb(1,2,3,4,5)", "url(#a)"} {
		if got, ok := parseColour(text); ok {
			t.Errorf("%q is read as %v", text, got)
		}
	}
	if got, _ := parseColour("#00ff0080"); math.Abs(got.a-128.0/255) > 1e-9 {
		t.Errorf("alpha %g", got.a)
	}
}

// TestLengths: 1in = 96px = 2.54cm = 25.4mm = 101.6Q = 72pt = 6pc (CSS Values 3 §5.2).
func TestLengths(t *testing.T) {
	f := frame{w: 200, h: 50, font: 20, root: 10}
	for text, want := range map[string]float64{
		"96": 96, "96px": 96, "1in": 96, "2.54cm": 96, "25.4mm": 96, "101.6Q": 96, "72pt": 96, "6pc": 96,
		"2em": 40, "2ex": 20, "2rem": 20, "50%": 100, " 1e1 ": 10, "1e1em": 200, "-.5in": -48,
	} {
		if l, ok := parseLength(text); !ok || math.Abs(f.px(l, across)-want) > 1e-9 {
			t.Errorf("%s: %v %v, want %g px", text, l, ok, want)
		}
	}
	for _, text := range []string{"", "px", "1 px", "1xy", "e5", "--1", "1e999", "NaN", "Inf"} {
		if _, ok := parseLength(text); ok {
			t.Errorf("%q is read as a length", text)
		}
	}
	if got := f.px(length{100, percent}, diagonal); math.Abs(got-math.Sqrt((200*200+50*50)/2)) > 1e-9 {
		t.Errorf("the diagonal is %g (SVG 1.1 §7.10)", got)
	}
}

// TestPathFaults: where the fault is, and how many segments come before it.
func TestPathFaults(t *testing.T) {
	for _, c := range []struct {
		d           string
		fault, segs int
	}{
		{"", -1, 0},
		{"  ", -1, 0},
		{"M1 2", -1, 1},
		{"M1 2 3 4", -1, 2},
		{"m1,2,3,4z", -1, 3},
		{"M1-2.5.5.5L.5.5", -1, 3},
		{"M0 0a1 1 0 00.5.5", -1, 2},
		{"M0 0a1 1 0 0120 5", -1, 2},
		{"L1 2", 0, 0},
		{"M1 2L3", 6, 1},
		{"M1 2L3 4 5", 10, 2},
		{"M1 2 L3 4,", 10, 2},
		{"M1 2X3", 4, 1},
		{"M0 0a1 1 0 2 0 5 5", 11, 1},
		{"M1 2,,3 4", 5, 1},
		{"M1e999 2", 1, 0},
		{"M0 0zz", -1, 2},
		{"M0 0zL5 5", -1, 4},
	} {
		segs, fault := parsePath(c.d)
		if fault != c.fault || len(segs) != c.segs {
			t.Errorf("%q: fault at %d after %d segments, want %d after %d", c.d, fault, len(segs), c.fault, c.segs)
		}
	}
}

func TestTransforms(t *testing.T) {
	p := geom.Point{X: 10, Y: 0}
	for text, want := range map[string]geom.Point{
		"": {X: 10}, "none": {X: 10}, "translate(5)": {X: 15}, "translate(5,-3)": {X: 15, Y: -3}, "scale(2)": {X: 20},
		"rotate(90)": {Y: 10}, "rotate(180 20 0)": {X: 30}, "rotate(.25turn)": {Y: 10}, "skewY(45)": {X: 10, Y: 10},
		"matrix(1 2 3 4 5 6)": {X: 15, Y: 26}, "translate(1in)": {X: 106}, "translate(10),scale(2)": {X: 30}, "translateX(1) scaleY(4)": {X: 11},
	} {
		m, ok := parseTransform(text)
		if got := m.Apply(p); !ok || got.Dist(want) > 1e-9 {
			t.Errorf("%s: %v %v, want %v", text, got, ok, want)
		}
	}
	for _, text := range []string{"turn(5)", "translate(1 2 3)", "translate(", "matrix(1 2 3)", "scale", "rotate(5em)", "translate(1)x"} {
		if m, ok := parseTransform(text); ok || m != geom.Identity() {
			t.Errorf("%q is read as %v", text, m)
		}
	}
}
