// Package dxfin reads ASCII DXF drawings, release 12 to 2018, to the normalised
// drawing. Group codes and their meaning are those of the AutoCAD DXF Reference
// (Autodesk, releases 2000 and 2018). docs/formats/dxf.md says what is read.
package dxfin

import (
	"bytes"
	"io"
	"math"

	"brushfall/internal/artwork"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// DefaultJoinTolerance is the largest gap, in mm, over which two loose ends are
// joined: under a tenth of the smallest stone, over what drawing programs leave.
const DefaultJoinTolerance = 0.1

// flatness is how far a chord may leave its curve, in mm: a quarter of the
// 0.01 mm that drawings promise, so that a small circle keeps its area too.
const flatness = 0.0025

// farthest is the largest coordinate taken for a drawing's, in mm: a kilometre.
// Beyond it float rounding begins to show in sheets and stones.
const farthest = 1e6

// The default limits: some ten times the largest drawing that makes sense on a
// sheet of stones, and little enough to be read on a small machine.
const (
	maxBytes    = 64 << 20
	maxEntities = 200_000
	maxPoints   = 2_000_000
	maxDepth    = 16
)

// Options are the choices of Read. The zero Options are good ones.
type Options struct {
	Unit          float64 // mm a drawing unit; 0 takes the file's own
	JoinTolerance float64 // mm; 0 is DefaultJoinTolerance
	Limits        Limits
}

// Limits bound what one file may cost. A zero field is its default: 64 MB,
// 200,000 entities after blocks are laid out, 2,000,000 points, blocks 16 deep.
type Limits struct {
	Bytes    int64
	Entities int
	Points   int
	Depth    int
}

// Read reads a drawing. Closed outlines of one layer and colour are read
// even-odd together, each connected area is a Region; what stays open is a
// Region of one line. The drawing's extent becomes the page. What cannot become
// stones is a warning.
//
// Faults: "dxf-binary", "dxf-dwg", "dxf-not-dxf", "dxf-truncated", "dxf-syntax",
// "dxf-value", "dxf-missing" and "dxf-spline" (with their line), "dxf-units", "dxf-option",
// "dxf-cycle" (a block that holds itself), "dxf-coordinate", "dxf-too-large",
// "dxf-too-many", "dxf-too-deep", "dxf-tangled", "dxf-empty", "dxf-read" (r failed).
func Read(r io.Reader, opt Options) (artwork.Drawing, error) {
	opt, err := opt.complete()
	if err != nil {
		return artwork.Drawing{}, err
	}
	data, err := io.ReadAll(io.LimitReader(r, opt.Limits.Bytes+1))
	if err != nil {
		return artwork.Drawing{}, fault.Wrap("dxf-read", err)
	}
	if int64(len(data)) > opt.Limits.Bytes {
		return artwork.Drawing{}, fault.New("dxf-too-large", "", "the file is larger than %d MB: save only the artwork to a file of its own", opt.Limits.Bytes>>20)
	}
	if err := sniff(data); err != nil {
		return artwork.Drawing{}, err
	}
	doc, err := parse(string(data))
	if err != nil {
		return artwork.Drawing{}, err
	}
	notes := &notes{}
	unit, err := doc.unit(opt.Unit, notes)
	if err != nil {
		return artwork.Drawing{}, err
	}
	w := newWalk(doc, opt, notes)
	// The drawing's y points up, ours down.
	if err := w.entities(doc.entities, scope{to: geom.Scale(unit, -unit), colour: foreground}); err != nil {
		return artwork.Drawing{}, err
	}
	return assemble(w.paths, opt.JoinTolerance, notes)
}

func (o Options) complete() (Options, error) {
	if o.JoinTolerance == 0 {
		o.JoinTolerance = DefaultJoinTolerance
	}
	if !(o.JoinTolerance > 0 && o.JoinTolerance <= 10) {
		return o, fault.New("dxf-option", "", "ends cannot be joined over %g mm: give up to 10 mm, %g is usual", o.JoinTolerance, DefaultJoinTolerance)
	}
	if o.Unit < 0 || math.IsNaN(o.Unit) || o.Unit > 1e6 {
		return o, fault.New("dxf-option", "", "a drawing unit cannot be %g mm: give its length in mm, above 0 and up to 1,000,000", o.Unit)
	}
	fill := func(v *int, standard int) {
		if *v <= 0 {
			*v = standard
		}
	}
	fill(&o.Limits.Entities, maxEntities)
	fill(&o.Limits.Points, maxPoints)
	fill(&o.Limits.Depth, maxDepth)
	if o.Limits.Bytes <= 0 {
		o.Limits.Bytes = maxBytes
	}
	return o, nil
}

// sniff refuses what is not an ASCII DXF by its first bytes.
func sniff(data []byte) error {
	if bytes.HasPrefix(data, []byte("AutoCAD Binary DXF")) {
		return fault.New("dxf-binary", "", "this is a binary DXF: save it as ASCII DXF in the drawing program")
	}
	if len(data) >= 6 && data[0] == 'A' && data[1] == 'C' && isDigits(data[2:6]) {
		return fault.New("dxf-dwg", "", "this is a DWG file, not a DXF: save it as ASCII DXF in the drawing program")
	}
	if bytes.IndexByte(data, 0) >= 0 {
		return fault.New("dxf-not-dxf", "", "this is not a text file, so not an ASCII DXF: save it as ASCII DXF in the drawing program")
	}
	return nil
}

func isDigits(b []byte) bool {
	for _, c := range b {
		if c < '0' || c > '9' {
			return false
		}
	}
	return true
}
