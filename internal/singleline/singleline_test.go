package singleline

import (
	"encoding/json"
	"math"
	"os/exec"
	"strings"
	"testing"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
	"brushfall/internal/outside"

	"pgregory.net/rapid"
)

const all = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-./+&"

func mustStrokes(t rapid.TB, text string, height float64, at geom.Point, angle float64) []geom.Line {
	t.Helper()
	out, err := Strokes(text, height, at, angle)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func box(lines []geom.Line) geom.Box {
	b := geom.EmptyBox()
	for _, l := range lines {
		b = b.Join(geom.Bounds(l))
	}
	return b
}

// Every letter fills its width and stays between the base line and the height.
func TestLettersFillTheirBox(t *testing.T) {
	if n := len(letters()); n != len(all)+1 {
		t.Errorf("%d letters, want %d and the space", n, len(all))
	}
	for _, r := range all {
		width, err := Width(string(r), 6)
		if err != nil || !Known(r) {
			t.Fatal(err)
		}
		lines := mustStrokes(t, string(r), 6, geom.Point{Y: 6}, 0)
		for _, l := range lines {
			if len(l) < 2 || l[0] == l[len(l)-1] || l.Length() < 0.5 {
				t.Errorf("%c: a stroke of %v", r, l)
			}
		}
		b := box(lines)
		if math.Abs(b.MinX) > 0.06 || math.Abs(b.MaxX-width) > 0.06 || b.MinY < 0 || b.MaxY > 6 {
			t.Errorf("%c: %+v for a width of %g", r, b, width)
		}
		if strings.ContainsRune("-.+", r) {
			continue
		}
		if b.MinY != 0 || b.MaxY != 6 {
			t.Errorf("%c: from %g to %g, not 0 to 6", r, b.MinY, b.MaxY)
		}
	}
}

// No letter lets flock fall out, as GEOS sees it: with its strokes widened to a
// bridge, but for a hair, nothing inside is cut off from what is around it.
func TestNoLetterEnclosesFlock(t *testing.T) {
	strokes := map[string][]geom.Line{}
	for _, r := range all {
		strokes[string(r)] = mustStrokes(t, string(r), LeastHeight, geom.Point{}, 0)
	}
	strokes["ring"] = []geom.Line{{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}, {X: 0, Y: 4}, {X: 0, Y: 0.4}}}
	in, err := json.Marshal(strokes)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(outside.Python(t), "-c", `
import json, sys
from shapely.geometry import MultiLineString, Polygon
bridge = float(sys.argv[1])
for name, lines in json.load(sys.stdin).items():
    wide = MultiLineString([[(p["X"], p["Y"]) for p in l] for l in lines]).buffer(bridge / 2 * 0.98, cap_style=1)
    for part in getattr(wide, "geoms", [wide]):
        if len(part.interiors):
            print(name, end=" ")
`, "0.5")
	cmd.Stdin = strings.NewReader(string(in))
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if got := strings.TrimSpace(string(out)); got != "ring" {
		t.Errorf("flock is cut off in %q, want in the ring alone", got)
	}
	if math.Abs(Bridge*LeastHeight-0.5) > 1e-12 {
		t.Errorf("the bridge is %g mm at the least height", Bridge*LeastHeight)
	}
}

// Letters stand clear of each other by the distance that is promised.
func TestLettersStandApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.SampledFrom([]rune(all+" abz")), 1, 12, -1).Draw(t, "text")
		height := rapid.Float64Range(1, 20).Draw(t, "height")
		whole, err := Width(text, height)
		if err != nil {
			t.Fatal(err)
		}
		x := 0.0
		var parts []geom.Line
		for i, r := range []rune(text) {
			if i > 0 {
				x += Between * height
			}
			parts = append(parts, mustStrokes(t, string(r), height, geom.Point{X: x}, 0)...)
			w, _ := Width(string(r), height)
			x += w
		}
		if math.Abs(x-whole) > 1e-9 {
			t.Fatalf("%q is %g wide, its letters %g", text, whole, x)
		}
		got := mustStrokes(t, text, height, geom.Point{}, 0)
		if len(got) != len(parts) {
			t.Fatalf("%d strokes, want %d", len(got), len(parts))
		}
		for i, l := range got {
			for k, p := range l {
				if p.Dist(parts[i][k]) > 1e-9 {
					t.Fatalf("stroke %d of %q is %v, want %v", i, text, l, parts[i])
				}
			}
		}
	})
}

// A text that is turned and moved is the text, turned and moved: a quarter
// clockwise takes what is right to below, and what is above to the right.
func TestTurning(t *testing.T) {
	at := geom.Point{X: 3, Y: -2}
	level := mustStrokes(t, "R2", 5, geom.Point{}, 0)
	turned := mustStrokes(t, "R2", 5, at, math.Pi/2)
	for i, l := range level {
		for k, p := range l {
			if want := at.Add(geom.Point{X: -p.Y, Y: p.X}); turned[i][k].Dist(want) > 1e-9 {
				t.Fatalf("%v, want %v", turned[i][k], want)
			}
		}
	}
	if b := box(turned); b.MinX < 3-1e-9 || b.MaxY < 0 {
		t.Errorf("turned to %+v", b)
	}
}

// Curves are quarters of ellipses: the C of the table leaves the axes where it
// must and its corner passes at the share √½ of its half-axes.
func TestCurvesAreEllipses(t *testing.T) {
	got := quarter(geom.Point{X: 2}, geom.Point{X: 2, Y: 3}, geom.Point{Y: 3})
	for _, p := range got {
		if e := p.X*p.X/4 + p.Y*p.Y/9; math.Abs(e-1) > 1e-12 {
			t.Errorf("%v is off the ellipse by %g", p, e-1)
		}
	}
}

func TestUnknownCharacters(t *testing.T) {
	for text, want := range map[string]string{"É7#": "'É' '#'", "a\n": `'\n'`, "\xff": "'\ufffd'"} {
		_, err := Width(text, 4)
		_, also := Strokes(text, 4, geom.Point{}, 0)
		if fault.CodeOf(err) != "letter-unknown" || fault.CodeOf(also) != "letter-unknown" || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, %v; want %s", text, err, also, want)
		}
	}
	if w, err := Width("", 4); w != 0 || err != nil {
		t.Errorf("nothing is %g wide, %v", w, err)
	}
	if Known('é') || !Known('k') || !Known(' ') {
		t.Error("the wrong characters are known")
	}
}
