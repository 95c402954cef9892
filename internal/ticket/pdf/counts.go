package pdf

import (
	"brushfall/internal/ticket"
)

// countColumn is one column of the counts: its right edge from the right margin.
type countColumn struct {
	title string
	right float64
	value func(ticket.Row) string
	heavy bool
}

func (p *page) countColumns() []countColumn {
	v := p.v
	return []countColumn{
		{v.Say("Pieces"), 92, func(r ticket.Row) string { return v.Whole(r.Pieces) }, true},
		{v.Say("With spare"), 70, func(r ticket.Row) string { return orBlank(r.Take, v.Whole(r.Take)) }, false},
		{v.Say("Gross"), 52, func(r ticket.Row) string { return orBlank(r.Gross, v.Whole(r.Gross)) }, false},
		{v.Say("Packs"), 36, func(r ticket.Row) string { return orBlank(r.Packs, v.Whole(r.Packs)) }, false},
		{v.Say("Grams"), 18, func(r ticket.Row) string { return orBlank(r.Grams, v.Fixed(r.Grams, 1)) }, false},
	}
}

// orBlank leaves out what the ticket does not say.
func orBlank[N int | float64](n N, s string) string {
	if n == 0 {
		return "–"
	}
	return s
}

// countsHeight gives the height of counts.
func (p *page) countsHeight(t ticket.Ticket) float64 {
	if len(t.Counts) == 0 {
		return 0
	}
	height := 8 + 4.8 + p.set.row*float64(len(t.Counts)) + gutter - 2 - p.set.gap
	if len(t.Counts) > 1 {
		height += p.set.row
	}
	return height
}

// counts prints the stones to take, a row a kind.
func (p *page) counts(t ticket.Ticket) {
	if len(t.Counts) == 0 {
		return
	}
	p.need(8 + 6 + 2*p.set.row)
	p.heading(p.v.Say("Stones to take"), p.v.Say("1 gross = 144, 1 pack = 10 gross = %d", 1440))
	p.countHead(t)
	for _, r := range t.Counts {
		if p.need(p.set.row) {
			p.countHead(t)
		}
		p.countRow(r)
	}
	if len(t.Counts) > 1 {
		p.need(p.set.row)
		p.style(false, 10, grey)
		p.text(margin+9, p.y+p.set.row/2+1.3, p.v.Say("All together"))
		p.style(true, 12, ink)
		p.textRight(p.width-margin-92, p.y+p.set.row/2+1.5, p.v.Whole(t.Stones))
		p.y += p.set.row
	}
	p.y += gutter - 2 - p.set.gap
}

func (p *page) countHead(t ticket.Ticket) {
	p.style(false, 8, grey)
	y := p.y + 3
	p.text(margin+9, y, p.v.Say("Stone"))
	if len(t.Plates) > 0 {
		p.text(p.platesColumn(), y, p.v.Say("Plate"))
	}
	for _, c := range p.countColumns() {
		p.textRight(p.width-margin-c.right, y, c.title)
	}
	p.textRight(p.width-margin, y, p.v.Say("Taken"))
	p.y += 4.8
	p.rule(margin, p.y, p.inner(), grey)
}

func (p *page) platesColumn() float64 { return p.width - margin - 118 }

func (p *page) countRow(r ticket.Row) {
	base := p.y + p.set.row/2 + 1.5
	p.stone(margin+3.4, p.y+p.set.row/2, 2.6, r.Swatch)
	p.style(true, 12, ink)
	p.text(margin+9, base, r.Size)
	x := margin + 9 + p.widthOf(r.Size) + 2.5
	p.shrunk(false, 12, 8, ink, r.Colour, p.platesColumn()-x-3)
	p.text(x, base, p.cropped(r.Colour, p.platesColumn()-x-3))
	p.style(false, 10, ink)
	p.text(p.platesColumn(), base, p.cropped(numbers(r.Plates), 14))
	for _, c := range p.countColumns() {
		p.style(c.heavy, 10, ink)
		if c.heavy {
			p.style(true, 12, ink)
		}
		p.textRight(p.width-margin-c.right, base, c.value(r))
	}
	p.tick(p.width-margin-5, p.y+p.set.row/2-2, 4)
	p.y += p.set.row
	p.rule(margin, p.y, p.inner(), faint)
}

func numbers(plates []int) string {
	s := ""
	for i, n := range plates {
		if i > 0 {
			s += ", "
		}
		s += itoa(n)
	}
	return s
}
