package pdf

import (
	"math"

	"brushfall/internal/ticket"
)

// The boxes of the cautions: up to three beside each other; one whose text
// takes more lines than cautionLines there gets the whole width.
const (
	cautionLeading = 4.2
	cautionPad     = 5.0
	cautionLines   = 4
	cautionsAcross = 3
)

// cautions prints the warnings in their order, in rows.
func (p *page) cautions(list []ticket.Caution) {
	for i, row := range p.cautionRows(list) {
		width := (p.inner() - cardGap*float64(len(row)-1)) / float64(len(row))
		high := 0.0
		for _, c := range row {
			high = math.Max(high, p.cautionHeight(c, width))
		}
		if i == 0 {
			p.need(8 + high)
			p.heading("Cautions", "")
		}
		p.need(high)
		for j, c := range row {
			p.caution(c, margin+float64(j)*(width+cardGap), width, high)
		}
		p.y += high + 3
	}
}

// cautionRows shares the cautions out over rows.
func (p *page) cautionRows(list []ticket.Caution) [][]ticket.Caution {
	third := (p.inner() - (cautionsAcross-1)*cardGap) / cautionsAcross
	var rows [][]ticket.Caution
	open := false // whether the last row takes more
	for _, c := range list {
		p.style(false, 9.2, ink)
		wide := len(p.wrapped(c.Text, third-2*cautionPad)) > cautionLines
		if wide || !open || len(rows[len(rows)-1]) == cautionsAcross {
			rows = append(rows, nil)
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], c)
		open = !wide
	}
	return rows
}

func (p *page) cautionHeight(c ticket.Caution, width float64) float64 {
	p.style(false, 9.2, ink)
	return 8.8 + cautionLeading*float64(len(p.wrapped(c.Text, width-2*cautionPad))) + 1.5
}

func (p *page) caution(c ticket.Caution, x, width, height float64) {
	p.fill(wash)
	p.f.Rect(x, p.y, width, height, "F")
	p.fill(alarm)
	p.f.Rect(x, p.y, 1.2, height, "F")
	p.style(true, 10.5, alarm)
	p.text(x+cautionPad, p.y+5.4, p.cropped(c.Title, width-2*cautionPad))
	p.style(false, 9.2, ink)
	p.lines(x+cautionPad, p.y+9.9, p.wrapped(c.Text, width-2*cautionPad), cautionLeading)
}
