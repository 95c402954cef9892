package pdf

import (
	"math"

	"brushfall/internal/ticket"
)

const (
	stepLeading = 4.5
	stepTitle   = 10.0 // where the titles begin, from the margin
	stepText    = 47.0 // where the texts begin
)

// steps prints the work as a numbered list with tick boxes.
func (p *page) steps(t ticket.Ticket) {
	p.heading("Making the transfer", "for the next piece start again at the tray")
	p.y++
	for i, s := range t.Steps {
		p.style(false, 10, ink)
		lines := p.wrapped(s.Text, p.inner()-stepText-9)
		height := stepLeading*math.Max(2, float64(len(lines))) + 2.1
		p.need(height)
		p.fill(accent)
		p.f.Circle(margin+3.2, p.y+2.6, 3.2, "F")
		p.style(true, 9.5, white)
		p.textMiddle(margin+3.2, p.y+3.8, itoa(i+1))
		p.style(true, 11, ink)
		p.text(margin+stepTitle, p.y+3.9, s.Title)
		p.style(false, 10, ink)
		p.lines(margin+stepText, p.y+3.9, lines, stepLeading)
		p.tick(p.width-margin-4.6, p.y+0.4, 4.6)
		p.y += height
	}
	p.y += gutter - 2
}

// The columns of the pressing table, as shares of its width.
var pressShares = []float64{0.19, 0.24, 0.11, 0.11, 0.35}

const (
	pressLeading = 4.3
	pressNote    = 4.6
)

// pressTable gives the height of press.
func (p *page) pressTable(t ticket.Press) float64 {
	height := 8.0 + 4.8 + 5.6
	for _, r := range t.Rows {
		height += p.pressHeight(r)
	}
	p.style(true, 10, ink)
	height += pressNote * float64(len(p.wrapped(t.Rule, p.inner())))
	p.style(false, 10, ink)
	return height + pressNote*float64(len(p.wrapped(t.Good, p.inner())))
}

// press prints the pressing table, its rule and how a good press is told.
func (p *page) press(t ticket.Press) {
	if len(t.Rows) == 0 {
		return
	}
	p.need(p.pressTable(t))
	p.heading("Pressing", "")
	p.style(false, 8, grey)
	x := margin + 2.5
	for i, title := range []string{"Onto", "Heat", "Time", "Pressure", "Then"} {
		p.text(x, p.y+3, title)
		x += pressShares[i] * (p.inner() - 5)
	}
	p.y += 4.8
	p.rule(margin, p.y, p.inner(), grey)
	for _, r := range t.Rows {
		p.pressRow(r)
	}
	p.style(true, 10, ink)
	y := p.lines(margin, p.y+5.6, p.wrapped(t.Rule, p.inner()), pressNote)
	p.style(false, 10, ink)
	y = p.lines(margin, y, p.wrapped(t.Good, p.inner()), pressNote)
	p.y = y + 1
}

// cells gives the wrapped cells of a row; a material that is not pressed says
// so across heat, time and pressure.
func (p *page) cells(r ticket.PressRow) [][]string {
	free := p.inner() - 5
	var out [][]string
	for i, s := range []string{r.Name, r.Heat, r.Time, r.Pressure, r.Then} {
		p.style(stands(r, i), 9.5, ink)
		out = append(out, p.wrapped(s, pressShares[i]*free-2.5))
	}
	return out
}

// stands says whether a cell is printed heavy: the name, and the heat where it
// is the one to mind.
func stands(r ticket.PressRow, column int) bool {
	return column == 0 || column == 1 && (r.Never || r.Chosen)
}

func (p *page) pressHeight(r ticket.PressRow) float64 {
	most := 0
	for _, c := range p.cells(r) {
		most = max(most, len(c))
	}
	return pressLeading*float64(most) + 3.0
}

func (p *page) pressRow(r ticket.PressRow) {
	height := p.pressHeight(r)
	if r.Chosen {
		p.fill(panel)
		p.f.Rect(margin, p.y, p.inner(), height, "F")
		p.fill(accent)
		p.f.Rect(margin, p.y, 1.2, height, "F")
	}
	x := margin + 2.5
	for i, lines := range p.cells(r) {
		p.style(stands(r, i), 9.5, ink)
		if i == 1 && r.Never {
			p.style(true, 9.5, alarm)
		}
		p.lines(x, p.y+4.8, lines, pressLeading)
		x += pressShares[i] * (p.inner() - 5)
	}
	p.y += height
	p.rule(margin, p.y, p.inner(), faint)
}
