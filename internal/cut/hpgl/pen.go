package hpgl

import (
	"bytes"
	"math"
	"strconv"

	"brushfall/internal/cut/blade"
	"brushfall/internal/geom"
)

// leastChords is the fewest chords of a circle: a tiny hole stays round.
const leastChords = 12

// How many units around a circle's start are looked at for the one whose
// distance from the centre is the nearest to the radius: both are whole units, and
// it is they that say to an arc how large it is. A trailing blade, which points
// along the circle at its exact start, may be off by less than 3° on a hole of
// 3 mm; without one any start will do.
const (
	trailingWindow = 2
	freeWindow     = 12
)

// pen writes moves and remembers whether one left the sheet.
type pen struct {
	out       bytes.Buffer
	height    float64
	arcs      bool
	tolerance float64
	window    int // around the start of an arc
	astray    bool
	last      [2]int // where the pen stands
	listing   bool   // inside the coordinates of a PD
}

// cut goes to the stroke's start with the blade up and along it with the blade down.
func (p *pen) cut(s blade.Stroke) {
	if len(s.Moves) == 0 {
		return
	}
	p.last = p.units(s.Start)
	first := s.Moves[0]
	// Swivels round a corner are too small for an arc from one whole unit round another.
	arcs := p.arcs && first.Arc && math.Abs(first.Sweep) >= 2*math.Pi
	if arcs {
		p.last = p.startOf(first, s.Start)
	}
	p.out.WriteString("PU")
	p.write(p.last)
	p.out.WriteString(";\nPD")
	p.listing = true
	here, empty := s.Start, true
	for _, m := range s.Moves {
		switch {
		case m.Arc && arcs:
			p.arc(m)
			empty = false
		case m.Arc:
			for _, q := range p.chords(here, m) {
				empty = !p.to(q) && empty
			}
		default:
			empty = !p.to(m.To) && empty
		}
		here = m.To
	}
	if empty && p.listing { // shorter than a unit: the blade still goes down
		p.write(p.last)
	}
	if p.listing {
		p.out.WriteString(";\n")
	}
	p.listing = false
}

// to goes straight on, and says whether that is a step at all.
func (p *pen) to(q geom.Point) bool {
	next := p.units(q)
	if next == p.last {
		return false
	}
	switch b := p.out.Bytes(); {
	case !p.listing:
		p.out.WriteString("PD")
		p.listing = true
	case b[len(b)-1] != 'D':
		p.out.WriteByte(',')
	}
	p.write(next)
	p.last = next
	return true
}

// arc goes on by an AA. Its angle is positive counter-clockwise with y up; ours
// is so clockwise as seen, as y points down.
func (p *pen) arc(m blade.Move) {
	if p.listing {
		p.out.WriteString(";\n")
		p.listing = false
	}
	centre := p.units(m.Centre)
	radius := m.To.Dist(m.Centre)
	step := math.Min(2*math.Acos(1-math.Min(p.tolerance/radius, 1))*180/math.Pi, 360/leastChords)
	p.out.WriteString("AA")
	p.write(centre)
	p.out.WriteString("," + decimal(-m.Sweep*180/math.Pi) + "," + decimal(math.Max(math.Floor(step*10)/10, 0.5)) + ";\n")
	p.last = p.units(m.To)
}

// startOf gives the unit beside an arc's start whose distance from the arc's
// rounded centre is the nearest to the radius.
func (p *pen) startOf(m blade.Move, start geom.Point) [2]int {
	at, centre := p.units(start), p.units(m.Centre)
	radius := m.Centre.Dist(start) * UnitsPerMillimetre
	best, off := at, math.Inf(1)
	for dx := -p.window; dx <= p.window; dx++ {
		for dy := -p.window; dy <= p.window; dy++ {
			q := [2]int{at[0] + dx, at[1] + dy}
			d := math.Abs(math.Hypot(float64(q[0]-centre[0]), float64(q[1]-centre[1])) - radius)
			if d < off-1e-9 && min(q[0], q[1]) >= 0 {
				best, off = q, d
			}
		}
	}
	return best
}

// chords gives the points of an arc after its start, which all lie on it.
func (p *pen) chords(from geom.Point, m blade.Move) []geom.Point {
	out := from.Sub(m.Centre)
	radius, sweep := out.Len(), math.Abs(m.Sweep)
	n := math.Ceil(leastChords * sweep / (2 * math.Pi))
	if p.tolerance < radius {
		// The sagitta of a chord over the angle a is r·(1 − cos(a/2)).
		n = math.Max(n, math.Ceil(sweep/2/math.Acos(1-p.tolerance/radius)-1e-9))
	}
	points := make([]geom.Point, 0, int(n))
	for i := 1; i < int(n); i++ {
		sin, cos := math.Sincos(m.Sweep * float64(i) / n)
		points = append(points, m.Centre.Add(geom.Point{X: out.X*cos - out.Y*sin, Y: out.X*sin + out.Y*cos}))
	}
	return append(points, m.To)
}

func (p *pen) write(u [2]int) {
	p.out.WriteString(strconv.Itoa(u[0]))
	p.out.WriteByte(',')
	p.out.WriteString(strconv.Itoa(u[1]))
}

func (p *pen) units(q geom.Point) [2]int {
	x, y := math.Round(q.X*UnitsPerMillimetre), math.Round((p.height-q.Y)*UnitsPerMillimetre)
	if !(x >= 0 && y >= 0 && x <= Limit && y <= Limit) {
		p.astray = true
		return [2]int{}
	}
	return [2]int{int(x), int(y)}
}

// decimal writes a number with at most three decimals, without an exponent.
func decimal(v float64) string {
	return strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64)
}
