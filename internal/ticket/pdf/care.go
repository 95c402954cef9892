package pdf

import (
	"io"
	"math"
	"strings"

	"brushfall/internal/ticket"
)

// The cards of care on a sheet: two beside each other, as high as their words need,
// with marks to cut along at the edges of the sheet and where cards meet.
const (
	careColumns = 2
	careLeast   = 60.0 // mm
	carePad     = 5.0
	careSign    = 7.0
	careLead    = 4.1
	careSmall   = 3.5
	cutMark     = 4.0
)

// WriteCare prints cards of care, several on a sheet. Faults as of Write, and
// "paper-long" for a card that no sheet holds.
func WriteCare(w io.Writer, c ticket.CareCard, opt Options) error {
	p, err := newPage(c.Language, opt)
	if err != nil {
		return err
	}
	p.properties(p.v.Say("How to care for it"), c.Design, opt)
	width := p.sheetInner() / careColumns
	height := math.Max(careLeast, p.careCard(c, 0, 0, width, false)+carePad)
	rows := int((p.sheet.Ht - 2*margin) / height)
	if rows < 1 {
		return tooLong()
	}
	height = math.Min((p.sheet.Ht-2*margin)/float64(rows), height*1.12)
	copies := c.Copies
	if copies == 0 {
		copies = rows * careColumns
	}
	for i := range copies {
		on := i % (rows * careColumns)
		if on == 0 {
			p.newPage()
			p.cutMarks(width, height, careColumns, min(rows, (copies-i+careColumns-1)/careColumns))
		}
		p.careCard(c, margin+float64(on%careColumns)*width, margin+float64(on/careColumns)*height, width, true)
	}
	return p.writeTo(w)
}

// sheetInner is the width between the margins of the paper, before there is a page.
func (p *page) sheetInner() float64 { return p.sheet.Wd - 2*margin }

// cutMarks draws where to cut: short lines outside the block of cards, and crosses
// where cards meet.
func (p *page) cutMarks(width, height float64, columns, rows int) {
	p.draw(grey, 0.2)
	right, bottom := margin+width*float64(columns), margin+height*float64(rows)
	for i := range columns + 1 {
		x := margin + width*float64(i)
		p.f.Line(x, margin-cutMark-1, x, margin-1)
		p.f.Line(x, bottom+1, x, bottom+1+cutMark)
	}
	for j := range rows + 1 {
		y := margin + height*float64(j)
		p.f.Line(margin-cutMark-1, y, margin-1, y)
		p.f.Line(right+1, y, right+1+cutMark, y)
		for i := 1; i < columns && j > 0 && j < rows; i++ {
			x := margin + width*float64(i)
			p.f.Line(x-2, y, x+2, y)
			p.f.Line(x, y-2, x, y+2)
		}
	}
}

// careCard lays one card out at x, y and gives where it ends; it prints where show is set.
func (p *page) careCard(c ticket.CareCard, x, y, width float64, show bool) float64 {
	x, width = x+carePad, width-2*carePad
	y += carePad
	say := func(heavy bool, size float64, ink colour, step float64, text string) {
		p.style(heavy, size, ink)
		for _, l := range p.wrapped(text, width) {
			y += step
			if show {
				p.text(x, y, l)
			}
		}
	}
	say(true, 13, ink, 4.8, p.v.Say("How to care for it"))
	if about := joined(" · ", c.Design, c.Made); about != "" {
		say(false, 8.5, grey, 4.2, about)
	}
	y += 3
	for _, line := range c.Care {
		p.style(false, 9.5, ink)
		lines := p.wrapped(line.Text, width-careSign-3)
		high := math.Max(careSign+1.2, careLead*float64(len(lines))+1.6)
		if show {
			p.sign(line.Sign, x, y, careSign)
			p.style(false, 9.5, ink)
			p.lines(x+careSign+3, y+(high-1.2-careLead*float64(len(lines)))/2+3.2, lines, careLead)
		}
		y += high
	}
	y += 1.5
	for _, w := range c.Cautions {
		p.style(false, 8, ink)
		lines := p.wrapped(w.Text, width-3)
		high := 4.6 + careSmall*float64(len(lines))
		if show {
			p.fill(alarm)
			p.f.Rect(x, y, 0.9, high-1, "F")
			p.style(true, 8, alarm)
			p.text(x+3, y+2.8, w.Title)
			p.style(false, 8, ink)
			p.lines(x+3, y+6.3, lines, careSmall)
		}
		y += high + 0.6
	}
	y += 0.6
	say(false, 7.5, grey, careSmall, p.v.Say("The maker's label of the garment overrules this card. Check the rules where you sell or give it to children."))
	if who := joined(" · ", append(append([]string{c.Shop.Name}, c.Shop.Lines...), c.Code)...); who != "" {
		y += 0.8
		say(true, 7.5, ink, careSmall, who)
	}
	return y
}

// joined puts words together, leaving out empty ones.
func joined(between string, words ...string) string {
	var out []string
	for _, w := range words {
		if w != "" {
			out = append(out, w)
		}
	}
	return strings.Join(out, between)
}
