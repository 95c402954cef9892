package svgin

import "brushfall/internal/geom"

// op is the kind of a path segment.
type op byte

const (
	moveTo op = iota
	lineTo
	quadTo
	cubicTo
	arcTo
	closePath
)

// segment is one step of a path in absolute user units. p holds the control
// points, the end point last in use: p[0] for moves, lines and arcs, p[1] for
// quadratic and p[2] for cubic curves.
type segment struct {
	op           op
	p            [3]geom.Point
	rx, ry, turn float64 // arcs: radii and the turn of the ellipse in degrees
	large, sweep bool
}

// pathParser follows the grammar of SVG 1.1 §8.3.9.
type pathParser struct {
	scanner
	segs     []segment
	at       geom.Point // current point
	start    geom.Point // start of the subpath
	control  geom.Point // last control point, for S and T
	previous byte       // last command in upper case
	closed   bool       // the last command was Z: the next one opens a subpath
}

// parsePath reads path data. It gives the segments before the first fault, as
// SVG 1.1 §F.2 asks, and the offset of the fault, −1 for none.
func parsePath(d string) (segs []segment, fault int) {
	p := &pathParser{scanner: scanner{s: d}}
	p.space()
	for !p.done() {
		from := p.i
		cmd := p.s[p.i]
		p.i++
		if p.previous == 0 && cmd|0x20 != 'm' {
			return nil, from
		}
		if !p.command(cmd) {
			return p.segs, p.i
		}
		p.space()
	}
	return p.segs, -1
}

// arity is the number of arguments of a command, −1 for none such.
func arity(cmd byte) int {
	switch cmd | 0x20 {
	case 'm', 'l', 't':
		return 2
	case 'h', 'v':
		return 1
	case 's', 'q':
		return 4
	case 'c':
		return 6
	case 'a':
		return 7
	case 'z':
		return 0
	}
	return -1
}

// command reads the argument groups of one command letter.
func (p *pathParser) command(cmd byte) bool {
	n := arity(cmd)
	if n < 0 {
		p.i--
		return false
	}
	if n == 0 {
		p.close()
		return true
	}
	for first := true; ; first = false {
		before := p.i
		if first {
			p.space()
		} else {
			p.comma()
		}
		if !first && !p.numberAhead() {
			separated := p.i > before && p.s[p.i-1] == ','
			comma := separated || containsComma(p.s[before:p.i])
			return !comma // a comma must be followed by a number
		}
		var args [7]float64
		if !p.arguments(cmd, args[:n]) {
			return false
		}
		p.step(cmd, args)
		switch cmd { // more pairs after a move are lines
		case 'M':
			cmd = 'L'
		case 'm':
			cmd = 'l'
		}
	}
}

func containsComma(s string) bool {
	for i := range len(s) {
		if s[i] == ',' {
			return true
		}
	}
	return false
}

func (p *pathParser) numberAhead() bool {
	b := p.peek()
	return isDigit(b) || b == '+' || b == '-' || b == '.'
}

func (p *pathParser) arguments(cmd byte, args []float64) bool {
	for i := range args {
		if i > 0 {
			p.comma()
		}
		var ok bool
		if cmd|0x20 == 'a' && (i == 3 || i == 4) {
			args[i], ok = p.flag()
		} else {
			args[i], ok = p.number()
		}
		if !ok {
			return false
		}
	}
	return true
}

// flag reads one digit, which needs no separator after it.
func (p *pathParser) flag() (float64, bool) {
	switch p.peek() {
	case '0':
		p.i++
		return 0, true
	case '1':
		p.i++
		return 1, true
	}
	return 0, false
}

func (p *pathParser) close() {
	if p.previous != 'Z' {
		p.segs = append(p.segs, segment{op: closePath})
	}
	p.at, p.control = p.start, p.start
	p.previous, p.closed = 'Z', true
}

// step adds the segment of one command with its arguments.
func (p *pathParser) step(cmd byte, a [7]float64) {
	upper := cmd &^ 0x20
	base := geom.Point{}
	if cmd != upper {
		base = p.at
	}
	pt := func(i int) geom.Point { return geom.Point{X: base.X + a[i], Y: base.Y + a[i+1]} }
	if p.closed && upper != 'M' {
		p.segs = append(p.segs, segment{op: moveTo, p: [3]geom.Point{p.start}})
	}
	p.closed = false
	reflected := p.at.Mul(2).Sub(p.control)
	switch upper {
	case 'M':
		p.start = pt(0)
		p.move(segment{op: moveTo, p: [3]geom.Point{pt(0)}}, pt(0), pt(0))
	case 'L':
		p.move(segment{op: lineTo, p: [3]geom.Point{pt(0)}}, pt(0), pt(0))
	case 'H':
		to := geom.Point{X: base.X + a[0], Y: p.at.Y}
		p.move(segment{op: lineTo, p: [3]geom.Point{to}}, to, to)
	case 'V':
		to := geom.Point{X: p.at.X, Y: base.Y + a[0]}
		p.move(segment{op: lineTo, p: [3]geom.Point{to}}, to, to)
	case 'C':
		p.move(segment{op: cubicTo, p: [3]geom.Point{pt(0), pt(2), pt(4)}}, pt(4), pt(2))
	case 'S':
		c := p.at
		if p.previous == 'C' || p.previous == 'S' {
			c = reflected
		}
		p.move(segment{op: cubicTo, p: [3]geom.Point{c, pt(0), pt(2)}}, pt(2), pt(0))
	case 'Q':
		p.move(segment{op: quadTo, p: [3]geom.Point{pt(0), pt(2)}}, pt(2), pt(0))
	case 'T':
		c := p.at
		if p.previous == 'Q' || p.previous == 'T' {
			c = reflected
		}
		p.move(segment{op: quadTo, p: [3]geom.Point{c, pt(0)}}, pt(0), c)
	case 'A':
		arc := segment{op: arcTo, p: [3]geom.Point{pt(5)}, rx: a[0], ry: a[1], turn: a[2], large: a[3] != 0, sweep: a[4] != 0}
		p.move(arc, pt(5), pt(5))
	}
	p.previous = upper
}

func (p *pathParser) move(s segment, to, control geom.Point) {
	p.segs = append(p.segs, s)
	p.at, p.control = to, control
}
