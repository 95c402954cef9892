package pdf

import (
	"math"

	"codeberg.org/go-pdf/fpdf"

	"brushfall/internal/ticket"
)

// sketch is a pen for small drawings: its units are mm at the scale k from x, y.
type sketch struct {
	p       *page
	x, y, k float64
}

func (s sketch) at(x, y float64) fpdf.PointType {
	return fpdf.PointType{X: s.x + x*s.k, Y: s.y + y*s.k}
}

func (s sketch) pen(c colour, width float64) { s.p.draw(c, width*s.k) }

func (s sketch) line(points ...float64) {
	for i := 2; i+1 < len(points); i += 2 {
		a, b := s.at(points[i-2], points[i-1]), s.at(points[i], points[i+1])
		s.p.f.Line(a.X, a.Y, b.X, b.Y)
	}
}

func (s sketch) shape(how string, points ...float64) {
	var list []fpdf.PointType
	for i := 0; i+1 < len(points); i += 2 {
		list = append(list, s.at(points[i], points[i+1]))
	}
	s.p.f.Polygon(list, how)
}

func (s sketch) circle(x, y, r float64, how string) {
	c := s.at(x, y)
	s.p.f.Circle(c.X, c.Y, r*s.k, how)
}

// arc draws a part of a circle from one angle to another, in degrees, anticlockwise
// from three o'clock, as short lines.
func (s sketch) arc(x, y, r, from, to float64) {
	const steps = 16
	for i := range steps {
		a := (from + (to-from)*float64(i)/steps) * math.Pi / 180
		b := (from + (to-from)*float64(i+1)/steps) * math.Pi / 180
		s.line(x+r*math.Cos(a), y-r*math.Sin(a), x+r*math.Cos(b), y-r*math.Sin(b))
	}
}

// head draws an arrow's head at x, y in the direction, in degrees.
func (s sketch) head(x, y, direction, size float64) {
	corner := func(turn float64) (float64, float64) {
		a := (direction + turn) * math.Pi / 180
		return x + size*math.Cos(a), y - size*math.Sin(a)
	}
	ax, ay := corner(155)
	bx, by := corner(-155)
	s.shape("F", x, y, ax, ay, bx, by)
}

// The strip of drawings of the tray, seen from the side: four beside each other.
const (
	stripGap    = 4.0
	stripHigh   = 22.8
	stripWide   = 42.0 // of a drawing, before it is scaled to its box
	stripLead   = 3.9
	stripBorder = 2.5
)

// trayStrip draws how stones get onto the tape: brush, fold down, lift, and then the
// next plate, or the backing.
func (p *page) trayStrip(t ticket.Ticket) {
	captions := p.trayCaptions(t)
	width := (p.inner() - stripGap*float64(len(captions)-1)) / float64(len(captions))
	height := p.trayHeight(t)
	for i, c := range captions {
		x := margin + float64(i)*(width+stripGap)
		p.box(x, p.y, width, height, panel)
		s := sketch{p, x, p.y, width / stripWide}
		switch {
		case i == 0:
			s.brushing()
		case i == 1:
			s.foldedDown()
		case i == 2:
			s.lifted()
		case len(t.Plates) > 1:
			s.changed()
		default:
			s.backed()
		}
		p.style(false, 8.5, ink)
		p.lines(x+stripBorder, p.y+stripHigh+2, p.wrapped(c, width-2*stripBorder), stripLead)
	}
	p.y += height + 3
}

func (p *page) trayCaptions(t ticket.Ticket) []string {
	v := p.v
	last := v.Say("Lay the transfer on its backing.")
	if len(t.Plates) > 1 {
		last = v.Say("Next plate: frame on the marks, notch on notch.")
	}
	return []string{
		v.Say("Brush: a stone in every hole, face up."),
		v.Say("Fold the tape down on its hinge; rub."),
		v.Say("Lift slowly, fold back with the stones."),
		last,
	}
}

func (p *page) trayHeight(t ticket.Ticket) float64 {
	width := (p.inner() - stripGap*3) / 4
	p.style(false, 8.5, ink)
	most := 0
	for _, c := range p.trayCaptions(t) {
		most = max(most, len(p.wrapped(c, width-2*stripBorder)))
	}
	return stripHigh + stripLead*float64(most) + 1
}

// The places of the tray drawings, from the side: its floor, the top of the plate.
const (
	trayFloor = 20.0
	plateTop  = 17.4
	hingeX    = 5.0
	hingeY    = 15.4
)

// trayHoles are where the holes begin; each is holeWide wide.
func trayHoles() []float64 { return []float64{13.5, 18.5, 23.5, 28.5, 33.5} }

const holeWide = 3.0

// tray draws the tray with its raised edge, the plate in it, and stones in its holes.
func (s sketch) tray(stones bool) {
	s.p.fill(grey)
	s.shape("F", 2.5, trayFloor, 40, trayFloor, 40, trayFloor+1.2, 2.5, trayFloor+1.2)
	s.shape("F", 2.5, hingeY, 6, hingeY, 6, trayFloor, 2.5, trayFloor)
	s.p.fill(flock)
	from := 9.5
	for _, x := range append(trayHoles(), 39) {
		to := x
		s.shape("F", from, plateTop, to, plateTop, to, trayFloor, from, trayFloor)
		from = x + holeWide
	}
	if stones {
		for _, x := range trayHoles() {
			s.gem(x+holeWide/2, trayFloor-0.1, 1)
		}
	}
}

