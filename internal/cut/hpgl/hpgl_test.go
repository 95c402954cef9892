package hpgl_test

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"brushfall/internal/cut"
	"brushfall/internal/cut/blade"
	"brushfall/internal/cut/cuttest"
	"brushfall/internal/cut/hpgl"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
	"brushfall/internal/outside"
)

// offCircle is how far rounding to units may push a corner off its circle, in
// mm: half the diagonal of a unit, and a little for the fit.
const offCircle = 0.022

// Every hole of the file, read by the strict reader.
func TestEveryHoleByGrammar(t *testing.T) {
	for _, doc := range []design.Document{cuttest.Badge(), cuttest.Marked(), cuttest.Many()} {
		for i, s := range cuttest.Plan(t, doc) {
			var lines [][][2]float64
			for _, stroke := range strokes(t, hpgl.Options{}, s) {
				var line [][2]float64
				for _, p := range stroke {
					line = append(line, [2]float64{float64(p[0]) / 40, s.Height - float64(p[1])/40})
				}
				lines = append(lines, line)
			}
			cuttest.Compare(t, fmt.Sprintf("hp-gl, grammar: %s %d", doc.Design, i+1), cuttest.Expected(doc, doc.Sheets[i]), circles(t, lines))
			cuttest.InOrder(t, s, circles(t, lines))
		}
	}
}

// Every hole of the drawing that hp2xx makes at true size, in 1/72 in.
func TestEveryHoleByHp2xx(t *testing.T) {
	for _, doc := range []design.Document{cuttest.Badge(), cuttest.Marked(), cuttest.Many()} {
		for i, s := range cuttest.Plan(t, doc) {
			lines := convert(t, write(t, hpgl.Options{}, s), doc.Sheets[i])
			cuttest.Compare(t, fmt.Sprintf("hp-gl, hp2xx -t: %s %d", doc.Design, i+1), cuttest.Expected(doc, doc.Sheets[i]), circles(t, lines))
			cuttest.InOrder(t, s, circles(t, lines))
		}
	}
}

// On each plate holes, then nicks, then the frame, as the plan has them.
func TestCuttingOrder(t *testing.T) {
	s := cuttest.Plan(t, cuttest.Badge())[0]
	got := strokes(t, hpgl.Options{}, s)
	for _, p := range s.Plates {
		if len(got) < len(p.Holes)+len(p.Nicks)+1 {
			t.Fatalf("%d cuts left for plate %d", len(got), p.Plate)
		}
		for i, h := range p.Holes {
			first := geom.Point{X: float64(got[i][0][0]) / 40, Y: s.Height - float64(got[i][0][1])/40}
			if off := math.Abs(first.Dist(h.Centre) - h.D/2); off > offCircle {
				t.Errorf("plate %d, cut %d begins %.3f mm off the hole", p.Plate, i+1, off)
			}
		}
		got = got[len(p.Holes):]
		for i := range p.Nicks {
			if len(got[i]) != 2 {
				t.Errorf("nick %d of plate %d has %d points", i+1, p.Plate, len(got[i]))
			}
		}
		frame := got[len(p.Nicks)]
		if len(frame) != 8 || frame[0] != frame[7] {
			t.Errorf("the frame of plate %d is %v, want eight points, closed", p.Plate, frame)
		}
		got = got[len(p.Nicks)+1:]
	}
	if len(got) > 0 {
		t.Errorf("%d cuts too many", len(got))
	}
}

