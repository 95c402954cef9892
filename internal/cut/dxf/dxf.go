// Package dxf writes a sheet as an ASCII DXF of release 12 (AC1009), which
// everything reads, or of release 2000 (AC1015), the first with a unit in its
// head. Group codes and sections are those of the DXF References of the
// releases (Autodesk 1992, 1999). Millimetres, y up, the origin at the sheet's
// bottom-left corner. docs/formats/cut.md is its page.
package dxf

import (
	"fmt"
	"io"
	"strings"

	"brushfall/internal/cut"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// millimetres is the value of $INSUNITS that means mm.
const millimetres = 4

// colours are the AutoCAD colour indices of the plates of a sheet, one each;
// a seventh plate starts again.
var colours = [...]int{7, 1, 5, 3, 30, 6}

// layer is one layer of the file.
type layer struct {
	name   string
	colour int
}

// Release is a release of the format.
type Release int

// The releases.
const (
	R12 Release = iota
	R2000
)

// Write writes the sheet, its entities in cutting order: holes as CIRCLE, open
// cuts of two points as LINE, frames and longer cuts as polylines (LWPOLYLINE in
// R2000), on the layers PLATE-n-HOLES, PLATE-n-NICKS, PLATE-n-FRAME and, where
// there are marks, PLATE-n-MARKS. A fault, code "cut-write", says that w did not
// take the bytes.
func Write(w io.Writer, s cut.Sheet, release Release) error {
	parts := twelve
	if release == R2000 {
		parts = twoThousand
	}
	var layers []layer
	body := &tags{handle: firstHandle, release: release}
	for i, name := range s.Names() {
		name = strings.ToUpper(name)
		colour := colours[i%len(colours)]
		for _, part := range []string{holes, marks, nicks, frame} {
			if part != marks || len(s.Plates[i].Marks) > 0 {
				layers = append(layers, layer{name + part, colour})
			}
		}
		writePlate(body, s.Plates[i], name, s.Height)
	}
	for _, part := range parts(s, layers, body) {
		if _, err := io.WriteString(w, part); err != nil {
			return fault.Wrap("cut-write", err)
		}
	}
	return nil
}

// twoThousand gives the sections of a file of release 2000.
func twoThousand(s cut.Sheet, layers []layer, body *tags) []string {
	file := &tags{handle: body.handle}
	writeTables(file, layers)
	head := &tags{}
	writeHeader(head, s, file.handle)
	return []string{head.out.String(), file.out.String(), blocks(), entities(body), objects()}
}

// The ends of the names of a plate's layers.
const (
	holes = "-HOLES"
	marks = "-MARKS"
	nicks = "-NICKS"
	frame = "-FRAME"
)

func writePlate(t *tags, p cut.SheetPlate, name string, height float64) {
	up := func(q geom.Point) (x, y float64) { return q.X, height - q.Y }
	for _, c := range p.Cuts() {
		layer := name + [...]string{cut.Hole: holes, cut.Mark: marks, cut.Nick: nicks, cut.Frame: frame}[c.Kind]
		switch {
		case c.Kind == cut.Hole:
			t.entity("CIRCLE", layer, "AcDbCircle")
			x, y := up(c.Circle.Centre)
			t.point(10, x, y)
			t.real(30, 0)
			t.real(40, c.Circle.D/2)
		case len(c.Line) == 2 && !c.Closed:
			t.entity("LINE", layer, "AcDbLine")
			for i, q := range c.Line {
				x, y := up(q)
				t.point(10+i, x, y)
				t.real(30+i, 0)
			}
		case t.release == R12:
			t.oldPolyline(c, layer, up)
		default:
			t.entity("LWPOLYLINE", layer, "AcDbPolyline")
			t.whole(90, len(c.Line))
			t.whole(70, closedFlag(c))
			for _, q := range c.Line {
				x, y := up(q)
				t.point(10, x, y)
			}
		}
	}
}

// closedFlag is bit 1 of the flags of a polyline.
func closedFlag(c cut.Cut) int {
	if c.Closed {
		return 1
	}
	return 0
}

func entities(body *tags) string {
	t := &tags{}
	t.text(0, "SECTION")
	t.text(2, "ENTITIES")
	t.out.WriteString(body.out.String())
	t.text(0, "ENDSEC")
	return t.out.String()
}

// tags writes group codes with their values and hands out handles.
type tags struct {
	out     strings.Builder
	handle  int
	release Release
}

func (t *tags) text(code int, value string) { fmt.Fprintf(&t.out, "%3d\n%s\n", code, value) }
func (t *tags) whole(code, value int)       { fmt.Fprintf(&t.out, "%3d\n%d\n", code, value) }
func (t *tags) hex(code, value int)         { fmt.Fprintf(&t.out, "%3d\n%X\n", code, value) }

// real writes a length to the tenth of a micrometre; −0 becomes 0.
func (t *tags) real(code int, value float64) {
	s := fmt.Sprintf("%.4f", value)
	if s == "-0.0000" {
		s = "0.0000"
	}
	t.text(code, s)
}

func (t *tags) point(code int, x, y float64) {
	t.real(code, x)
	t.real(code+10, y)
}

// next writes a fresh handle and gives it.
func (t *tags) next() int {
	h := t.handle
	t.handle++
	t.hex(5, h)
	return h
}

// entity begins an entity of the model space.
func (t *tags) entity(kind, layer, class string) {
	t.text(0, kind)
	if t.release == R12 { // knows no handles' owners and no classes
		t.text(8, layer)
		return
	}
	t.next()
	t.hex(330, modelSpace)
	t.text(100, "AcDbEntity")
	t.text(8, layer)
	t.text(100, class)
}
