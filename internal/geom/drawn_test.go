package geom

import (
	"bytes"
	"fmt"
	"image/png"
	"math"
	"os/exec"
	"strings"
	"testing"

	"brushfall/internal/outside"
)

// drawnScale is the number of pixels per mm that shapes are drawn at, drawnSize the
// side of the page in mm.
const (
	drawnScale = 8
	drawnSize  = 40
)

// sameAsDrawn has librsvg draw an SVG element on a page and compares every pixel that
// is not cut by the outline, and the whole inked area.
func sameAsDrawn(t *testing.T, element string, s Shape) {
	t.Helper()
	doc := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %d %d">%s</svg>`,
		drawnSize*drawnScale, drawnSize*drawnScale, drawnSize, drawnSize, element)
	cmd := exec.Command(outside.Need(t, "rsvg-convert"))
	cmd.Stdin = strings.NewReader(doc)
	data, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	b := NewBoundary(s)
	ink, wrong := 0.0, 0
	for y := range drawnSize * drawnScale {
		for x := range drawnSize * drawnScale {
			_, _, _, alpha := img.At(x, y).RGBA()
			ink += float64(alpha) / 0xffff
			p := Point{(float64(x) + 0.5) / drawnScale, (float64(y) + 0.5) / drawnScale}
			if d := b.Depth(p); math.Abs(d) > 1.0/drawnScale && (d > 0) != (alpha > 0x7fff) {
				wrong++
			}
		}
	}
	ink /= drawnScale * drawnScale
	if wrong > 0 || math.Abs(ink-s.Area()) > 0.004*s.Area()+0.02 {
		t.Errorf("%s\n%d pixels are wrong; area %.3f mm², drawn %.3f mm²", element, wrong, s.Area(), ink)
	}
}

// pathData writes lines as SVG path data.
func pathData(lines []Line, closed []bool) string {
	var b strings.Builder
	for i, l := range lines {
		for k, p := range l {
			fmt.Fprintf(&b, "%c%g %g", "ML"[min(k, 1)], p.X, p.Y)
		}
		if closed[i] || len(l) == 1 {
			b.WriteString("Z")
		}
	}
	return b.String()
}

func TestStrokesAreDrawnAlike(t *testing.T) {
	zigzag := []Line{{{5, 5}, {30, 8}, {8, 15}, {30, 16}, {12, 30}, {35, 34}, {35, 20}, {37, 10}}}
	ring := []Line{{{8, 8}, {30, 6}, {34, 30}, {20, 18}, {6, 33}}}
	several := []Line{{{5, 5}, {5, 5}}, {{20, 20}}, {{30, 5}, {30, 5}, {35, 12}}, {{10, 30}, {25, 30}, {10, 30}}}
	caps := []string{"butt", "round", "square"}
	joins := []string{"miter", "round", "bevel"}
	for _, c := range []struct {
		lines  []Line
		closed []bool
		style  StrokeStyle
	}{
		{zigzag, []bool{false}, StrokeStyle{Width: 2}},
		{zigzag, []bool{false}, StrokeStyle{Width: 2, Cap: RoundCap, Join: RoundJoin}},
		{zigzag, []bool{false}, StrokeStyle{Width: 3, Cap: SquareCap, Join: BevelJoin}},
		{zigzag, []bool{false}, StrokeStyle{Width: 2, MiterLimit: 8}},
		{zigzag, []bool{false}, StrokeStyle{Width: 2, MiterLimit: 1}},
		{zigzag, []bool{true}, StrokeStyle{Width: 1.5}},
		{ring, []bool{true}, StrokeStyle{Width: 4}},
		{ring, []bool{true}, StrokeStyle{Width: 4, Join: RoundJoin}},
		{ring, []bool{true}, StrokeStyle{Width: 2, Dash: []float64{5, 3}}},
		{ring, []bool{true}, StrokeStyle{Width: 2, Dash: []float64{5, 3, 1}, DashOffset: 2, Cap: RoundCap}},
		{ring, []bool{true}, StrokeStyle{Width: 2, Dash: []float64{0, 4}, Cap: RoundCap}},
		{ring, []bool{true}, StrokeStyle{Width: 2, Dash: []float64{0, 4}, Cap: SquareCap}},
		{ring, []bool{true}, StrokeStyle{Width: 2, Dash: []float64{30, 1}, Join: MiterJoin, DashOffset: 3}},
		{zigzag, []bool{false}, StrokeStyle{Width: 2, Dash: []float64{4, 2}, DashOffset: -3}},
		{zigzag, []bool{false}, StrokeStyle{Width: 2, Dash: []float64{0, 0}}},
		{zigzag, []bool{false}, StrokeStyle{Width: 2, Dash: []float64{3, -1}}},
		{several, []bool{false, false, false, false}, StrokeStyle{Width: 3, Cap: RoundCap}},
		{several, []bool{false, false, false, false}, StrokeStyle{Width: 3, Cap: SquareCap, Join: RoundJoin}},
		{several, []bool{true, false, false, false}, StrokeStyle{Width: 3, Cap: ButtCap, Join: BevelJoin}},
	} {
		limit := c.style.MiterLimit
		if limit == 0 {
			limit = 4
		}
		dashes := strings.Trim(strings.ReplaceAll(fmt.Sprint(c.style.Dash), " ", ","), "[]")
		element := fmt.Sprintf(`<path d="%s" fill="none" stroke="black" stroke-width="%g" stroke-linecap="%s" stroke-linejoin="%s" stroke-miterlimit="%g"`,
			pathData(c.lines, c.closed), c.style.Width, caps[c.style.Cap], joins[c.style.Join], limit)
		if dashes != "" {
			element += fmt.Sprintf(` stroke-dasharray="%s" stroke-dashoffset="%g"`, dashes, c.style.DashOffset)
		}
		sameAsDrawn(t, element+"/>", Stroke(c.lines, c.closed, c.style, 0.002))
	}
}

// TestCurvesAreDrawnAlike tries the cases of SVG 1.1 §8.3 and appendix F.6: all four
// arcs between two points, turned axes, radii too small, no radius, cusps, loops.
func TestCurvesAreDrawnAlike(t *testing.T) {
	for _, d := range []string{
		"M10 20A12 8 30 0 0 30 22Z", "M10 20A12 8 30 0 1 30 22Z", "M10 20A12 8 30 1 0 30 22Z", "M10 20A12 8 30 1 1 30 22Z",
		"M10 20A2 1 0 0 1 30 22Z", "M10 20A-12 -8 -75 1 1 30 15Z", "M10 20A0 8 0 0 1 30 22V35Z",
		"M20 5a15 15 0 1 0 .01 0Z", "M5 5C50 30 -10 30 35 5Z", "M5 20C40 0 0 40 35 20L20 38Z",
		"M8 28C5 5 34 5 30 25S20 38 8 28Z", "M12 20Q20 -5 25 20T12 25Z", "M5 5C5 5 35 35 35 35L5 35Z",
		"M5 5h30v30h-30zM12 12h10v10h-10zm4 4v10h10v-10z",
	} {
		rings := pathRings(t, d, d, 1)
		sameAsDrawn(t, `<path d="`+d+`"/>`, Fill(rings, NonZero))
		sameAsDrawn(t, `<path fill-rule="evenodd" d="`+d+`"/>`, Fill(rings, EvenOdd))
	}
}
