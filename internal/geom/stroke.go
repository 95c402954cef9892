package geom

import "math"

// Cap says how the ends of an open stroke look, as SVG's stroke-linecap.
type Cap int

// The caps.
const (
	ButtCap Cap = iota
	RoundCap
	SquareCap
)

// Join says how the corners of a stroke look, as SVG's stroke-linejoin.
type Join int

// The joins.
const (
	MiterJoin Join = iota
	RoundJoin
	BevelJoin
)

// StrokeStyle is how a line is drawn, as in SVG 1.1 §11.4. Lengths in mm.
type StrokeStyle struct {
	Width      float64
	Cap        Cap
	Join       Join
	MiterLimit float64   // miter length ÷ width above which a miter is bevelled; under 1: SVG's default 4
	Dash       []float64 // lengths of dashes and gaps in turn; none, or any below zero, or all zero: solid
	DashOffset float64   // where in the dashes the line starts
}

// defaultMiterLimit is the initial value of stroke-miterlimit (SVG 1.1 §11.4).
const defaultMiterLimit = 4

// Stroke gives the area that the lines cover when drawn. closed[i] joins the last
// point of line i to its first; missing entries count as open. tol is the chord error of round
// joins and caps in mm. Open ends have caps, and so have the ends of dashes; a line
// without length is a dot if its caps are round and an upright square if they are
// square (SVG 1.1 §11.4), else nothing. A dash that runs over the start of a closed
// line is one dash. A width that is not above zero gives the empty shape, as do points that are
// no numbers for their line.
func Stroke(lines []Line, closed []bool, style StrokeStyle, tol float64) Shape {
	if !(style.Width > 0 && style.Width <= farthest) {
		return Shape{}
	}
	if !(tol > finestArc) {
		tol = finestArc
	}
	if !(style.MiterLimit >= 1) {
		style.MiterLimit = defaultMiterLimit
	}
	pen := pen{style: style, half: style.Width / 2, tol: tol}
	for i, l := range lines {
		if !finiteLine(l) {
			continue
		}
		ring := i < len(closed) && closed[i]
		if pattern := style.pattern(); pattern != nil && l.Length() > 0 {
			pen.dashes(l, ring, pattern)
		} else {
			pen.line(l, ring, Point{1, 0})
		}
	}
	return Fill(pen.rings, NonZero)
}

func finiteLine(l Line) bool {
	for _, p := range l {
		if !finiteIn(p) {
			return false
		}
	}
	return true
}

// pen collects the pieces of a stroke: all wind the same way, so that their union
// is what they cover.
type pen struct {
	style StrokeStyle
	half  float64
	tol   float64
	rings []Ring
}

func (p *pen) add(r Ring) {
	if r.Area() < 0 {
		for i, j := 0, len(r)-1; i < j; i, j = i+1, j-1 {
			r[i], r[j] = r[j], r[i]
		}
	}
	p.rings = append(p.rings, r)
}

// line draws one line or dash; along is the direction of the caps if it has no length.
func (p *pen) line(l Line, closed bool, along Point) {
	l = distinct(l, closed)
	if len(l) == 1 {
		p.dot(l[0], along)
	}
	if len(l) < 2 {
		return
	}
	n := len(l)
	edges := n
	if !closed {
		edges = n - 1
	}
	for i := range edges {
		a, b := l[i], l[(i+1)%n]
		side := b.Sub(a).Unit().Perp().Mul(p.half)
		p.add(Ring{a.Sub(side), b.Sub(side), b.Add(side), a.Add(side)})
		if closed || i > 0 {
			p.join(l[(i+n-1)%n], a, b)
		}
	}
	if !closed {
		p.cap(l[1], l[0])
		p.cap(l[n-2], l[n-1])
	}
}

// distinct leaves out points that repeat the one before.
func distinct(l Line, closed bool) Line {
	var out Line
	for _, q := range l {
		if len(out) == 0 || q != out[len(out)-1] {
			out = append(out, q)
		}
	}
	for closed && len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	return out
}

// join fills the gap on the outer side of the corner b.
func (p *pen) join(a, b, c Point) {
	in, out := b.Sub(a).Unit(), c.Sub(b).Unit()
	turn := math.Atan2(in.Cross(out), in.Dot(out))
	if turn == 0 {
		return
	}
	// The outer side is the one away from the turn.
	n, m := in.Perp().Mul(p.half), out.Perp().Mul(p.half)
	if turn > 0 {
		n, m = n.Mul(-1), m.Mul(-1)
	}
	ring := Ring{b, b.Add(n)}
	switch cos := math.Cos(turn / 2); {
	case p.style.Join == RoundJoin:
		ring = FlattenArc(ring, b, p.half, p.half, 0, math.Atan2(n.Y, n.X), turn, p.tol)
		ring[len(ring)-1] = b.Add(m)
	case p.style.Join == MiterJoin && 1 <= p.style.MiterLimit*cos:
		tip := n.Add(m).Mul(1 / (2 * cos * cos))
		ring = append(ring, b.Add(tip), b.Add(m))
	default:
		ring = append(ring, b.Add(m))
	}
	p.add(ring)
}

// cap ends the line that comes from a at b.
func (p *pen) cap(a, b Point) {
	p.capAlong(b, b.Sub(a).Unit())
}

func (p *pen) capAlong(at, dir Point) {
	n := dir.Perp().Mul(-p.half)
	switch p.style.Cap {
	case RoundCap:
		p.add(FlattenArc(Ring{at.Add(n)}, at, p.half, p.half, 0, math.Atan2(n.Y, n.X), math.Pi, p.tol))
	case SquareCap:
		out := dir.Mul(p.half)
		p.add(Ring{at.Add(n), at.Add(n).Add(out), at.Sub(n).Add(out), at.Sub(n)})
	}
}

// dot draws a line without length.
func (p *pen) dot(at, dir Point) {
	p.capAlong(at, dir)
	p.capAlong(at, dir.Mul(-1))
}
