package pdf

import (
	"math"

	"brushfall/internal/ticket"
)

// The boxes of the cautions: up to three beside each other; one whose text
// takes more lines than cautionLines there gets the whole width.
const (
	cautionLeading = 4.0
	cautionPad     = 5.0
	cautionLines   = 4
	cautionsAcross = 3
	cautionGap     = 2.2 // between rows
)

// cautions prints the warnings in their order, in rows, all on one page where
// one can hold them.
func (p *page) cautions(list []ticket.Caution) {
	if len(list) == 0 {
		return
	}
	p.need(p.cautionBlock(list))
	p.heading(p.v.Say("Cautions"), "")
	for _, row := range p.cautionRows(list) {
		width, high := p.cautionRow(row)
		p.need(high)
		for j, c := range row {
			p.caution(c, margin+float64(j)*(width+cardGap), width, high)
		}
		p.y += high + cautionGap
	}
}

// cautionBlock gives the height of cautions.
func (p *page) cautionBlock(list []ticket.Caution) float64 {
	height := 8 - cautionGap
	for _, row := range p.cautionRows(list) {
		_, high := p.cautionRow(row)
		height += high + cautionGap
	}
	return height
}

// cautionRow gives the width of each box of a row, and its height.
func (p *page) cautionRow(row []ticket.Caution) (width, height float64) {
	width = (p.inner() - cardGap*float64(len(row)-1)) / float64(len(row))
	for _, c := range row {
		height = math.Max(height, p.cautionHeight(c, width))
	}
	return width, height
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
	return 8.2 + cautionLeading*float64(len(p.wrapped(c.Text, width-2*cautionPad))) + 1.5
}

func (p *page) caution(c ticket.Caution, x, width, height float64) {
	p.fill(wash)
	p.f.Rect(x, p.y, width, height, "F")
	p.fill(alarm)
	p.f.Rect(x, p.y, 1.2, height, "F")
	p.style(true, 10.5, alarm)
	p.text(x+cautionPad, p.y+5.4, p.cropped(c.Title, width-2*cautionPad))
	p.style(false, 9.2, ink)
	p.lines(x+cautionPad, p.y+9.6, p.wrapped(c.Text, width-2*cautionPad), cautionLeading)
}
