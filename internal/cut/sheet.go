// Package cut says what the cutter does with one sheet: which holes, nicks and
// frames it cuts, where on the sheet, and in which order. Its writers are in
// svg, dxf, hpgl and pdf. Lengths are millimetres in sheet coordinates: the sheet's
// top-left corner is the origin, y points down.
package cut

import (
	"brushfall/internal/geom"
	"brushfall/internal/plate"
)

// NotchWidth is the width of the notch where it opens in the frame's edge, in
// mm. Its depth is the notch's tip in the document.
const NotchWidth = 2 * plate.NotchHalfWidth

// Sheet is one piece of flock as the cutter sees it: Width × Height mm, its
// plates in the order in which they are cut.
type Sheet struct {
	Number        int
	Width, Height float64
	Plates        []SheetPlate
	Mirrored      bool // left and right have changed places: for flock that is cut from its back
}

// SheetPlate is one plate on the sheet. The cutter takes the Holes in their
// order, then the Marks, the Nicks, and the Frame last, so that the piece stays
// held by the sheet while anything is still to be cut inside it; Cuts gives them.
type SheetPlate struct {
	Design string // the design's name
	Plate  int    // the plate's number in its design, from 1
	Holes  []Circle
	Marks  []geom.Line // open cuts that mark the plate: register marks, letters
	Nicks  []geom.Line // short open cuts that number the plate, two points each
	Frame  geom.Ring   // the rectangle with the V of the notch in its top edge
	// Left is what of the frame is left to cut where it touches the frame of a
	// plate that is cut later, which cuts the common part: open lines in the
	// frame's direction. It is used if Shared; otherwise the frame is cut whole.
	Left   []geom.Line
	Shared bool
}

// Kind says what a cut is.
type Kind int

// The kinds of cuts, in their order on a plate.
const (
	Hole Kind = iota
	Mark
	Nick
	Frame
)

// Cut is one cut, from the blade's going down to its going up: a circle if Kind
// is Hole, else a line, which goes back to its first point if Closed.
type Cut struct {
	Kind   Kind
	Circle Circle
	Line   geom.Line
	Closed bool
}

// Cuts gives what the cutter does for the plate, in order.
func (p SheetPlate) Cuts() []Cut {
	out := make([]Cut, 0, len(p.Holes)+len(p.Marks)+len(p.Nicks)+1)
	for _, h := range p.Holes {
		out = append(out, Cut{Kind: Hole, Circle: h, Closed: true})
	}
	for _, part := range []struct {
		kind  Kind
		lines []geom.Line
	}{{Mark, p.Marks}, {Nick, p.Nicks}} {
		for _, l := range part.lines {
			out = append(out, Cut{Kind: part.kind, Line: l})
		}
	}
	if !p.Shared {
		return append(out, Cut{Kind: Frame, Line: geom.Line(p.Frame), Closed: true})
	}
	for _, l := range p.Left {
		out = append(out, Cut{Kind: Frame, Line: l})
	}
	return out
}

// Circle is one hole: its centre, and its diameter D.
type Circle struct {
	Centre geom.Point
	D      float64
}

// Holes gives the number of holes on the sheet.
func (s Sheet) Holes() int {
	n := 0
	for _, p := range s.Plates {
		n += len(p.Holes)
	}
	return n
}
