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

	"brushfall/internal/cut"
	"brushfall/internal/cut/blade"
	"brushfall/internal/fault"
)

// UnitsPerMillimetre is the resolution of HP-GL: a plotter unit is 0.025 mm.
const UnitsPerMillimetre = 40

// Limit is the largest coordinate of HP-GL, in units: 16-bit whole numbers.
const Limit = 32767

// DefaultChordTolerance is how far a chord may leave the circle, in mm: under
// half a unit, so the corners of a hole are below what the cutter can resolve.
const DefaultChordTolerance = 0.01

// trailingTolerance takes its place where the pivot's way is written: what the
// tip makes of its corners adds to the rounding to units.
const trailingTolerance = 0.005

// section is the blank line before each plate and before the end. HP-GL pays no
// attention to line ends between commands; whoever streams the file finds the
// plates by it.
const section = "\n"

// Options are the choices of Write. The zero Options follow the outlines once,
// in chords, and leave speed and force to the cutter.
type Options struct {
	// Knife says whether the trailing of a drag knife is made up for, how far a
	// closed cut goes on, and how often each is made. A drag knife needs some
	// overcut to part the disc from the sheet.
	Knife blade.Knife
	// Arcs writes circles as AA, for cutters that know it; otherwise
	// they are chords.
	Arcs bool
	// ChordTolerance is the largest distance between a circle and its chords,
	// in mm; 0 is DefaultChordTolerance, or half of it with a blade offset.
	ChordTolerance float64
	// Speed is the speed with the blade down in mm/s, written as VS in cm/s; 0
	// leaves it to the cutter.
	Speed float64
	// Force is written as FS as it stands: a step or grams, as the cutter has it;
	// 0 leaves it to the cutter.
	Force int
	// Tool is the pen that SP chooses, from 1; 0 is 1.
	Tool int
}

// Bounds of the options: VS of the 7475A takes up to 127.9999 cm/s, which no
// cutter reaches; tools and forces have at most so many steps or grams.
const (
	slowest, fastest = 1, 1279 // mm/s
	mostForce        = 5000
	mostTool         = 8
)

// Writer writes sheets with its options.
type Writer struct{ opt Options }

// New checks the options. A fault, code "cut-option", names the one that is not
// possible.
func New(opt Options) (Writer, error) {
	switch {
	case opt.ChordTolerance == 0 && opt.Knife.Offset > 0:
		opt.ChordTolerance = trailingTolerance
	case opt.ChordTolerance == 0:
		opt.ChordTolerance = DefaultChordTolerance
	}
	if opt.Tool == 0 {
		opt.Tool = 1
	}
	if err := opt.Knife.Check(); err != nil {
		return Writer{}, err
	}
	switch {
	case !(opt.ChordTolerance >= 0.001 && opt.ChordTolerance <= 0.5):
		return Writer{}, fault.New("cut-option", "", "a chord tolerance of %g mm is not possible: give 0.001 to 0.5 mm", opt.ChordTolerance)
	case opt.Speed != 0 && !(opt.Speed >= slowest && opt.Speed <= fastest):
		return Writer{}, fault.New("cut-option", "", "a speed of %g mm/s is not possible: give %d to %d mm/s", opt.Speed, slowest, fastest)
	case opt.Force < 0 || opt.Force > mostForce:
		return Writer{}, fault.New("cut-option", "", "a force of %d is not possible: give 1 to %d as your cutter counts it", opt.Force, mostForce)
	case opt.Tool < 0 || opt.Tool > mostTool:
		return Writer{}, fault.New("cut-option", "", "there is no tool %d: give 1 to %d", opt.Tool, mostTool)
	}
	return Writer{opt}, nil
}

// Write writes the sheet with the default options; see Writer.Write.
func Write(w io.Writer, s cut.Sheet) error {
	return Writer{Options{ChordTolerance: DefaultChordTolerance, Tool: 1}}.Write(w, s)
}

// Write writes the sheet in cutting order. Faults: "cut-too-large" (the sheet
// passes HP-GL's numbers), "cut-off-sheet" (a point left of or below the
// origin), "cut-write" (w did not take the bytes).
func (o Writer) Write(w io.Writer, s cut.Sheet) error {
	if largest := math.Max(s.Width, s.Height); !(largest*UnitsPerMillimetre <= Limit) {
		return fault.New("cut-too-large", fmt.Sprintf("sheet %d", s.Number),
			"HP-GL ends at %.0f mm and the sheet is %.0f mm long: use the SVG or DXF file, or a smaller sheet", float64(Limit)/UnitsPerMillimetre, largest)
	}
	// Held back until it is whole: half a cut file must not reach a cutter.
	p := &pen{height: s.Height, arcs: o.opt.Arcs, tolerance: o.opt.ChordTolerance, window: freeWindow}
	if o.opt.Knife.Offset > 0 {
		p.window = trailingWindow
	}
	o.begin(&p.out)
	head := blade.NewHead(o.opt.Knife)
	for _, plate := range s.Plates {
		p.out.WriteString(section)
		for _, stroke := range head.Plate(plate) {
			p.cut(stroke)
		}
	}
	p.out.WriteString(section + "PU0,0;\nSP0;\n")
	if p.astray {
		return fault.New("cut-off-sheet", fmt.Sprintf("sheet %d", s.Number),
			"a cut lies beyond the sheet's edge: lay the sheets out again, with a margin of more than the blade's offset")
	}
	if _, err := w.Write(p.out.Bytes()); err != nil {
		return fault.Wrap("cut-write", err)
	}
	return nil
}

// begin writes what the cutter is told before the first cut.
func (o Writer) begin(out *bytes.Buffer) {
	fmt.Fprintf(out, "IN;\nSP%d;\n", o.opt.Tool)
	if o.opt.Speed > 0 {
		fmt.Fprintf(out, "VS%s;\n", decimal(o.opt.Speed/10))
	}
	if o.opt.Force > 0 {
		fmt.Fprintf(out, "FS%d;\n", o.opt.Force)
	}
}
