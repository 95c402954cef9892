package pdf

import (
	"slices"

	"brushfall/internal/ticket"
	"brushfall/internal/wording"
)

const (
	stepTitle = 10.0 // where the titles begin, from the margin
	stepText  = 44.0 // where the texts begin
)

// stepSizes are the sizes of the steps' texts in points, the usual one first.
func stepSizes() []float64 { return []float64{10, 9.5, 9, 8.5} }

// stepLeading is from line to line, in mm.
func (p *page) stepLeading() float64 { return 0.415 * p.stepSize }

// fitSteps chooses the largest size at which the work, the pressing table and the
// cautions go on one page; the usual one where none does.
func (p *page) fitSteps(t ticket.Ticket) {
	room := p.height - foot - margin - p.pressTable(t.Press) - p.cautionBlock(t.Cautions)
	for _, size := range stepSizes() {
		p.stepSize = size
		if p.stepsHeight(t) <= room {
			return
		}
	}
	p.stepSize = stepSizes()[0]
}

// stepsHeight gives the height of steps.
func (p *page) stepsHeight(t ticket.Ticket) float64 {
	height := 9 + p.trayHeight(t) + 3 + gutter/2
	for _, s := range t.Steps {
		height += p.stepHeight(s)
	}
	return height
}

// mostBlank is the share of a page that may stay empty before the steps; where more
// would, they begin on it and go on over the next.
const mostBlank = 0.27

// steps prints the work as drawings and a numbered list with tick boxes.
func (p *page) steps(t ticket.Ticket) {
	if len(t.Steps) == 0 {
		return
	}
	if p.stepsHeight(t) > p.left() && p.left() < mostBlank*p.height {
		p.newPage()
	}
	p.heading(p.v.Say("Making the transfer"), p.v.Say("for the next piece start again at the tray"))
	p.trayStrip(t)
	p.y++
	for i, s := range t.Steps {
		p.need(p.stepHeight(s))
		p.step(i+1, s)
	}
	p.y += gutter / 2
}

func (p *page) stepLines(s ticket.Step) (title, text []string) {
	p.style(true, p.stepSize+1, ink)
	title = p.wrapped(s.Title, stepText-stepTitle-2)
	p.style(false, p.stepSize, ink)
	return title, p.wrapped(s.Text, p.inner()-stepText-7)
}

func (p *page) stepHeight(s ticket.Step) float64 {
	title, text := p.stepLines(s)
	return p.stepLeading()*float64(max(2, len(title), len(text))) + 1.5
}

func (p *page) step(number int, s ticket.Step) {
	title, text := p.stepLines(s)
	p.fill(accent)
	p.f.Circle(margin+3.2, p.y+2.6, 3.2, "F")
	p.style(true, 9.5, white)
	p.textMiddle(margin+3.2, p.y+3.8, itoa(number))
	p.style(true, p.stepSize+1, ink)
	p.lines(margin+stepTitle, p.y+3.9, title, p.stepLeading())
	p.style(false, p.stepSize, ink)
	p.lines(margin+stepText, p.y+3.9, text, p.stepLeading())
	p.tick(p.width-margin-4.6, p.y+0.4, 4.6)
	p.y += p.stepHeight(s)
}

// The columns of the pressing table, as shares of its width.
var pressShares = []float64{0.19, 0.235, 0.085, 0.09, 0.26, 0.14}

const (
	pressLeading = 4.3
	pressNote    = 4.4
)

// pressTable gives the height of press.
func (p *page) pressTable(t ticket.Press) float64 {
	height := 8.0 + 4.8 + 5.2
	for _, r := range shownRows(t) {
		height += p.pressHeight(r)
	}
	p.style(true, 10, ink)
	height += pressNote * float64(len(p.wrapped(t.Rule, p.inner())))
	p.style(false, 10, ink)
	return height + pressNote*float64(len(p.wrapped(t.Good, p.inner())))
}

// shownRows gives the rows of the job's material and of what is never pressed; all of
// them where the material is open.
func shownRows(t ticket.Press) []ticket.PressRow {
	if t.Material == ticket.Any {
		return t.Rows
	}
	return slices.DeleteFunc(slices.Clone(t.Rows), func(r ticket.PressRow) bool { return !r.Chosen && !r.Never })
}

// press prints the pressing table, its rule and how a good press is told.
func (p *page) press(t ticket.Press) {
	if len(t.Rows) == 0 {
		return
	}
	p.need(p.pressTable(t))
	p.heading(p.v.Say("Pressing"), p.v.Say("ranges to start from, and where they come from"))
	p.style(false, 8, grey)
	x := margin + 2.5
	for i, title := range []wording.Key{"Onto", "Heat", "Time", "Pressure", "Then", "Source"} {
		p.text(x, p.y+3, p.v.Say(title))
		x += pressShares[i] * (p.inner() - 5)
	}
	p.y += 4.8
	p.rule(margin, p.y, p.inner(), grey)
	for _, r := range shownRows(t) {
		p.pressRow(r)
	}
	p.style(true, 10, ink)
	y := p.lines(margin, p.y+5.2, p.wrapped(t.Rule, p.inner()), pressNote)
	p.style(false, 10, ink)
	y = p.lines(margin, y, p.wrapped(t.Good, p.inner()), pressNote)
	p.y = y - 0.6
}

// cells gives the wrapped cells of a row; a material that is not pressed says
// so across heat, time and pressure.
func (p *page) cells(r ticket.PressRow) [][]string {
	free := p.inner() - 5
	var out [][]string
	for i, s := range []string{r.Name, r.Heat, r.Time, r.Pressure, r.Then, r.Source} {
		p.style(stands(r, i), pressSize(i), ink)
		out = append(out, p.wrapped(s, pressShares[i]*free-2))
	}
	return out
}

// pressSize is the size of a column's text: where figures come from is told smaller.
func pressSize(column int) float64 {
	if column == 5 {
		return 8
	}
	return 9.5
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
	return pressLeading*float64(most) + 2.6
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
		p.style(stands(r, i), pressSize(i), ink)
		if i == 1 && r.Never {
			p.style(true, 9.5, alarm)
		}
		p.lines(x, p.y+4.8, lines, pressLeading)
		x += pressShares[i] * (p.inner() - 5)
	}
	p.y += height
	p.rule(margin, p.y, p.inner(), faint)
}
