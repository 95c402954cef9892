package geom

import (
	"math"
	"slices"
	"testing"
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
		{},
		{[]Ring{{}}},
		{[]Ring{{{1, 1}}}},
		{[]Ring{{{0, 0}, {1, 1}}}},
		{[]Ring{{{0, 0}, {1, 1}, {2, 2}}}},
		{[]Ring{{{0, 0}, {1e-6, 0}, {0, 1e-6}}}},
		{[]Ring{{{0, 0}, {5, 0}, {5, 5}, {0, 0}, {-5, 0}, {-5, -5}}}},
	} {
		CentreLine(s, CentreOptions{ExtendEnds: 0.1})
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

// Strokes drawn small, rounded to the grid of areas and then enlarged have
// places where three points nearly in a line make circles of any size. The axis
// stays inside all the same, ends where the stroke's line does, and is not
// carried out of the area.
func TestCentreLineEnlargedStrokes(t *testing.T) {
	for i := range 40 {
		r, sweep := 0.7+0.2*float64(i%7), 0.5+0.05*float64(i)
		arc := FlattenArc([]Point{{r, 0}}, Point{}, r, r, 0, 0, sweep, 1e-3)
		s := Stroke([]Line{arc}, []bool{false}, StrokeStyle{Width: 0.4, Join: RoundJoin, Cap: RoundCap}, 1e-3)
		s = s.Transform(Scale(20, 20))
		sk := CentreLine(s, CentreOptions{ExtendEnds: 2})
		if len(sk.Nodes) != 2 || len(sk.Arcs) != 1 {
			t.Errorf("arc of %g over %g: %d nodes, %d arcs", r, sweep, len(sk.Nodes), len(sk.Arcs))
			continue
		}
		outline := NewBoundary(s)
		for k, p := range sk.Arcs[0].Points {
			if depth := outline.Depth(p); math.Abs(depth-sk.Arcs[0].Radii[k]) > 1e-6 || math.Abs(p.Len()-20*r) > 0.25 {
				t.Errorf("arc of %g over %g: %v at depth %g", r, sweep, p, depth)
			}
		}
	}
}

// A stub as long as its bar is wide is a stroke with an end of its own; a low
// bump is not.
func TestCentreLineStub(t *testing.T) {
	for _, c := range []struct {
		length float64
		arcs   int
	}{{2, 3}, {0.8, 1}} {
		s := Shape{[]Ring{{{0, 0}, {9, 0}, {9, -c.length}, {11, -c.length}, {11, 0}, {20, 0}, {20, 2}, {0, 2}}}}
		if sk := CentreLine(s, CentreOptions{}); len(sk.Arcs) != c.arcs {
			t.Errorf("stub of %g: %d arcs, want %d", c.length, len(sk.Arcs), c.arcs)
		}
	}
}

// A bar with a square end and a pointed one keeps its axis: only the forks into
// the square corners go. The axis runs from w/2 inside the square end into the
// point (elementary geometry).
func TestCentreLinePicket(t *testing.T) {
	picket := Shape{[]Ring{{{0, 0}, {60, 0}, {72, 3}, {60, 6}, {0, 6}}}}
	for _, angle := range []float64{0, 0.7, math.Pi / 2} {
		sk := CentreLine(turned(picket, angle, false), CentreOptions{})
		if len(sk.Arcs) != 1 || len(sk.Nodes) != 2 {
			t.Fatalf("turned by %g: %d arcs, %d nodes", angle, len(sk.Arcs), len(sk.Nodes))
		}
		if l := Line(sk.Arcs[0].Points).Length(); l < 66 || l > 69.01 {
			t.Errorf("turned by %g: the axis is %.2f mm long, want 69 less what a sharp point hides", angle, l)
		}
	}
}
