// Package blade turns cuts into the way of the machine's head. The tip of a drag
// knife trails the pivot that the head carries, always pointing at it, as the
// rear wheel of a bicycle trails the front one: if the tip is to run along a
// curve, the pivot must be the offset ahead along the tangent, P = C + e·t
// (Finn, "Can a bicycle create a unicycle track?", College Math. J. 33 (2002);
// Foote, Levi, Tabachnikov, "Tractrices, bicycle tire tracks, hatchet
// planimeters, and a 100-year-old conjecture", Amer. Math. Monthly 120 (2013)).
// docs/formats/cut.md is the page for whoever runs a cutter. Lengths are mm in
// sheet coordinates, y down; angles are radians from +x towards +y.
package blade

import (
	"math"

	"brushfall/internal/cut"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// Limits of a knife, in mm: more is no drag knife.
const (
	mostOffset  = 2
	mostOvercut = 10
	mostPasses  = 10
)

// Knife is how the cuts are to be made. The zero Knife follows the outlines
// themselves, once: for machines that see to their blade's offset.
type Knife struct {
	Offset  float64 // how far the tip trails the pivot; 0: no compensation
	Overcut float64 // how far a closed cut goes on past its beginning
	Swivel  float64 // the turn, in radians, above which the blade swivels round a corner
	Passes  int     // how often each cut is made; 0 is once
}

// Check refuses, with the code "cut-option", what no knife can do.
func (k Knife) Check() error {
	switch {
	case !(k.Offset >= 0 && k.Offset <= mostOffset):
		return fault.New("cut-option", "", "a blade offset of %g mm is not possible: give 0 to %d mm, 0.25 is usual", k.Offset, mostOffset)
	case !(k.Overcut >= 0 && k.Overcut <= mostOvercut):
		return fault.New("cut-option", "", "an overcut of %g mm is not possible: give 0 to %d mm, 0.5 is usual", k.Overcut, mostOvercut)
	case !(k.Swivel >= 0 && k.Swivel <= math.Pi):
		return fault.New("cut-option", "", "a swivel angle of %.0f° is not possible: give 0 to 180°", k.Swivel*180/math.Pi)
	case k.Passes < 0 || k.Passes > mostPasses:
		return fault.New("cut-option", "", "%d passes are not possible: give 1 to %d", k.Passes, mostPasses)
	}
	return nil
}

// Move is one move with the blade down: straight to To or, if Arc, round Centre
// by Sweep to To.
type Move struct {
	To     geom.Point
	Arc    bool
	Centre geom.Point
	Sweep  float64
}

// Stroke is the way of the pivot from where the blade goes down to where it
// comes up.
type Stroke struct {
	Start geom.Point
	Moves []Move
}

// end is where the stroke has come to.
func (s *Stroke) end() geom.Point {
	if n := len(s.Moves); n > 0 {
		return s.Moves[n-1].To
	}
	return s.Start
}

func (s *Stroke) straight(to geom.Point) { s.Moves = append(s.Moves, Move{To: to}) }

// around goes on by an arc; none if there is nothing to turn.
func (s *Stroke) around(centre geom.Point, sweep float64) {
	if math.Abs(sweep) < 1e-9 {
		return
	}
	s.Moves = append(s.Moves, Move{To: centre.Add(turned(s.end().Sub(centre), sweep)), Arc: true, Centre: centre, Sweep: sweep})
}

// Head is the head on its way over a sheet: it remembers which way its blade
// points. A blade that is lifted keeps its direction.
type Head struct {
	knife   Knife
	heading float64 // of the blade, from tip to pivot
	known   bool    // whether it is known
}

// NewHead gives a head whose blade points nobody knows where.
func NewHead(k Knife) *Head {
	k.Passes = max(k.Passes, 1)
	return &Head{knife: k}
}

// Plate gives the strokes of a plate in order. With compensation the first
// stroke aligns the blade in the scrap of a hole, whatever was cut before: so
// the cutter can begin with any plate.
func (h *Head) Plate(p cut.SheetPlate) []Stroke {
	var out []Stroke
	h.known = false
	if h.knife.Offset > 0 {
		out = h.align(p.Holes)
	}
	for _, c := range p.Cuts() {
		switch {
		case c.Kind == cut.Hole:
			out = append(out, h.circle(c.Circle))
		case c.Closed:
			out = append(out, h.closed(c.Line)...)
		default:
			for range h.knife.Passes {
				out = append(out, h.along(c.Line)...)
			}
		}
	}
	return out
}

// Of a swirl: the turns, its widest radius in offsets, and the least at which
// the tip follows soon. A blade that points wrong by an angle a to the way it
// would trail comes round as exp(−cos(φ)·s/e) along the way s, sin φ = e/radius:
// within three turns to less than a thousandth of a degree unless it began
// within a degree of pushing exactly backwards.
const (
	swirlTurns    = 3
	widestSwirl   = 2.0
	smallestSwirl = 1.25
	insideHole    = 0.9 // of what the hole leaves for it
)

// align drags the blade round in small circles in the first hole with room for
// it, in what will be the scrap; no hole has room if all are tiny.
func (h *Head) align(holes []cut.Circle) []Stroke {
	e := h.knife.Offset
	for _, hole := range holes {
		radius := math.Min(widestSwirl*e, insideHole*(hole.D/2-e))
		if radius < smallestSwirl*e {
			continue
		}
		s := Stroke{Start: hole.Centre.Add(geom.Point{X: radius})}
		for range swirlTurns {
			s.around(hole.Centre, 2*math.Pi)
		}
		// The tip runs on a circle of √(radius² − e²), behind by atan(e / that).
		behind := math.Atan2(e, math.Sqrt(radius*radius-e*e))
		h.point(math.Pi/2 - behind)
		return []Stroke{s}
	}
	return nil
}

// point notes which way the blade points.
func (h *Head) point(heading float64) { h.heading, h.known = math.Remainder(heading, 2*math.Pi), true }

// circle cuts a hole. With compensation it begins where the blade points along
// the circle already, so nothing has to turn in the material.
func (h *Head) circle(c cut.Circle) Stroke {
	r, e := c.D/2, h.knife.Offset
	sweep := 2*math.Pi*float64(h.knife.Passes) + math.Min(h.knife.Overcut/r, 2*math.Pi)
	if e == 0 {
		s := Stroke{Start: c.Centre.Add(geom.Point{X: r})}
		s.rounds(c.Centre, sweep)
		return s
	}
	if !h.known {
		h.point(math.Pi / 2)
	}
	tip := h.heading - math.Pi/2
	at := turned(geom.Point{X: r, Y: e}, tip) // r out and e along the tangent
	s := Stroke{Start: c.Centre.Add(at)}
	s.rounds(c.Centre, sweep)
	h.point(h.heading + sweep)
	return s
}

// rounds goes round a centre, whole turns first.
func (s *Stroke) rounds(centre geom.Point, sweep float64) {
	for ; sweep >= 2*math.Pi; sweep -= 2 * math.Pi {
		s.around(centre, 2*math.Pi)
	}
	s.around(centre, sweep)
}

// closed cuts a line back to its first point, as often as asked for, and on by
// the overcut.
func (h *Head) closed(line geom.Line) []Stroke {
	if len(line) < 2 {
		return nil
	}
	around := append(line[:len(line):len(line)], line[0])
	all := append(geom.Line{}, around...)
	for range h.knife.Passes - 1 {
		all = append(all, around[1:]...)
	}
	left := h.knife.Overcut
	for k := 1; left > 0 && k < len(around); k++ {
		d := around[k-1].Dist(around[k])
		if left < d {
			all = append(all, around[k-1].Lerp(around[k], left/d))
			break
		}
		all = append(all, around[k])
		left -= d
	}
	return h.along(all)
}

// along cuts a line from its first to its last point. With compensation the
// blade goes down pointing as it does, turns at the first point, and at every
// corner, with its tip standing still.
func (h *Head) along(line geom.Line) []Stroke {
	line = distinct(line)
	if len(line) < 2 {
		return nil
	}
	e := h.knife.Offset
	if e == 0 {
		s := Stroke{Start: line[0]}
		for _, p := range line[1:] {
			s.straight(p)
		}
		return []Stroke{s}
	}
	first := angle(line[1].Sub(line[0]))
	if !h.known {
		h.point(first)
	}
	s := Stroke{Start: line[0].Add(turned(geom.Point{X: e}, h.heading))}
	s.around(line[0], math.Remainder(first-h.heading, 2*math.Pi))
	here := first
	for i := 1; i < len(line); i++ {
		to := angle(line[i].Sub(line[i-1]))
		if turn := math.Remainder(to-here, 2*math.Pi); math.Abs(turn) > h.knife.Swivel {
			s.around(line[i-1], turn)
		}
		here = to
		s.straight(line[i].Add(turned(geom.Point{X: e}, here)))
	}
	h.point(here)
	return []Stroke{s}
}

// distinct leaves points out that lie on the one before.
func distinct(line geom.Line) geom.Line {
	var out geom.Line
	for _, p := range line {
		if n := len(out); n == 0 || out[n-1].Dist(p) > 1e-6 {
			out = append(out, p)
		}
	}
	return out
}

func angle(p geom.Point) float64 { return math.Atan2(p.Y, p.X) }

func turned(p geom.Point, by float64) geom.Point {
	sin, cos := math.Sincos(by)
	return geom.Point{X: p.X*cos - p.Y*sin, Y: p.X*sin + p.Y*cos}
}
