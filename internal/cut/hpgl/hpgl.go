// Package hpgl writes a sheet in HP-GL, as cutters read it: 40 units a
// millimetre, y up, the origin at the sheet's bottom-left corner. The commands
// and their grammar are those of the HP 7475A Interfacing and Programming
// Manual (Hewlett-Packard 1984). docs/formats/cut.md is its page.
package hpgl

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"

	"brushfall/internal/cut"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// UnitsPerMillimetre is the resolution of HP-GL: a plotter unit is 0.025 mm.
const UnitsPerMillimetre = 40

// Limit is the largest coordinate of HP-GL, in units: 16-bit whole numbers.
const Limit = 32767

// DefaultChordTolerance is how far a chord may leave the circle, in mm: under
// half a unit, so the corners of a hole are below what the cutter can resolve.
const DefaultChordTolerance = 0.01

// leastChords is the fewest chords of a circle: a tiny hole stays round.
const leastChords = 12

// Options are the choices of Write.
type Options struct {
	// Overcut is how far the blade goes on along a closed cut once it is back
	// where it began, in mm. A drag knife needs some to part the disc from the
	// sheet; 0 ends the cut where it began.
	Overcut float64
	// ChordTolerance is the largest distance between a circle and its chords,
	// in mm; 0 is DefaultChordTolerance.
	ChordTolerance float64
}

// Writer writes sheets with its options.
type Writer struct{ overcut, tolerance float64 }

// New checks the options. A fault, code "cut-option", names the one that is not
// a length.
func New(opt Options) (Writer, error) {
	if opt.ChordTolerance == 0 {
		opt.ChordTolerance = DefaultChordTolerance
	}
	if !(opt.Overcut >= 0 && opt.Overcut <= 10) {
		return Writer{}, fault.New("cut-option", "", "an overcut of %g mm is not possible: give 0 to 10 mm, 0.5 is usual", opt.Overcut)
	}
	if !(opt.ChordTolerance >= 0.001 && opt.ChordTolerance <= 0.5) {
		return Writer{}, fault.New("cut-option", "", "a chord tolerance of %g mm is not possible: give 0.001 to 0.5 mm", opt.ChordTolerance)
	}
	return Writer{opt.Overcut, opt.ChordTolerance}, nil
}

// Write writes the sheet with the default options; see Writer.Write.
func Write(w io.Writer, s cut.Sheet) error {
	return Writer{0, DefaultChordTolerance}.Write(w, s)
}

// Write writes the sheet in cutting order. Circles are chords between points
// that lie on the circle, since many cutters do not know CI. Faults: "cut-too-large"
// (the sheet passes HP-GL's numbers), "cut-off-sheet" (a point left of or below
// the origin), "cut-write" (w did not take the bytes).
func (o Writer) Write(w io.Writer, s cut.Sheet) error {
	if largest := math.Max(s.Width, s.Height); !(largest*UnitsPerMillimetre <= Limit) {
		return fault.New("cut-too-large", fmt.Sprintf("sheet %d", s.Number),
			"HP-GL ends at %.0f mm and the sheet is %.0f mm long: use the SVG or DXF file, or a smaller sheet", float64(Limit)/UnitsPerMillimetre, largest)
	}
	// Held back until it is whole: half a cut file must not reach a cutter.
	p := &pen{height: s.Height}
	p.out.WriteString("IN;\nSP1;\n")
	for _, plate := range s.Plates {
		o.plate(p, plate)
	}
	p.out.WriteString("PU0,0;\nSP0;\n")
	if p.astray {
		return fault.New("cut-off-sheet", fmt.Sprintf("sheet %d", s.Number), "a cut lies beyond the sheet's edge: lay the sheets out again")
	}
	if _, err := w.Write(p.out.Bytes()); err != nil {
		return fault.Wrap("cut-write", err)
	}
	return nil
}

func (o Writer) plate(p *pen, plate cut.SheetPlate) {
	for _, h := range plate.Holes {
		p.cut(o.circle(h))
	}
	for _, n := range plate.Nicks {
		p.cut(n)
	}
	p.cut(o.closed(plate.Frame))
}

// circle gives the points of a hole, the first once more at the end, then the
// overcut.
func (o Writer) circle(h cut.Circle) geom.Line {
	r := h.D / 2
	n := leastChords
	if o.tolerance < r {
		// The sagitta of a chord over the angle a is r·(1 − cos(a/2)).
		n = max(n, int(math.Ceil(math.Pi/math.Acos(1-o.tolerance/r))))
	}
	on := func(angle float64) geom.Point {
		sin, cos := math.Sincos(angle)
		return h.Centre.Add(geom.Point{X: r * cos, Y: r * sin})
	}
	line := make(geom.Line, 0, n+2)
	for i := range n {
		line = append(line, on(2*math.Pi*float64(i)/float64(n)))
	}
	line = append(line, line[0])
	step := 2 * math.Pi / float64(n)
	over := math.Min(o.overcut/r, 2*math.Pi)
	for a := step; a < over; a += step {
		line = append(line, on(a))
	}
	if over > 0 {
		line = append(line, on(over))
	}
	return line
}

// closed gives the ring as a line that comes back to its start and goes on by
// the overcut.
func (o Writer) closed(r geom.Ring) geom.Line {
	if len(r) == 0 {
		return nil
	}
	line := append(append(geom.Line{}, r...), r[0])
	left := o.overcut
	for i, a := range r {
		b := r[(i+1)%len(r)]
		d := a.Dist(b)
		if left < d {
			return append(line, a.Lerp(b, left/d))
		}
		line = append(line, b)
		left -= d
	}
	return line
}

// pen writes moves and remembers whether one left the sheet.
type pen struct {
	out    bytes.Buffer
	height float64
	astray bool
}

// cut goes to the line's start with the blade up and along it with the blade down.
func (p *pen) cut(line geom.Line) {
	if len(line) < 2 {
		return
	}
	p.out.WriteString("PU")
	last := p.units(line[0])
	p.write(last)
	p.out.WriteString(";\nPD")
	first := true
	for _, q := range line[1:] {
		next := p.units(q)
		if next == last {
			continue
		}
		if !first {
			p.out.WriteByte(',')
		}
		p.write(next)
		last, first = next, false
	}
	p.out.WriteString(";\n")
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
