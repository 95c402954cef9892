package pdf

import (
	"math"
	"strings"

	"codeberg.org/go-pdf/fpdf"

	"brushfall/internal/ticket"
	"brushfall/internal/wording"
)

// head prints the design's name, its size and its code.
func (p *page) head(t ticket.Ticket) {
	const codeWidth = 44.0
	width := p.inner() - codeWidth - gutter
	p.style(true, 8.5, accent)
	p.text(margin, p.y+3, strings.ToUpper(p.v.Say("Transfer ticket")))
	size := p.shrunk(true, 30, 17, ink, t.Design, width)
	lines := p.wrapped(t.Design, width)
	leading := size * 0.40
	p.lines(margin, p.y+5+leading, lines, leading)
	bottom := p.y + 5 + leading*float64(len(lines))

	x := p.width - margin - codeWidth
	p.box(x, p.y, codeWidth, 17, panel)
	p.style(false, 8, grey)
	p.text(x+4, p.y+5.8, p.v.Say("Template"))
	p.style(true, 17, ink)
	p.text(x+4, p.y+13.2, t.Code)

	p.style(false, 12, ink)
	p.text(margin, bottom+6.5, t.Size)
	indent := p.widthOf(t.Size) + 4
	p.style(false, 12, grey)
	p.text(margin+indent, bottom+6.5, t.SizeInch)
	p.y = math.Max(bottom+12, p.y+22)
}

// form prints the lines that are filled in by hand.
func (p *page) form() {
	fields := []struct {
		label string
		share float64
	}{
		{p.v.Say("Job no."), 0.16}, {p.v.Say("Customer"), 0.36}, {p.v.Say("Date"), 0.2}, {p.v.Say("Pressed by"), 0.28},
	}
	x, gap := margin, 4.0
	free := p.inner() - gap*float64(len(fields)-1)
	for _, f := range fields {
		w := free * f.share
		p.style(false, 8, grey)
		p.text(x, p.y+3, f.label)
		p.rule(x, p.y+11, w, grey)
		x += w + gap
	}
	p.y += 11 + gutter
}

// overview prints the picture and, beside it, the figures that one asks for first.
func (p *page) overview(t ticket.Ticket, ratio float64) {
	const most = 112.0
	high := highestPicture(p.height)
	x, top := margin, p.y
	bottom := top
	if ratio > 0 {
		w := math.Min(most, high*ratio)
		s, said := pictureScale(w, t.Across)
		if said {
			w = t.Across * s.of()
		}
		p.f.ClipRoundedRect(margin, top, w, w/ratio, 2, false)
		p.f.ImageOptions(pictureName, margin, top, w, w/ratio, false, fpdf.ImageOptions{ImageType: "JPG"}, 0, "")
		p.f.ClipEnd()
		x, bottom = margin+math.Max(w, leastPictureRoom)+8, top+w/ratio
		if said {
			bottom = p.pictureBar(s, bottom, w)
		}
	}
	width := p.width - margin - x
	y := p.figures(t, x, top, width)
	for _, f := range t.Facts {
		p.style(false, 8, grey)
		p.text(x, y+3, f.Label)
		p.style(false, 10, ink)
		y = p.lines(x, y+7.6, p.wrapped(f.Value, width), 4.4) - 0.4
	}
	p.y = math.Max(bottom, y) + gutter
}

// highestPicture is how high a picture may be beside the figures of a page so high, in mm.
func highestPicture(page float64) float64 { return 88 - (a4Height - page) }

// figures prints the number of stones, large, and the numbers of plates, lifts
// and sheets; it gives where they end.
func (p *page) figures(t ticket.Ticket, x, y, width float64) float64 {
	total := p.v.Whole(t.Stones)
	size := p.shrunk(true, 50, 24, ink, total, width)
	p.text(x, y+size*0.27, total)
	y += size*0.27 + 8
	p.style(false, 12, grey)
	p.text(x, y, p.v.Say("stones"))
	y += 5
	step := width / 3
	for i, c := range []struct {
		n    int
		word wording.Key
	}{{len(t.Plates), "plates of %d"}, {t.Lifts, "lifts of %d"}, {len(t.Sheets), "flock sheets of %d"}} {
		at := x + float64(i)*step
		p.style(true, 20, accent)
		p.text(at, y+7.5, p.v.Whole(c.n))
		p.style(false, 8.5, grey)
		p.text(at, y+12, p.v.Say(c.word, c.n))
	}
	return y + 17
}