// gem draws a stone from the side, its flat back at x, y; up is −1 for one that hangs.
func (s sketch) gem(x, y, up float64) {
	s.p.fill(accent)
	s.shape("F", x-1.3, y, x+1.3, y, x+1.3, y-0.7*up, x+0.7, y-1.9*up, x-0.7, y-1.9*up, x-1.3, y-0.7*up)
}

func (s sketch) brushing() {
	s.tray(false)
	for _, x := range trayHoles()[:3] {
		s.gem(x+holeWide/2, trayFloor-0.1, 1)
	}
	for i, x := range []float64{31, 34.2, 37} {
		s.gem(x, plateTop-0.2-float64(i%2)*0.3, 1)
	}
	s.p.fill(grey) // the bristles, then the handle
	s.shape("F", 22.6, 11.4, 28.6, 11.4, 27.4, 17, 22.2, 17)
	s.p.fill(ink)
	s.shape("F", 22, 9.6, 29.2, 9.6, 29, 11.4, 22.4, 11.4)
	s.shape("F", 24.6, 3, 26.6, 3, 26.9, 9.6, 24.6, 9.6)
	s.pen(alarm, 0.5)
	s.p.fill(alarm)
	s.line(30.5, 5.2, 35, 5.2)
	s.head(36.4, 5.2, 0, 2)
	s.line(20.7, 5.2, 16.2, 5.2)
	s.head(14.8, 5.2, 180, 2)
}

func (s sketch) foldedDown() {
	s.tray(true)
	s.pen(alarm, 0.7)
	s.line(2.6, hingeY-0.4, 6.4, hingeY-0.4, 10, plateTop-0.6, 39.5, plateTop-0.6)
	s.p.fill(ink) // what rubs
	s.shape("F", 24, 9, 30, 9, 28.6, 16.2, 25.4, 16.2)
	s.pen(ink, 0.5)
	s.line(14, 12.5, 22, 12.5)
	s.head(14, 12.5, 180, 2)
	s.line(32, 12.5, 38, 12.5)
	s.head(38.6, 12.5, 0, 2)
	s.mark()
}

func (s sketch) lifted() {
	s.tray(false)
	const lean = 52 * math.Pi / 180
	c, n := math.Cos(lean), math.Sin(lean)
	along := func(d, off float64) (float64, float64) {
		return hingeX + d*c + off*n, hingeY - 0.4 - d*n + off*c
	}
	s.pen(alarm, 0.7)
	x, y := along(16.6, 0)
	s.line(2.6, hingeY-0.4, hingeX, hingeY-0.4, x, y)
	s.p.fill(accent)
	for _, d := range []float64{4.4, 7.5, 10.6, 13.7} { // stones by their backs on the tape
		var points []float64
		for _, q := range [][2]float64{{-1.2, 0.4}, {1.2, 0.4}, {1.2, 1}, {0.7, 2.1}, {-0.7, 2.1}, {-1.2, 1}} {
			px, py := along(d+q[0], q[1])
			points = append(points, px, py)
		}
		s.shape("F", points...)
	}
	s.pen(ink, 0.5)
	s.p.fill(ink)
	s.arc(hingeX, hingeY, 19, 5, 34)
	s.head(hingeX+19*math.Cos(38*math.Pi/180), hingeY-19*math.Sin(38*math.Pi/180), 128, 2)
	s.mark()
}

// mark shows where the hinge is.
func (s sketch) mark() {
	s.pen(alarm, 0.4)
	s.circle(4.3, hingeY-0.2, 2.6, "D")
}

// changed shows, from above, one plate going and the next in its place.
func (s sketch) changed() {
	frame := func(x, y, w, h float64, c colour) {
		s.p.fill(c)
		s.shape("F", x, y, x+w/2-1.6, y, x+w/2, y+2.2, x+w/2+1.6, y, x+w, y, x+w, y+h, x, y+h)
	}
	frame(25.5, 6, 13, 13, faint)
	frame(6, 4.4, 15.4, 15.4, flock)
	s.p.fill(white)
	for i := range 3 {
		for j := range 3 {
			s.circle(9.6+4.4*float64(i), 9.4+3.7*float64(j), 1.1, "F")
			s.circle(28.2+3.8*float64(i), 10.4+3.2*float64(j), 1, "F")
		}
	}
	s.pen(alarm, 0.5)
	s.line(4, 7, 4, 2.6, 8.6, 2.6)
	s.line(24, 16.6, 24, 21.2, 19.4, 21.2)
	s.pen(ink, 0.5)
	s.p.fill(ink)
	s.line(28, 3.6, 37, 3.6)
	s.head(38, 3.6, 0, 2)
}

// backed shows the tape with its stones on the backing.
func (s sketch) backed() {
	s.p.fill(grey)
	s.shape("F", 6, 18, 36, 18, 36, 18.8, 6, 18.8)
	for i := range 6 {
		s.gem(10+4.4*float64(i), 15.9, -1)
	}
	s.pen(alarm, 0.7)
	s.line(6, 15.6, 36, 15.6)
	s.pen(ink, 0.5)
	s.p.fill(ink)
	s.line(21, 6, 21, 11)
	s.head(21, 13, -90, 2.2)
}
