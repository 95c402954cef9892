package cut

import (
	"fmt"
	"math"
	"slices"

	"brushfall/internal/cut/tour"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// onSheet is how far a cut may reach over the sheet's edge, in mm: what the
// rounding of layout.json can make of a plate that lies flush with the edge.
const onSheet = 0.001

// Corner is a corner of the sheet.
type Corner int

// The corners.
const (
	BottomLeft Corner = iota
	TopLeft
	TopRight
	BottomRight
)

// Options are the choices of Plan. The zero Options are a quick way.
type Options struct {
	// Home is the corner where the head waits. HP-GL has its origin at the
	// bottom left.
	Home Corner
	// Effort is how much is tried to shorten the way through the holes.
	Effort tour.Effort
}

// Plan turns a design's plates and sheets to what the cutter does, one Sheet
// for each sheet of the document and in its order. On each plate the holes come
// first, in a short tour, then the marks and nicks, and the frame last. What two
// frames have in common is cut once, with the later one. A mirrored document has its
// sheets mirrored.
//
// Faults: "cut-plate-unknown" (a sheet names a plate that the design has not
// got), "cut-hole-size" (a hole without a diameter), "cut-notch" (a notch that
// does not lie in the frame's top edge), "cut-off-sheet" (a cut beyond the
// sheet's edge: the blade would run off the material).
func Plan(doc design.Document, opt Options) ([]Sheet, error) {
	plates := map[int]design.Plate{}
	for _, p := range doc.Plates {
		plates[p.Number] = p
	}
	sheets := make([]Sheet, 0, len(doc.Sheets))
	for _, s := range doc.Sheets {
		sheet, err := planSheet(doc, plates, s, opt)
		if err != nil {
			return nil, err
		}
		sheets = append(sheets, sheet)
	}
	return sheets, nil
}

func planSheet(doc design.Document, plates map[int]design.Plate, s design.Sheet, opt Options) (Sheet, error) {
	name := doc.Design
	out := Sheet{Number: s.Number, Width: s.Width, Height: s.Height, Mirrored: doc.Mirrored}
	head := opt.Home.of(s.Width, s.Height)
	for _, at := range s.Placed {
		where := fmt.Sprintf("sheet %d, plate %d", s.Number, at.Plate)
		p, ok := plates[at.Plate]
		if !ok || at.Design != name {
			return Sheet{}, fault.New("cut-plate-unknown", where,
				"the sheet holds plate %d of %q, which is not in the design %q: lay the sheets out again", at.Plate, at.Design, name)
		}
		if err := checkPlate(p, where); err != nil {
			return Sheet{}, err
		}
		to := Place(p, at)
		if doc.Mirrored {
			to = to.Mirrored(s.Width)
		}
		placed := placePlate(name, p, to)
		if err := checkOnSheet(placed, out, where); err != nil {
			return Sheet{}, err
		}
		placed.Holes = inOrder(placed.Holes, head, placed.afterHoles(), opt.Effort)
		head = placed.Frame[0]
		out.Plates = append(out.Plates, placed)
	}
	shareEdges(out.Plates)
	return out, nil
}

// placePlate brings a plate to the sheet, its holes still in the plate's order.
func placePlate(name string, p design.Plate, to Placement) SheetPlate {
	out := SheetPlate{Design: name, Plate: p.Number}
	for _, h := range p.Holes {
		out.Holes = append(out.Holes, Circle{to.Point(geom.Point{X: h.X, Y: h.Y}), h.D})
	}
	for _, n := range p.Nicks {
		out.Nicks = append(out.Nicks, geom.Line{
			to.Point(geom.Point{X: n[0], Y: n[1]}), to.Point(geom.Point{X: n[2], Y: n[3]}),
		})
	}
	for _, lines := range [][][][2]float64{p.Register, p.Letters} {
		for _, l := range lines {
			if len(l) < 2 {
				continue // nothing to cut
			}
			mark := make(geom.Line, len(l))
			for i, q := range l {
				mark[i] = to.Point(geom.Point{X: q[0], Y: q[1]})
			}
			out.Marks = append(out.Marks, mark)
		}
	}
	for _, q := range outline(p) {
		out.Frame = append(out.Frame, to.Point(q))
	}
	return out
}

// inOrder gives the holes in a short tour from head to where the next cut begins.
func inOrder(holes []Circle, head, next geom.Point, e tour.Effort) []Circle {
	centres := make([]geom.Point, len(holes))
	for i, h := range holes {
		centres[i] = h.Centre
	}
	out := make([]Circle, 0, len(holes))
	for _, i := range tour.Path(centres, head, next, e) {
		out = append(out, holes[i])
	}
	return out
}

// afterHoles gives where the first cut after the holes begins.
func (p SheetPlate) afterHoles() geom.Point {
	for _, l := range slices.Concat(p.Marks, p.Nicks) {
		return l[0]
	}
	return p.Frame[0]
}

// outline gives the frame in the design's coordinates, clockwise as seen from
// its top-left corner, with the V of the notch in its top edge.
func outline(p design.Plate) geom.Ring {
	x0, y0, x1, y1 := p.Frame[0], p.Frame[1], p.Frame[2], p.Frame[3]
	tip := geom.Point{X: p.Notch[0], Y: p.Notch[1]}
	return geom.Ring{
		{X: x0, Y: y0},
		{X: tip.X - NotchWidth/2, Y: y0},
		tip,
		{X: tip.X + NotchWidth/2, Y: y0},
		{X: x1, Y: y0},
		{X: x1, Y: y1},
		{X: x0, Y: y1},
	}
}

func checkPlate(p design.Plate, where string) error {
	for i, h := range p.Holes {
		if !(h.D > 0) || math.IsInf(h.D, 0) {
			return fault.New("cut-hole-size", fmt.Sprintf("%s, hole %d", where, i+1), "a hole of %g mm cannot be cut: give its size a hole diameter", h.D)
		}
	}
	tip := p.Notch
	inside := tip[0]-NotchWidth/2 > p.Frame[0] && tip[0]+NotchWidth/2 < p.Frame[2] && tip[1] > p.Frame[1] && tip[1] < p.Frame[3]
	if !inside {
		return fault.New("cut-notch", where, "the notch at %.2f, %.2f does not lie in the frame's top edge: the frame must be more than %.0f mm wide", tip[0], tip[1], NotchWidth)
	}
	return nil
}

func checkOnSheet(p SheetPlate, s Sheet, where string) error {
	b := geom.Bounds(p.Frame)
	for _, h := range p.Holes {
		r := h.D / 2
		b = b.Extend(h.Centre.Add(geom.Point{X: r, Y: r})).Extend(h.Centre.Sub(geom.Point{X: r, Y: r}))
	}
	for _, n := range slices.Concat(p.Marks, p.Nicks) {
		b = b.Join(geom.Bounds(n))
	}
	// Written so that a NaN anywhere fails too.
	if b.MinX >= -onSheet && b.MinY >= -onSheet && b.MaxX <= s.Width+onSheet && b.MaxY <= s.Height+onSheet && !math.IsInf(s.Width+s.Height, 0) && allNumbers(p) {
		return nil
	}
	return fault.New("cut-off-sheet", where,
		"the plate reaches from %.2f, %.2f to %.2f, %.2f mm, but the sheet is %.2f × %.2f mm: lay the sheets out again", b.MinX, b.MinY, b.MaxX, b.MaxY, s.Width, s.Height)
}

// allNumbers says whether no coordinate is NaN, which a box does not show.
func allNumbers(p SheetPlate) bool {
	points := append([]geom.Point(nil), p.Frame...)
	for _, h := range p.Holes {
		points = append(points, h.Centre)
	}
	for _, n := range slices.Concat(p.Marks, p.Nicks) {
		points = append(points, n...)
	}
	for _, q := range points {
		if math.IsNaN(q.X) || math.IsNaN(q.Y) {
			return false
		}
	}
	return true
}

// of gives the corner's place on a sheet.
func (c Corner) of(width, height float64) geom.Point {
	switch c {
	case TopLeft:
		return geom.Point{}
	case TopRight:
		return geom.Point{X: width}
	case BottomRight:
		return geom.Point{X: width, Y: height}
	default:
		return geom.Point{Y: height}
	}
}
