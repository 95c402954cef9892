package geom

import (
	"bufio"
	"fmt"
	"math"
	"os/exec"
	"strings"
	"testing"

	"brushfall/internal/outside"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// glyphs are real outlines with curves, corners and holes: letters of the Go
// fonts (Bigelow & Holmes, BSD licence), 26 mm to the em.
func glyphs(t testing.TB) map[string]Shape {
	out := map[string]Shape{}
	for name, data := range map[string][]byte{"regular": goregular.TTF, "bold": gobold.TTF} {
		f, err := sfnt.Parse(data)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range "ABEKMQRSTWXZagk&@%8" {
			out[name+" "+string(r)] = glyph(t, f, r)
		}
	}
	return out
}

func glyph(t testing.TB, f *sfnt.Font, r rune) Shape {
	var buf sfnt.Buffer
	index, err := f.GlyphIndex(&buf, r)
	if err != nil {
		t.Fatal(err)
	}
	segments, err := f.LoadGlyph(&buf, index, fixed.I(1000), nil)
	if err != nil {
		t.Fatal(err)
	}
	at := func(p fixed.Point26_6) Point { return Point{float64(p.X), float64(p.Y)}.Mul(26.0 / 64000) }
	var s Shape
	for _, g := range segments {
		last := len(s.Rings) - 1
		switch g.Op {
		case sfnt.SegmentOpMoveTo:
			s.Rings = append(s.Rings, Ring{at(g.Args[0])})
		case sfnt.SegmentOpLineTo:
			s.Rings[last] = append(s.Rings[last], at(g.Args[0]))
		case sfnt.SegmentOpQuadTo:
			a, b, c := s.Rings[last][len(s.Rings[last])-1], at(g.Args[0]), at(g.Args[1])
			for i := 1; i <= 8; i++ {
				u := float64(i) / 8
				s.Rings[last] = append(s.Rings[last], a.Lerp(b, u).Lerp(b.Lerp(c, u), u))
			}
		}
	}
	for i, ring := range s.Rings {
		if n := len(ring) - 1; ring[0] == ring[n] {
			s.Rings[i] = ring[:n]
		}
	}
	return s
}

// The axis keeps the topology of the area: nodes less arcs is its Euler
// characteristic (the medial axis is a deformation retract; Lieutier, 2004).
func TestCentreLineTopology(t *testing.T) {
	for name, s := range glyphs(t) {
		sk := CentreLine(s, CentreOptions{})
		if got := len(sk.Nodes) - len(sk.Arcs); got != s.Euler() {
			t.Errorf("%s: %d nodes and %d arcs, Euler characteristic %d", name, len(sk.Nodes), len(sk.Arcs), s.Euler())
		}
		for i, a := range sk.Arcs {
			last := len(a.Points) - 1
			if a.Points[0] != sk.Nodes[a.From].Point || a.Points[last] != sk.Nodes[a.To].Point || len(a.Radii) != last+1 {
				t.Errorf("%s: arc %d does not join its nodes", name, i)
			}
		}
	}
}

// GEOS finds every point inside, and its radius to be its distance to the outline.
func TestCentreLineAgainstGEOS(t *testing.T) {
	var in strings.Builder
	for _, s := range glyphs(t) {
		for _, r := range s.Rings {
			in.WriteString("R")
			for _, p := range r {
				fmt.Fprintf(&in, " %.9f %.9f", p.X, p.Y)
			}
			in.WriteString("\n")
		}
		for _, a := range CentreLine(s, CentreOptions{}).Arcs {
			for i, p := range a.Points {
				fmt.Fprintf(&in, "P %.9f %.9f %.9f\n", p.X, p.Y, a.Radii[i])
			}
		}
		in.WriteString("E\n")
	}
	cmd := exec.Command(outside.Python(t), "-c", `
import sys
from shapely.geometry import Polygon, Point
from functools import reduce
rings=[];pts=[]
for l in sys.stdin:
    f=list(map(float,l.split()[1:]))
    if l[0]=='R': rings.append(Polygon(list(zip(f[::2],f[1::2]))))
    elif l[0]=='P': pts.append(f)
    else:
        area=reduce(lambda a,b:a.symmetric_difference(b),rings)
        edge=area.boundary
        worst=max(abs(edge.distance(Point(x,y))-r) for x,y,r in pts)
        print(len(pts),sum(not area.contains(Point(x,y)) for x,y,r in pts),worst)
        rings=[];pts=[]
`)
	cmd.Stdin = strings.NewReader(in.String())
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	lines := bufio.NewScanner(strings.NewReader(string(out)))
	total := 0
	for lines.Scan() {
		var points, strays int
		var worst float64
		if _, err := fmt.Sscan(lines.Text(), &points, &strays, &worst); err != nil {
			t.Fatal(err)
		}
		if strays > 0 || worst > 1e-6 {
			t.Errorf("of %d points %d lie outside; a radius is wrong by %g mm", points, strays, worst)
		}
		total += points
	}
	if total < 3000 {
		t.Errorf("only %d points looked at", total)
	}
}

// Turned and mirrored outlines have the turned and mirrored axis.
func TestCentreLineTurned(t *testing.T) {
	for name, s := range glyphs(t) {
		want := CentreLine(s, CentreOptions{})
		for _, c := range []struct {
			angle  float64
			mirror bool
		}{{0.5, false}, {math.Pi / 2, false}, {0, true}, {2.2, true}} {
			got := CentreLine(turned(s, c.angle, c.mirror), CentreOptions{})
			if len(got.Nodes) != len(want.Nodes) || len(got.Arcs) != len(want.Arcs) {
				t.Errorf("%s %v: %d nodes, %d arcs; upright %d, %d", name, c, len(got.Nodes), len(got.Arcs), len(want.Nodes), len(want.Arcs))
				continue
			}
			var lines []Line
			for _, a := range want.Arcs {
				lines = append(lines, Line(turned(Shape{[]Ring{a.Points}}, c.angle, c.mirror).Rings[0]))
			}
			near := NewLineBoundary(lines)
			for _, a := range got.Arcs {
				for _, p := range a.Points {
					if d := near.Nearest(p).Dist; d > 0.03 {
						t.Fatalf("%s %v: %v is %g off", name, c, p, d)
					}
				}
			}
		}
	}
}
