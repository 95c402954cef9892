// Package dxf writes a sheet as an ASCII DXF of release 2000 (AC1015): the
// first release with a unit in its head. Group codes and sections are those of
// the AutoCAD 2000 DXF Reference (Autodesk 1999). Millimetres, y up, the origin
// at the sheet's bottom-left corner. docs/formats/cut.md is its page.
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

// Write writes the sheet, its entities in cutting order: holes as CIRCLE, nicks
// as LINE, frames as closed LWPOLYLINE, on the layers PLATE-n-HOLES,
// PLATE-n-NICKS and PLATE-n-FRAME. A fault, code "cut-write", says that w did
// not take the bytes.
func Write(w io.Writer, s cut.Sheet) error {
	var layers []layer
	body := &tags{handle: firstHandle}
	for i, name := range s.Names() {
		name = strings.ToUpper(name)
		colour := colours[i%len(colours)]
		for _, part := range []string{holes, nicks, frame} {
			layers = append(layers, layer{name + part, colour})
		}
		writePlate(body, s.Plates[i], name, s.Height)
	}
	file := &tags{handle: body.handle}
	writeTables(file, layers)
	tables := file.out.String()

	head := &tags{}
	writeHeader(head, s, file.handle)
	for _, part := range []string{head.out.String(), tables, blocks(), entities(body), objects()} {
		if _, err := io.WriteString(w, part); err != nil {
			return fault.Wrap("cut-write", err)
		}
	}
	return nil
}

// The ends of the names of a plate's layers.
const (
	holes = "-HOLES"
	nicks = "-NICKS"
	frame = "-FRAME"
)

func writePlate(t *tags, p cut.SheetPlate, name string, height float64) {
	up := func(q geom.Point) (x, y float64) { return q.X, height - q.Y }
	for _, h := range p.Holes {
		t.entity("CIRCLE", name+holes, "AcDbCircle")
		x, y := up(h.Centre)
		t.point(10, x, y)
		t.real(30, 0)
		t.real(40, h.D/2)
	}
	for _, n := range p.Nicks {
		t.entity("LINE", name+nicks, "AcDbLine")
		for i, q := range n {
			x, y := up(q)
			t.point(10+i, x, y)
			t.real(30+i, 0)
		}
	}
	t.entity("LWPOLYLINE", name+frame, "AcDbPolyline")
	t.whole(90, len(p.Frame))
	t.whole(70, 1) // closed
	for _, q := range p.Frame {
		x, y := up(q)
		t.point(10, x, y)
	}
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
	out    strings.Builder
	handle int
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
	t.next()
	t.hex(330, modelSpace)
	t.text(100, "AcDbEntity")
	t.text(8, layer)
	t.text(100, class)
}
