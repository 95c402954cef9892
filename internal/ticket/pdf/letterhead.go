package pdf

import (
	"math"
	"strings"

	"brushfall/internal/ticket"
	"brushfall/internal/wording"
)

// labelled is a short label with its value.
type labelled struct{ label, value string }

// sheetHead heads a paper of the shop: what it is, its title, a box with its number,
// who it is from and for, and what else is asked for first.
type sheetHead struct {
	kind     string
	number   string // with the kind at the foot of every page
	title    string // empty: the kind is the title
	boxLabel string
	box      string
	shop     ticket.Party
	customer *ticket.Party
	facts    []labelled
}

// begin starts a paper of the shop's: its properties, the foot of its pages and its head.
func begin(l wording.Language, h sheetHead, opt Options) (*page, error) {
	p, err := newPage(l, opt)
	if err != nil {
		return nil, err
	}
	name := joined(" ", h.kind, h.number)
	p.running(name, joined(" · ", h.title, h.shop.Name))
	if h.title != "" {
		name = h.kind + ": " + h.title
	}
	p.properties(name, h.shop.Name, opt)
	p.newPage()
	p.sheetHead(h)
	return p, nil
}

func (p *page) sheetHead(h sheetHead) {
	const boxWidth = 46.0
	width := p.inner()
	if h.box != "" {
		width -= boxWidth + gutter
	}
	title, top := h.kind, p.y-1.5
	if h.title != "" {
		p.style(true, 8.5, accent)
		p.text(margin, p.y+3, p.cropped(strings.ToUpper(h.kind), width))
		title, top = h.title, p.y+5
	}
	size := p.shrunk(true, 26, 15, ink, title, width)
	step := size * 0.42
	bottom := p.lines(margin, top+step, p.wrapped(title, width), step) - step
	if h.box != "" {
		x := p.width - margin - boxWidth
		p.box(x, p.y, boxWidth, 17, panel)
		p.style(false, 8, grey)
		p.text(x+4, p.y+5.8, p.cropped(h.boxLabel, boxWidth-8))
		p.shrunk(true, 17, 8, ink, h.box, boxWidth-8)
		p.text(x+4, p.y+13.2, p.cropped(h.box, boxWidth-8))
		bottom = math.Max(bottom, p.y+17)
	}
	p.y = bottom + gutter
	p.parties(h)
}

// parties prints who a paper is from and for, and its facts, side by side.
func (p *page) parties(h sheetHead) {
	columns := 1.0
	if h.customer != nil {
		columns++
	}
	if len(h.facts) > 0 {
		columns++
	}
	width := (p.inner() - gutter*(columns-1)) / columns
	x, bottom := margin, p.y
	if h.shop.Name != "" || len(h.shop.Lines) > 0 {
		bottom = math.Max(bottom, p.party(p.v.Say("From"), h.shop, x, width))
		x += width + gutter
	}
	if h.customer != nil {
		bottom = math.Max(bottom, p.party(p.v.Say("For"), *h.customer, x, width))
		x += width + gutter
	}
	if len(h.facts) > 0 {
		y := p.y
		for _, f := range h.facts {
			y = p.labelled(f, x, y, p.width-margin-x)
		}
		bottom = math.Max(bottom, y)
	}
	p.y = bottom + gutter/2
}

// labelled prints a label with its value below it, or a line to fill in where it has
// none, and gives where the next begins.
func (p *page) labelled(f labelled, x, y, width float64) float64 {
	p.style(false, 8, grey)
	p.text(x, y+3, p.cropped(f.label, width))
	if f.value == "" {
		p.rule(x, y+9.4, math.Min(width, 50), grey)
		return y + 11.5
	}
	p.style(false, 10, ink)
	return p.lines(x, y+7.6, p.wrapped(f.value, width), 4.4) - 0.9
}

