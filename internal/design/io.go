package design

import (
	"io"
)

// Write writes the document as layout.json: one kind, region ring, stone, hole
// or placed plate a line, numbers rounded to 0.000001 mm, keys always in the same
// order, a newline at the end; the same document gives the same bytes. A nil
// slice is written as an empty list. Fault "layout-number" (internal) for a
// number that is not finite or beyond a kilometre; errors of w are passed on.
func Write(w io.Writer, doc Document) error {
	p := newPrinter(w)
	p.open()
	p.count("version", doc.Version)
	p.text("unit", doc.Unit)
	p.text("design", doc.Design)
	p.number("width", doc.Width)
	p.number("height", doc.Height)
	p.number("web", doc.Web)
	p.number("border", doc.Border)
	if doc.Mirrored {
		p.flag("mirrored", true)
	}
	if doc.Least != nil {
		p.key("least")
		p.least(*doc.Least)
	}
	list(p, "kinds", 1, doc.Kinds, p.kind)
	list(p, "regions", 1, doc.Regions, p.region)
	list(p, "stones", 1, doc.Stones, p.stone)
	list(p, "plates", 1, doc.Plates, p.plate)
	list(p, "sheets", 1, doc.Sheets, p.sheet)
	p.shut()
	return p.end()
}

func (p *printer) least(l Least) {
	p.open()
	p.count("plates", l.Plates)
	p.text("why", l.Why)
	p.shut()
}

func (p *printer) kind(k Kind) {
	p.open()
	p.text("size", k.Size)
	p.text("colour", k.Colour)
	p.number("diameter", k.Diameter)
	p.number("smallest", k.Smallest)
	p.number("hole", k.Hole)
	p.number("height", k.Height)
	if k.Shown != "" {
		p.text("shown", k.Shown)
		p.text("finish", string(k.Finish))
	}
	p.shut()
}

func (p *printer) region(r Region) {
	p.open()
	p.text("id", r.ID)
	p.flag("open", r.Open)
	list(p, "treatment", 0, r.Treatment, func(t Treatment) { p.word(string(t)) })
	if r.Bed != "" {
		p.text("bed", string(r.Bed))
	}
	if r.Density != 0 {
		p.number("density", r.Density)
	}
	p.text("size", r.Size)
	p.text("colour", r.Colour)
	p.number("gap", r.Gap)
	p.number("pitch", r.Pitch)
	p.number("margin", r.Margin)
	if len(r.Sizes) > 0 {
		list(p, "sizes", 0, r.Sizes, p.sizeGap)
	}
	if len(r.Left) > 0 {
		list(p, "left", 0, r.Left, p.left)
	}
	list(p, "rings", 2, r.Rings, p.ring)
	p.shut()
}

func (p *printer) sizeGap(s SizeGap) {
	p.open()
	p.text("size", s.Size)
	p.number("gap", s.Gap)
	p.shut()
}

func (p *printer) left(l Left) {
	p.open()
	p.number("x", l.X)
	p.number("y", l.Y)
	p.text("size", l.Size)
	p.shut()
}

func (p *printer) ring(ring [][2]float64) {
	p.w.WriteByte('[')
	for i, point := range ring {
		if i > 0 {
			p.w.WriteByte(',')
		}
		p.numbers(point[:])
	}
	p.w.WriteByte(']')
}

func (p *printer) stone(s Stone) {
	p.open()
	p.number("x", s.X)
	p.number("y", s.Y)
	p.text("size", s.Size)
	p.text("colour", s.Colour)
	p.text("region", s.Region)
	p.text("role", string(s.Role))
	p.count("plate", s.Plate)
	p.shut()
}

func (p *printer) plate(l Plate) {
	p.open()
	p.count("number", l.Number)
	p.key("frame")
	p.numbers(l.Frame[:])
	p.key("notch")
	p.numbers(l.Notch[:])
	list(p, "nicks", 0, l.Nicks, func(n [4]float64) { p.numbers(n[:]) })
	if len(l.Register) > 0 {
		list(p, "register", 0, l.Register, p.ring)
	}
	if l.Code != "" {
		p.text("code", l.Code)
	}
	if len(l.Letters) > 0 {
		list(p, "letters", 2, l.Letters, p.ring)
	}
	list(p, "order", 0, l.Order, p.word)
	list(p, "holes", 2, l.Holes, p.hole)
	p.shut()
}

func (p *printer) hole(h Hole) {
	p.open()
	p.number("x", h.X)
	p.number("y", h.Y)
	p.number("d", h.D)
	p.shut()
}

func (p *printer) sheet(s Sheet) {
	p.open()
	p.count("number", s.Number)
	p.number("width", s.Width)
	p.number("height", s.Height)
	list(p, "placed", 2, s.Placed, p.placed)
	p.shut()
}

func (p *printer) placed(l Placed) {
	p.open()
	p.text("design", l.Design)
	p.count("plate", l.Plate)
	p.number("x", l.X)
	p.number("y", l.Y)
	p.flag("turned", l.Turned)
	p.shut()
}
