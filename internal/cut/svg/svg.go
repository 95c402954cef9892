// Package svg writes a sheet as an SVG of true size: millimetres, one group a
// plate, holes as circles. docs/formats/cut.md is its page.
package svg

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"strings"

	"brushfall/internal/cut"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// StrokeWidth is the width of every line, in mm: thin enough to be taken for a
// cut, thick enough to be seen. The cut runs along its middle.
const StrokeWidth = 0.1

// palette gives each plate of a sheet a colour of its own, so that they can be
// told apart and cut apart; a ninth plate starts again. Dark, to be seen on white.
var palette = [...]string{"#000000", "#d00000", "#0040d0", "#007a33", "#9a4d00", "#8a008a", "#00708a", "#606060"}

// Write writes the sheet. Width and height carry the unit mm and the viewBox is
// in mm too, so a coordinate is a millimetre. Elements come in cutting order.
// A fault, code "cut-write", says that w did not take the bytes.
func Write(w io.Writer, s cut.Sheet) error {
	b := bufio.NewWriter(w)
	width, height := number(s.Width), number(s.Height)
	fmt.Fprintf(b, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n")
	fmt.Fprintf(b, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\" data-sheet=\"%d\">\n",
		width, height, width, height, s.Number)
	if s.Mirrored {
		fmt.Fprintf(b, "<desc>Mirrored: for flock that is cut from its back.</desc>\n")
	}
	names := s.Names()
	for i, p := range s.Plates {
		writePlate(b, p, names[i], palette[i%len(palette)])
	}
	fmt.Fprintf(b, "</svg>\n")
	if err := b.Flush(); err != nil {
		return fault.Wrap("cut-write", err)
	}
	return nil
}

func writePlate(b *bufio.Writer, p cut.SheetPlate, name, colour string) {
	fmt.Fprintf(b, "<g id=\"%s\" data-design=\"%s\" data-plate=\"%d\" data-holes=\"%d\" fill=\"none\" stroke=\"%s\" stroke-width=\"%g\">\n",
		name, escape(p.Design), p.Plate, len(p.Holes), colour, StrokeWidth)
	fmt.Fprintf(b, "<title>%s, plate %d</title>\n", escape(p.Design), p.Plate)
	for _, c := range p.Cuts() {
		switch c.Kind {
		case cut.Hole:
			h := c.Circle
			fmt.Fprintf(b, "<circle cx=\"%s\" cy=\"%s\" r=\"%s\"/>\n", number(h.Centre.X), number(h.Centre.Y), number(h.D/2))
		default:
			fmt.Fprintf(b, "<path class=\"%s\" d=\"%s\"/>\n", class(c.Kind), path(c.Line, c.Closed))
		}
	}
	fmt.Fprintf(b, "</g>\n")
}

func class(k cut.Kind) string {
	switch k {
	case cut.Mark:
		return "mark"
	case cut.Nick:
		return "nick"
	}
	return "frame"
}

func path(points geom.Line, closed bool) string {
	var d strings.Builder
	for i, p := range points {
		letter := "L"
		if i == 0 {
			letter = "M"
		}
		fmt.Fprintf(&d, "%s%s %s", letter, number(p.X), number(p.Y))
	}
	if closed {
		d.WriteByte('Z')
	}
	return d.String()
}

// number writes mm to the tenth of a micrometre; −0 becomes 0.
func number(v float64) string {
	s := fmt.Sprintf("%.4f", v)
	if s == "-0.0000" {
		return "0.0000"
	}
	return s
}

func escape(s string) string {
	var b strings.Builder
	// A strings.Builder never fails; characters XML forbids become U+FFFD.
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}