// No chord leaves its circle by more than the tolerance: the sagitta of a chord
// of length c in a circle of radius r is r − √(r² − c²/4).
func TestChordsAreFine(t *testing.T) {
	for _, tolerance := range []float64{0.005, hpgl.DefaultChordTolerance, 0.1} {
		s := cuttest.Plan(t, cuttest.Badge())[1]
		all := strokes(t, hpgl.Options{ChordTolerance: tolerance}, s)
		for i, h := range s.Plates[0].Holes {
			for k := 1; k < len(all[i]); k++ {
				a, b := all[i][k-1], all[i][k]
				c := math.Hypot(float64(a[0]-b[0]), float64(a[1]-b[1])) / 40
				r := h.D / 2
				// A chord may be longer by the rounding of both its ends.
				c -= math.Sqrt2 * 0.025
				if sagitta := r - math.Sqrt(r*r-c*c/4); sagitta > tolerance {
					t.Fatalf("a hole of %.2f mm has a chord with a sagitta of %.4f mm, more than %.3f", h.D, sagitta, tolerance)
				}
			}
		}
	}
}

// With an overcut each closed cut is longer by it and still on its line.
func TestOvercut(t *testing.T) {
	const over = 0.8
	s := cuttest.Plan(t, cuttest.Badge())[0]
	plain, longer := strokes(t, hpgl.Options{}, s), strokes(t, hpgl.Options{Knife: blade.Knife{Overcut: over}}, s)
	for i := range plain {
		want := over
		if len(plain[i]) == 2 {
			want = 0 // a nick is not closed
		}
		if more := length(longer[i]) - length(plain[i]); math.Abs(more-want) > 0.06 {
			t.Errorf("cut %d is longer by %.3f mm, want %.1f", i+1, more, want)
		}
	}
	var lines [][][2]float64
	for _, stroke := range longer {
		var line [][2]float64
		for _, p := range stroke {
			line = append(line, [2]float64{float64(p[0]) / 40, s.Height - float64(p[1])/40})
		}
		lines = append(lines, line)
	}
	var holes []cuttest.Hole
	for _, line := range lines {
		if x, y, d, round := fit(line, offCircle); round {
			holes = append(holes, cuttest.Hole{X: x, Y: y, D: d})
		}
	}
	cuttest.Compare(t, "hp-gl, overcut 0.8 mm", cuttest.Expected(cuttest.Badge(), cuttest.Badge().Sheets[0]), holes)
}

func TestRefuses(t *testing.T) {
	for _, opt := range []hpgl.Options{
		{Knife: blade.Knife{Overcut: -1}},
		{Knife: blade.Knife{Overcut: math.NaN()}},
		{Knife: blade.Knife{Overcut: 11}},
		{Knife: blade.Knife{Offset: -0.1}},
		{Knife: blade.Knife{Offset: math.Inf(1)}},
		{Knife: blade.Knife{Swivel: 4}},
		{Knife: blade.Knife{Passes: 11}},
		{ChordTolerance: -1},
		{ChordTolerance: math.Inf(1)},
		{Speed: 0.5},
		{Speed: math.NaN()},
		{Force: -1},
		{Tool: 9},
	} {
		if _, err := hpgl.New(opt); fault.CodeOf(err) != "cut-option" {
			t.Errorf("%+v gives %v", opt, err)
		}
	}
	astray := cut.Sheet{Width: 100, Height: 100, Plates: []cut.SheetPlate{{Holes: []cut.Circle{{Centre: geom.Point{X: 1, Y: 50}, D: 3}}}}}
	for _, c := range []struct {
		sheet cut.Sheet
		code  string
	}{{cut.Sheet{Width: 820, Height: 100}, "cut-too-large"}, {cut.Sheet{Width: math.NaN()}, "cut-too-large"}, {astray, "cut-off-sheet"}} {
		var b bytes.Buffer
		if err := hpgl.Write(&b, c.sheet); fault.CodeOf(err) != c.code || b.Len() > 0 {
			t.Errorf("%v with %d bytes written, want the code %s and none", err, b.Len(), c.code)
		}
	}
	if err := hpgl.Write(broken{}, cut.Sheet{Width: 1, Height: 1}); fault.CodeOf(err) != "cut-write" {
		t.Errorf("a writer that fails gives %v", err)
	}
}

