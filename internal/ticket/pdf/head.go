package pdf

import (
	"math"
	"strings"

	"brushfall/internal/ticket"
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
