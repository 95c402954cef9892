package geom

import (
	"bufio"
	"fmt"
	"math"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/outside"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// axisError is how far a point may lie from the true axis: a share of the
// smoothing that arcs get.
const axisError = 3e-3

func bar(w, l float64) Shape {
	return Shape{[]Ring{{{0, -w / 2}, {l, -w / 2}, {l, w / 2}, {0, w / 2}}}}
}

// polar is a ring of n corners on a circle, turning in the positive sense.
func polar(c Point, r float64, n int) Ring {
	out := make(Ring, n)
	for i := range out {
		a := 2 * math.Pi * float64(i) / float64(n)
		out[i] = Point{c.X + r*math.Cos(a), c.Y + r*math.Sin(a)}
	}
	return out
}

func turned(s Shape, angle float64, mirror bool) Shape {
	sin, cos := math.Sincos(angle)
	var out Shape
	for _, r := range s.Rings {
		q := make(Ring, len(r))
		for i, p := range r {
			if mirror {
				p.X = -p.X
			}
			q[i] = Point{p.X*cos - p.Y*sin, p.X*sin + p.Y*cos}
		}
		if mirror {
			slices.Reverse(q)
		}
		out.Rings = append(out.Rings, q)
	}
	return out
}

// A bar of width w and length l: the axis is the middle line, ending w/2 from
// the ends, where the forks into the corners start (elementary geometry).
func TestCentreLineBar(t *testing.T) {
	for _, w := range []float64{0.5, 2, 3.7} {
		for _, angle := range []float64{0, 0.3, 1, math.Pi / 2} {
			sk := CentreLine(turned(bar(w, 20), angle, false), CentreOptions{})
			if len(sk.Arcs) != 1 || len(sk.Nodes) != 2 {
				t.Fatalf("w %g at %g: %d arcs, %d nodes", w, angle, len(sk.Arcs), len(sk.Nodes))
			}
			a := sk.Arcs[0]
			lo, hi := math.Inf(1), 0.0
			for i, p := range a.Points {
				sin, cos := math.Sincos(-angle)
				x, y := p.X*cos-p.Y*sin, p.X*sin+p.Y*cos
				lo, hi = math.Min(lo, x), math.Max(hi, x)
				if math.Abs(y) > axisError || math.Abs(a.Radii[i]-w/2) > axisError {
					t.Errorf("w %g at %g: point %g, %g has radius %g", w, angle, x, y, a.Radii[i])
				}
			}
			if math.Abs(lo-w/2) > axisError || math.Abs(hi-(20-w/2)) > axisError {
				t.Errorf("w %g at %g: runs from %g to %g", w, angle, lo, hi)
			}
		}
	}
}

func TestCentreLineStep(t *testing.T) {
	for _, step := range []float64{0.1, 0.5, 2} {
		for _, a := range CentreLine(bar(3, 30), CentreOptions{Step: step}).Arcs {
			for i := 1; i < len(a.Points); i++ {
				if d := a.Points[i].Dist(a.Points[i-1]); d > step*1.001 {
					t.Errorf("step %g: points %g apart", step, d)
				}
			}
		}
	}
}

// Ends carried on stop where the outline is as near as asked, on the middle line.
func TestCentreLineExtendEnds(t *testing.T) {
	sk := CentreLine(bar(4, 20), CentreOptions{ExtendEnds: 0.7})
	for _, n := range sk.Nodes {
		x := math.Min(n.Point.X, 20-n.Point.X)
		if math.Abs(x-0.7) > 1e-3 || math.Abs(n.Point.Y) > axisError || math.Abs(n.Radius-0.7) > 1e-3 {
			t.Errorf("end at %v, radius %g", n.Point, n.Radius)
		}
	}
}

// An end cut at a slant keeps the middle line straight.
func TestCentreLineSlantedEnd(t *testing.T) {
	for _, slant := range []float64{1, 2, 2.5} {
		s := Shape{[]Ring{{{0, -1}, {20, -1}, {20 + slant, 1}, {-slant, 1}}}}
		sk := CentreLine(s, CentreOptions{})
		if len(sk.Arcs) != 1 {
			t.Fatalf("slant %g: %d arcs", slant, len(sk.Arcs))
		}
		for _, p := range sk.Arcs[0].Points {
			if math.Abs(p.Y) > axisError {
				t.Errorf("slant %g: %v is off the middle line", slant, p)
			}
		}
	}
}

// A ring between two circles has the circle half way between as its axis.
func TestCentreLineRing(t *testing.T) {
	inner := polar(Point{5, 5}, 7, 300)
	slices.Reverse(inner)
	sk := CentreLine(Shape{[]Ring{polar(Point{5, 5}, 10, 400), inner}}, CentreOptions{})
	if len(sk.Arcs) != 1 || len(sk.Nodes) != 1 || !sk.Arcs[0].Closed || sk.Nodes[0].End {
		t.Fatalf("%d arcs, %d nodes: %+v", len(sk.Arcs), len(sk.Nodes), sk.Nodes)
	}
	a := sk.Arcs[0]
	for i, p := range a.Points {
		if r := p.Dist(Point{5, 5}); math.Abs(r-8.5) > axisError || math.Abs(a.Radii[i]-1.5) > axisError {
			t.Errorf("point at %g from the centre, radius %g", r, a.Radii[i])
		}
	}
	if d := Line(a.Points).Length(); math.Abs(d-2*math.Pi*8.5) > 0.02 {
		t.Errorf("loop of length %g", d)
	}
}

// Shapes whose every branch leads into a corner or bump shrink to one node.
func TestCentreLineOneNode(t *testing.T) {
	for _, c := range []struct {
		name   string
		ring   Ring
		centre Point
		radius float64
	}{
		{"disc", polar(Point{3, 4}, 6, 240), Point{3, 4}, 6 * math.Cos(math.Pi/240)},
		{"square", Ring{{0, 0}, {5, 0}, {5, 5}, {0, 5}}, Point{2.5, 2.5}, 2.5},
		{"hexagon", polar(Point{}, 4, 6), Point{}, 4 * math.Cos(math.Pi/6)},
		{"triangle", polar(Point{}, 4, 3), Point{}, 2},
	} {
		sk := CentreLine(Shape{[]Ring{c.ring}}, CentreOptions{})
		if len(sk.Nodes) != 1 || len(sk.Arcs) != 0 || !sk.Nodes[0].End {
			t.Errorf("%s: %d nodes, %d arcs", c.name, len(sk.Nodes), len(sk.Arcs))
			continue
		}
		n := sk.Nodes[0]
		if n.Point.Dist(c.centre) > 0.02*c.radius || math.Abs(n.Radius-c.radius) > 0.02*c.radius {
			t.Errorf("%s: centre %v radius %g", c.name, n.Point, n.Radius)
		}
	}
}

// Letters of bars of width 2. Where an arm meets a bar or its crossing the disc
// touches the two inner corners: radius √2·w/2 at a plus, 5/8·w at a T.
func TestCentreLineLetters(t *testing.T) {
	for _, c := range []struct {
		name        string
		ring        Ring
		nodes, arcs int
		junction    Point
		radius      float64
		ends        []Point
	}{
		{"L", Ring{{0, 0}, {2, 0}, {2, 8}, {10, 8}, {10, 10}, {0, 10}}, 2, 1, Point{}, 0, []Point{{1, 1}, {9, 9}}},
		{"T", Ring{{0, 0}, {12, 0}, {12, 2}, {7, 2}, {7, 10}, {5, 10}, {5, 2}, {0, 2}}, 4, 3, Point{6, 1.25}, 1.25, []Point{{1, 1}, {11, 1}, {6, 9}}},
		{"plus", Ring{{5, 0}, {7, 0}, {7, 5}, {12, 5}, {12, 7}, {7, 7}, {7, 12}, {5, 12}, {5, 7}, {0, 7}, {0, 5}, {5, 5}}, 5, 4, Point{6, 6}, math.Sqrt2, []Point{{6, 1}, {6, 11}, {1, 6}, {11, 6}}},
	} {
		for _, angle := range []float64{0, 0.7, 2} {
			sin, cos := math.Sincos(angle)
			at := func(p Point) Point { return Point{p.X*cos - p.Y*sin, p.X*sin + p.Y*cos} }
			sk := CentreLine(turned(Shape{[]Ring{c.ring}}, angle, false), CentreOptions{})
			if len(sk.Nodes) != c.nodes || len(sk.Arcs) != c.arcs {
				t.Errorf("%s at %g: %d nodes, %d arcs", c.name, angle, len(sk.Nodes), len(sk.Arcs))
				continue
			}
			for _, n := range sk.Nodes {
				if !n.End {
					if n.Point.Dist(at(c.junction)) > 0.01 || math.Abs(n.Radius-c.radius) > 0.01 {
						t.Errorf("%s at %g: junction %v radius %g", c.name, angle, n.Point, n.Radius)
					}
				} else if !slices.ContainsFunc(c.ends, func(e Point) bool { return n.Point.Dist(at(e)) < 0.01 }) {
					t.Errorf("%s at %g: end at %v", c.name, angle, n.Point)
				}
			}
		}
	}
}

func TestCentreLineDegenerate(t *testing.T) {
	for _, s := range []Shape{
		{}, {[]Ring{{}}}, {[]Ring{{{1, 1}}}}, {[]Ring{{{0, 0}, {1, 1}}}}, {[]Ring{{{0, 0}, {1, 1}, {2, 2}}}},
		{[]Ring{{{0, 0}, {1e-6, 0}, {0, 1e-6}}}},
		{[]Ring{{{0, 0}, {5, 0}, {5, 5}, {0, 0}, {-5, 0}, {-5, -5}}}},
	} {
		CentreLine(s, CentreOptions{ExtendEnds: 0.1})
	}
}

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

func BenchmarkCentreLineBlob(b *testing.B) {
	ring := make(Ring, 4000)
	for i := range ring {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 4000)
		k := 210 + 20*math.Sin(2*math.Pi*7*float64(i)/4000)
		ring[i] = Point{k * cos, k * sin}
	}
	for b.Loop() {
		CentreLine(Shape{[]Ring{ring}}, CentreOptions{})
	}
}

func BenchmarkCentreLineLetters(b *testing.B) {
	all := glyphs(b)
	for b.Loop() {
		for _, s := range all {
			CentreLine(s, CentreOptions{})
		}
	}
}
