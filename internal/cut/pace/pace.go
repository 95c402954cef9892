// Package pace estimates how long a cutter takes for a sheet, from its speeds,
// its acceleration and the time of lifting the blade. docs/formats/cut.md shows
// a worked example.
package pace

import (
	"math"

	"brushfall/internal/cut"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// cornerRoom is how far, in mm, the machine is taken to cut a corner short in
// its own mind when it works out how fast it may go round: S. K. Jeon's cornering
// by junction deviation (2011), with the value usual there.
const cornerRoom = 0.02

// Machine is a cutter. All must be above 0.
type Machine struct {
	Cut          float64 // speed with the blade down, mm/s
	Travel       float64 // speed with the blade up, mm/s
	Acceleration float64 // mm/s²
	Lift         float64 // for once down and up again, s
}

// Usual gives a small roll cutter set for flock, from memory.
func Usual() Machine { return Machine{Cut: 50, Travel: 300, Acceleration: 1000, Lift: 0.1} }

// Check refuses, with the code "cut-option", what no machine is.
func (m Machine) Check() error {
	for _, q := range []struct {
		what       string
		value, top float64
		unit       string
	}{{"speed", m.Cut, 5000, "mm/s"}, {"travel speed", m.Travel, 5000, "mm/s"}, {"acceleration", m.Acceleration, 100_000, "mm/s²"}, {"lift", m.Lift, 10, "s"}} {
		if !(q.value > 0 && q.value <= q.top) {
			return fault.New("cut-option", "", "a %s of %g %s is not possible: give more than 0 and at most %g %s", q.what, q.value, q.unit, q.top, q.unit)
		}
	}
	return nil
}

// Work is how the sheet is cut.
type Work struct {
	Passes  int     // 0 is once
	Overcut float64 // mm
}

// Estimate is the time for a sheet in s.
type Estimate struct {
	Moving float64 // with the blade down and up
	Lifts  float64 // putting the blade down and lifting it
	Cuts   int     // how often it is put down
}

// Total is all of the time, in s.
func (e Estimate) Total() float64 { return e.Moving + e.Lifts }

// Of estimates a sheet: from the bottom-left corner through all cuts and back.
// Each move starts and ends standing and speeds up and slows down evenly (a
// trapezium of speed over time). Round a hole of radius r the speed is at most
// √(acceleration·r), at a corner as Jeon has it. The head is taken to follow the
// outlines themselves; what a blade's compensation adds is little.
func Of(s cut.Sheet, m Machine, w Work) Estimate {
	t := &timer{machine: m, here: geom.Point{Y: s.Height}}
	passes := max(w.Passes, 1)
	for _, p := range s.Plates {
		for _, c := range p.Cuts() {
			switch {
			case c.Kind == cut.Hole:
				t.hole(c.Circle, passes, w.Overcut)
			case c.Closed:
				t.line(around(c.Line, passes, w.Overcut))
			default:
				for range passes {
					t.line(c.Line)
				}
			}
		}
	}
	t.travel(geom.Point{Y: s.Height})
	return Estimate{Moving: t.moving, Lifts: float64(t.cuts) * m.Lift, Cuts: t.cuts}
}

// timer adds times up.
type timer struct {
	machine Machine
	here    geom.Point
	moving  float64
	cuts    int
}

func (t *timer) travel(to geom.Point) {
	t.moving += stretch(t.here.Dist(to), 0, 0, t.machine.Travel, t.machine.Acceleration)
	t.here = to
}

func (t *timer) hole(c cut.Circle, passes int, overcut float64) {
	r := c.D / 2
	t.travel(c.Centre.Add(geom.Point{X: r}))
	t.cuts++
	speed := math.Min(t.machine.Cut, math.Sqrt(t.machine.Acceleration*r))
	t.moving += stretch(2*math.Pi*r*float64(passes)+overcut, 0, 0, speed, t.machine.Acceleration)
	sin, cos := math.Sincos(overcut / r)
	t.here = c.Centre.Add(geom.Point{X: r * cos, Y: r * sin})
}

// line times a cut along a line: no faster at each corner than that allows, nor
// than can be reached from, or braked for, the corners around.
func (t *timer) line(line geom.Line) {
	if len(line) < 2 {
		return
	}
	t.travel(line[0])
	t.cuts++
	a := t.machine.Acceleration
	speed := make([]float64, len(line)) // at each point; it begins and ends standing
	for i := 1; i < len(line)-1; i++ {
		speed[i] = math.Min(corner(line[i-1], line[i], line[i+1], t.machine), math.Sqrt(speed[i-1]*speed[i-1]+2*a*line[i-1].Dist(line[i])))
	}
	for i := len(line) - 2; i > 0; i-- {
		speed[i] = math.Min(speed[i], math.Sqrt(speed[i+1]*speed[i+1]+2*a*line[i].Dist(line[i+1])))
	}
	for i := 1; i < len(line); i++ {
		t.moving += stretch(line[i-1].Dist(line[i]), speed[i-1], speed[i], t.machine.Cut, a)
	}
	t.here = line[len(line)-1]
}

// corner gives the speed at which b may be passed on the way from a to c.
func corner(a, b, c geom.Point, m Machine) float64 {
	in, out := b.Sub(a).Unit(), c.Sub(b).Unit()
	// Half the angle between the two legs: 90° going straight on, 0° turning back.
	half := math.Sqrt(math.Max(0, (1+in.Dot(out))/2))
	if half > 1-1e-9 {
		return m.Cut
	}
	return math.Min(m.Cut, math.Sqrt(m.Acceleration*cornerRoom*half/(1-half)))
}

// stretch gives the time for a length from one speed to another, both of which
// the length allows, with a top speed.
func stretch(length, from, to, top, acceleration float64) float64 {
	if length <= 0 {
		return 0
	}
	peak := math.Min(top, math.Sqrt((2*acceleration*length+from*from+to*to)/2))
	peak = math.Max(peak, math.Max(from, to))
	ramps := (2*peak*peak - from*from - to*to) / (2 * acceleration)
	return (2*peak-from-to)/acceleration + math.Max(0, length-ramps)/peak
}

// around gives a closed line, gone round so often and on by the overcut.
func around(line geom.Line, passes int, overcut float64) geom.Line {
	if len(line) < 2 {
		return nil
	}
	out := geom.Line{line[0]}
	for range passes {
		out = append(append(out, line[1:]...), line[0])
	}
	if d := line[0].Dist(line[1]); overcut > 0 && d > 0 {
		out = append(out, line[0].Lerp(line[1], math.Min(1, overcut/d)))
	}
	return out
}
