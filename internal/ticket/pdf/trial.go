package pdf

import (
	"cmp"
	"io"
	"math"
	"slices"
	"strings"

	"codeberg.org/go-pdf/fpdf"

	"brushfall/internal/ticket"
	"brushfall/internal/wording"
)

// trialBrushings is how often the plate is brushed: a column of boxes each.
const trialBrushings = 3

const trialRow = 6.8

// WriteTrial prints the paper of a plate of trial holes. Faults as of Write, none
// of a picture.
func WriteTrial(w io.Writer, t ticket.Trial, opt Options) error {
	p, err := newPage(t.Language, opt)
	if err != nil {
		return err
	}
	p.properties(t.Title, p.v.Say("Trial holes"), opt)
	p.running(t.Title, t.Made)
	p.newPage()
	p.style(true, 8.5, accent)
	p.text(margin, p.y+3, strings.ToUpper(p.v.Say("Trial holes")))
	p.shrunk(true, 26, 17, ink, t.Title, p.inner())
	p.text(margin, p.y+14, t.Title)
	p.style(false, 12, grey)
	p.text(margin, p.y+20.5, p.cropped(p.v.Say("%s – plate %s", t.Made, t.Plate.Size), p.inner()))
	p.y += 20.5 + gutter
	p.trialPlate(t)
	p.trialSteps(t)
	p.trialTable(t)
	p.trialEnd(t)
	return p.writeTo(w)
}

// trialPlate draws the plate as wide as the page, but not higher than a quarter
// of it.
func (p *page) trialPlate(t ticket.Trial) {
	pl := t.Plate
	fw, fh := pl.Frame[2]-pl.Frame[0], pl.Frame[3]-pl.Frame[1]
	k := math.Min(math.Min(p.inner()/fw, p.height/4/fh), 1)
	x, y := margin+(p.inner()-fw*k)/2, p.y
	at := func(px, py float64) fpdf.PointType {
		return fpdf.PointType{X: x + (px-pl.Frame[0])*k, Y: y + (py-pl.Frame[1])*k}
	}
	tip := at(pl.Notch[0], pl.Notch[1])
	half := (tip.Y - y) * 2 / 3
	p.fill(flock)
	p.f.Polygon([]fpdf.PointType{
		{X: x, Y: y},
		{X: tip.X - half, Y: y},
		tip,
		{X: tip.X + half, Y: y},
		{X: x + fw*k, Y: y},
		{X: x + fw*k, Y: y + fh*k},
		{X: x, Y: y + fh*k},
	}, "F")
	p.dots(pl, at, k)
	p.draw(white, 0.35)
	for _, n := range pl.Nicks {
		a, b := at(n[0], n[1]), at(n[2], n[3])
		p.f.Line(a.X, a.Y, b.X, b.Y)
	}
	for _, stroke := range t.Numbers {
		for i := 1; i < len(stroke); i++ {
			a, b := at(stroke[i-1][0], stroke[i-1][1]), at(stroke[i][0], stroke[i][1])
			p.f.Line(a.X, a.Y, b.X, b.Y)
		}
	}
	p.y += fh*k + gutter
}

func (p *page) trialSteps(t ticket.Trial) {
	p.heading(p.v.Say("What to do"), "")
	p.y++
	for i, s := range t.Steps {
		p.style(false, 10, ink)
		lines := p.wrapped(s.Text, p.inner()-34)
		height := p.stepLeading()*math.Max(1.4, float64(len(lines))) + 1.6
		p.need(height)
		p.fill(accent)
		p.f.Circle(margin+3.2, p.y+2.6, 3, "F")
		p.style(true, 9, white)
		p.textMiddle(margin+3.2, p.y+3.7, itoa(i+1))
		p.style(true, 11, ink)
		p.text(margin+stepTitle, p.y+3.9, s.Title)
		p.style(false, 10, ink)
		p.lines(margin+34, p.y+3.9, lines, p.stepLeading())
		p.y += height
	}
	p.y += gutter - 3
}

// trialTable prints a line a group, with boxes for each brushing: every hole full,
// and none with two.
func (p *page) trialTable(t ticket.Trial) {
	p.need(15 + 3*trialRow)
	p.heading(p.v.Say("What happened"), p.v.Say("a tick in each box that is true"))
	step := (p.inner() - 66) / trialBrushings
	box := func(n int, second bool) float64 {
		x := margin + 66 + step*float64(n)
		if second {
			x += step / 2
		}
		return x
	}
	p.style(false, 8, grey)
	for i, title := range []wording.Key{"Group", "Hole", "Fit"} {
		p.text(margin+float64(i)*19, p.y+6.5, p.v.Say(title))
	}
	for n := range trialBrushings {
		p.style(true, 8.5, ink)
		p.text(box(n, false), p.y+2.6, p.v.Say("Brushing %d", n+1))
		p.style(false, 8, grey)
		p.text(box(n, false), p.y+6.5, p.v.Say("all full"))
		p.text(box(n, true), p.y+6.5, p.v.Say("none twice"))
	}
	p.y += 8.2
	p.rule(margin, p.y, p.inner(), grey)
	for _, g := range t.Groups {
		p.need(trialRow)
		if g.Now {
			p.fill(panel)
			p.f.Rect(margin, p.y, p.inner(), trialRow, "F")
		}
		p.style(true, 13, ink)
		p.text(margin+2, p.y+5.1, itoa(g.Number))
		p.style(false, 10.5, ink)
		p.text(margin+19, p.y+4.9, g.Hole)
		p.text(margin+38, p.y+4.9, g.Fit)
		if g.Now {
			p.style(false, 8, grey)
			p.text(margin+54, p.y+4.9, p.v.Say("now"))
		}
		for n := range trialBrushings {
			p.tick(box(n, false)+1, p.y+1.4, 4)
			p.tick(box(n, true)+1, p.y+1.4, 4)
		}
		p.y += trialRow
		p.rule(margin, p.y, p.inner(), faint)
	}
	p.y += gutter - 1
}

// trialEnd prints how the answer is entered, and what the trial can tell.
func (p *page) trialEnd(t ticket.Trial) {
	p.shrunk(true, 11, 9, ink, longest(t.Enter), p.inner()-8)
	pen := p.pen
	var enter []string
	for _, line := range t.Enter {
		enter = append(enter, p.wrapped(line, p.inner()-8)...)
	}
	height := 6.5 + 5.4*float64(len(enter))
	p.style(false, 9, grey)
	all := height + 10
	for _, n := range t.Notes {
		all += 4*float64(len(p.wrapped(n, p.inner()))) + 1
	}
	p.need(all)
	p.heading(p.v.Say("Enter the answer"), p.v.Say("the number of the narrowest group with every box ticked, in place of N"))
	p.box(margin, p.y, p.inner(), height-2, panel)
	p.style(pen.heavy, pen.size, pen.c)
	p.lines(margin+4, p.y+5.6, enter, 5.4)
	p.y += height + 2
	for _, n := range t.Notes {
		p.style(false, 9, grey)
		lines := p.wrapped(n, p.inner())
		p.lines(margin, p.y+3, lines, 4)
		p.y += 4*float64(len(lines)) + 1
	}
}

// longest gives the longest of the lines.
func longest(lines []string) string {
	return slices.MaxFunc(append([]string{""}, lines...), func(a, b string) int { return cmp.Compare(len(a), len(b)) })
}