// The strict reader itself refuses what a cutter might stumble over.
func TestStrictReader(t *testing.T) {
	for _, bad := range []string{
		"", "IN;\n", "IN;\nSP1;\nPU0,0;\n", "SP1;\nPU0,0;\nSP0;\n", "IN;\nPU0,0;\nSP0;\n", "IN;\nSP1;\nPU0,0,5;\nPU0,0;\nSP0;\n",
		"IN;\nSP1;\nPA1,1;\nPU0,0;\nSP0;\n", "IN;\nSP1;\nPU-1,0;\nPU0,0;\nSP0;\n", "IN;\nSP1;\nPU1.5,0;\nPU0,0;\nSP0;\n",
		"IN;\nSP1;\nPU32768,0;\nPU0,0;\nSP0;\n", "IN;\nSP1;\nPD5,5;\nSP0;\n", "IN;\nSP1;\nPU5,5;\nSP0;\n", "IN;\nIN;\nSP1;\nPU0,0;\nSP0;\n",
	} {
		if _, err := strict(bad); err == nil {
			t.Errorf("%q passes", bad)
		}
	}
	if _, err := strict("IN;\nSP1;\nPU0,0;\nSP0;\n"); err != nil {
		t.Error(err)
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errors.New("disk full") }

// circles gives the holes among closed lines; open and angular ones are nicks and frames.
func circles(t *testing.T, lines [][][2]float64) []cuttest.Hole {
	t.Helper()
	var out []cuttest.Hole
	for _, line := range lines {
		last := len(line) - 1
		if math.Hypot(line[0][0]-line[last][0], line[0][1]-line[last][1]) > 0.001 {
			continue
		}
		if x, y, d, round := fit(line[:last], offCircle); round {
			out = append(out, cuttest.Hole{X: x, Y: y, D: d})
		}
	}
	return out
}

var pathData = regexp.MustCompile(`<path d="M ([^"]*)"`)

// convert draws HP-GL with hp2xx, the sheet's corner at the origin, and reads
// its lines back in mm. hp2xx ends a path after some points and goes on in the next.
func convert(t *testing.T, text string, sheet design.Sheet) [][][2]float64 {
	t.Helper()
	in, out := filepath.Join(t.TempDir(), "sheet.plt"), filepath.Join(t.TempDir(), "sheet.svg")
	if err := os.WriteFile(in, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	size := func(mm float64) string { return fmt.Sprint(math.Round(mm * 40)) }
	cmd := exec.Command(outside.Need(t, "hp2xx"), "-q", "-t", "-x", "0", "-y", "0", "-X", size(sheet.Width), "-Y", size(sheet.Height), "-m", "svg", "-f", out, in)
	if message, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, message)
	}
	drawn, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	var lines [][][2]float64
	for _, m := range pathData.FindAllStringSubmatch(string(drawn), -1) {
		var line [][2]float64
		for _, pair := range strings.Split(m[1], "L") {
			x, y, _ := strings.Cut(strings.TrimSpace(pair), ",")
			line = append(line, [2]float64{inch72(t, x), inch72(t, y)})
		}
		if n := len(lines) - 1; n >= 0 && lines[n][len(lines[n])-1] == line[0] {
			lines[n] = append(lines[n], line[1:]...)
			continue
		}
		lines = append(lines, line)
	}
	return lines
}

func inch72(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v * 25.4 / 72
}

func length(s stroke) float64 {
	sum := 0.0
	for i := 1; i < len(s); i++ {
		sum += math.Hypot(float64(s[i][0]-s[i-1][0]), float64(s[i][1]-s[i-1][1])) / 40
	}
	return sum
}

func strokes(t *testing.T, opt hpgl.Options, s cut.Sheet) []stroke {
	t.Helper()
	out, err := strict(write(t, opt, s))
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func write(t *testing.T, opt hpgl.Options, s cut.Sheet) string {
	t.Helper()
	w, err := hpgl.New(opt)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := w.Write(&b, s); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