func (p *page) party(label string, who ticket.Party, x, width float64) float64 {
	p.style(false, 8, grey)
	p.text(x, p.y+3, label)
	if who.Name == "" && len(who.Lines) == 0 {
		p.rule(x, p.y+10, width, grey)
		p.rule(x, p.y+17, width, grey)
		return p.y + 19
	}
	p.style(true, 11, ink)
	y := p.lines(x, p.y+8, p.wrapped(who.Name, width), 4.9)
	p.style(false, 9.5, ink)
	for _, l := range who.Lines {
		y = p.lines(x, y, p.wrapped(l, width), 4.3)
	}
	return y
}

// notes prints paragraphs, going on over pages.
func (p *page) notes(heading string, list []string) {
	if len(list) == 0 {
		return
	}
	p.need(8 + 2*4.5)
	p.heading(heading, "")
	for _, n := range list {
		p.paragraph(n, 10, ink, 4.5)
		p.y += 1.5
	}
	p.y += gutter / 2
}

// paragraph prints a wrapped text over the width of the page, and over pages.
func (p *page) paragraph(text string, size float64, c colour, leading float64) {
	p.style(false, size, c)
	for _, l := range p.wrapped(text, p.inner()) {
		p.need(leading)
		p.style(false, size, c)
		p.text(margin, p.y+3.4, l)
		p.y += leading
	}
}

// smallPrint prints the warnings in small letters, for papers on which they are not
// what is read first: a little smaller still where that keeps them on the page.
func (p *page) smallPrint(list []ticket.Caution) {
	size := 8.5
	for _, s := range []float64{8.5, 8, 7.5} {
		if p.smallHeight(list, s) <= p.left() {
			size = s
			break
		}
	}
	p.need(p.smallHeight(list, size))
	top := p.y
	p.y += 2
	for _, c := range list {
		p.style(true, size, alarm)
		p.text(margin+3.5, p.y+2.6, c.Title+":")
		indent := p.widthOf(c.Title + ": ")
		lines := p.indented(c, size)
		p.style(false, size, ink)
		for i, l := range lines {
			x := margin + 3.5
			if i == 0 {
				x += indent
			}
			p.text(x, p.y+2.6, l)
			p.y += smallStep(size)
		}
		p.y += 0.8
	}
	p.fill(alarm)
	p.f.Rect(margin, top+1.6, 1, p.y-top-2, "F")
	p.y += gutter / 2
}

func smallStep(size float64) float64 { return 0.445 * size }

func (p *page) smallHeight(list []ticket.Caution, size float64) float64 {
	height := 2.0
	for _, c := range list {
		height += smallStep(size)*float64(len(p.indented(c, size))) + 0.8
	}
	return height
}

// indented wraps a warning whose first line begins after its title.
func (p *page) indented(c ticket.Caution, size float64) []string {
	p.style(true, size, alarm)
	indent := p.widthOf(c.Title + ": ")
	p.style(false, size, ink)
	width := p.inner() - 3.5
	first := p.wrapped(c.Text, width-indent)
	if len(first) < 2 {
		return first
	}
	rest := strings.TrimSpace(strings.TrimPrefix(strings.Join(strings.Fields(c.Text), " "), first[0]))
	return append(first[:1], p.wrapped(rest, width)...)
}

// signature prints a question with lines for an answer by hand: a box to tick, who,
// when.
func (p *page) signature(yes string, labels []string) {
	const height = 27.0
	p.need(height + 2)
	p.box(margin, p.y, p.inner(), height, panel)
	p.tick(margin+5, p.y+4.6, 6)
	p.shrunk(true, 14, 9, ink, yes, p.inner()-20)
	p.text(margin+14.5, p.y+9.4, yes)
	x, gap := margin+5, 5.0
	width := (p.inner() - 10 - gap*float64(len(labels)-1)) / float64(len(labels))
	for _, l := range labels {
		p.rule(x, p.y+20.5, width, grey)
		p.style(false, 8, grey)
		p.text(x, p.y+24, p.cropped(l, width))
		x += width + gap
	}
	p.y += height + gutter
}
