package pdf

import (
	"math"
	"slices"
	"strings"

	"codeberg.org/go-pdf/fpdf"

	"brushfall/internal/ticket"
)

// The cards of the plates: two beside each other.
const (
	cardGap   = 5.0
	cardPad   = 3.5
	thumbSide = 40.0
	brushLine = 9.2
)

// plates prints a card for each plate: how its template looks, and what is
// brushed into it in which order.
func (p *page) plates(t ticket.Ticket) {
	if len(t.Plates) == 0 {
		return
	}
	width := (p.inner() - cardGap) / 2
	p.need(8 + p.cardsHeight(t.Plates[:min(2, len(t.Plates))]))
	beside := p.v.Say("seen from above; in each plate the largest stones first")
	if len(t.Plates) > 1 {
		beside += "; " + p.v.Say("same frame, notch on notch")
	}
	p.heading(p.v.Say("Plates"), beside)
	for row := range slices.Chunk(t.Plates, 2) {
		height := p.cardsHeight(row)
		p.need(height)
		for j, pl := range row {
			p.card(pl, margin+float64(j)*(width+cardGap), width, height)
		}
		p.y += height + cardGap
	}
	p.y += gutter - cardGap
}

// platesHeight gives the height of plates up to the last card's lower edge.
func (p *page) platesHeight(t ticket.Ticket) float64 {
	if len(t.Plates) == 0 {
		return 0
	}
	height := 8 - cardGap
	for row := range slices.Chunk(t.Plates, 2) {
		height += p.cardsHeight(row) + cardGap
	}
	return height
}

// cardsHeight gives the height of cards beside each other.
func (p *page) cardsHeight(row []ticket.Plate) float64 {
	height := 0.0
	for _, pl := range row {
		height = math.Max(height, p.cardHeight(pl))
	}
	return height
}

func (p *page) cardHeight(pl ticket.Plate) float64 {
	list := 22.5 + brushLine*float64(len(pl.Brush))
	return math.Max(thumbSide, list) + 2*cardPad
}

func (p *page) card(pl ticket.Plate, x, width, height float64) {
	p.box(x, p.y, width, height, panel)
	w, _ := p.thumb(pl, x+cardPad, p.y+cardPad, thumbSide)
	tx := x + cardPad + w + 4
	right := x + width - cardPad
	p.style(true, 15, ink)
	p.text(tx, p.y+cardPad+5, p.v.Say("Plate %d", pl.Number))
	p.style(false, 8.5, grey)
	p.text(tx, p.y+cardPad+9.6, p.cropped(p.plateWords(pl), right-tx))
	p.text(tx, p.y+cardPad+13.6, p.cropped(pl.Size, right-tx))
	y := p.y + cardPad + 17.5
	for i, b := range pl.Brush {
		p.brushEntry(i+1, b, tx, y, right)
		y += brushLine
	}
	p.plateTicks([]string{p.v.Say("cut"), p.v.Say("weeded")}, tx, p.y+height-cardPad-3.6, right-tx)
}

// plateTicks prints boxes to tick, smaller where their words are long.
func (p *page) plateTicks(words []string, x, y, width float64) {
	const side, gap = 3.6, 3.5
	room := width - gap*float64(len(words)-1) - float64(len(words))*(side+1.2)
	p.shrunk(false, 8.5, 5.5, grey, strings.Join(words, ""), room)
	for _, word := range words {
		p.tick(x, y, side)
		p.text(x+side+1.2, y+2.9, word)
		x += side + 1.2 + p.widthOf(word) + gap
	}
}

func (p *page) plateWords(pl ticket.Plate) string {
	s := p.v.Say("%d nicks", len(pl.Nicks))
	if pl.Sheet > 0 {
		s += ", " + p.v.Say("flock sheet %d", pl.Sheet)
	}
	return s
}

// brushEntry prints "1 ● SS10  240 □" and, below, the colour and what the stones weigh.
func (p *page) brushEntry(order int, b ticket.Brush, x, y, right float64) {
	base := y + 3.6
	p.style(true, 9.5, accent)
	p.text(x, base, itoa(order))
	p.stone(x+6.2, y+3.6, 2.2, b.Swatch)
	p.tick(right-3.6, y+0.5, 3.6)
	p.style(true, 10, ink)
	p.text(x+10.2, base, b.Size)
	p.textRight(right-5.6, base, p.v.Whole(b.Pieces))
	room := right - x - 10.2
	if b.Grams > 0 {
		p.style(false, 8, grey)
		weight := p.v.Say("%s g", p.v.Fixed(b.Grams, 1))
		p.textRight(right-5.6, base+3.9, weight)
		room -= p.widthOf(weight) + 7
	}
	p.shrunk(false, 9, 6, ink, b.Colour, room)
	p.text(x+10.2, base+3.9, p.cropped(b.Colour, room))
}

// The least size of the marks on a thumbnail, in mm of paper: at true scale
// nobody would see them.
const (
	markDepth = 2.0
	markStep  = 1.5
)

// thumb draws the plate into a square of the side and gives its true sides.
func (p *page) thumb(pl ticket.Plate, x, y, side float64) (w, h float64) {
	fw, fh := pl.Frame[2]-pl.Frame[0], pl.Frame[3]-pl.Frame[1]
	k := side / math.Max(fw, fh)
	w, h = fw*k, fh*k
	at := func(px, py float64) fpdf.PointType {
		return fpdf.PointType{X: x + (px-pl.Frame[0])*k, Y: y + (py-pl.Frame[1])*k}
	}
	tip := at(pl.Notch[0], pl.Notch[1])
	depth := math.Max(tip.Y-y, math.Min(markDepth, h/3))
	half := depth * 0.75
	p.fill(flock)
	p.f.Polygon([]fpdf.PointType{
		{X: x, Y: y},
		{X: tip.X - half, Y: y},
		{X: tip.X, Y: y + depth},
		{X: tip.X + half, Y: y},
		{X: x + w, Y: y},
		{X: x + w, Y: y + h},
		{X: x, Y: y + h},
	}, "F")
	p.dots(pl, at, k)
	p.draw(white, 0.5)
	step := nickStep(x+w-tip.X-half, len(pl.Nicks))
	for i := range pl.Nicks {
		nx := tip.X + half + step*float64(i+1)
		p.f.Line(nx, y+0.5, nx, y+0.5+depth)
	}
	return w, h
}

// nickStep gives the step between n nicks, in mm of paper, on a top edge with
// the room (mm) right of its notch: closer than markStep where they would run
// over its end.
func nickStep(room float64, n int) float64 {
	return math.Max(0, math.Min(markStep, room/float64(n+1)))
}

// dots draws the holes as round ends of lines without length, far shorter in
// the file than circles.
func (p *page) dots(pl ticket.Plate, at func(x, y float64) fpdf.PointType, k float64) {
	p.f.SetLineCapStyle("round")
	for _, hole := range pl.Holes {
		p.draw(onFlock(hole.Swatch), hole.D*k)
		o := at(hole.X, hole.Y)
		p.f.Line(o.X, o.Y, o.X, o.Y)
	}
	p.f.SetLineCapStyle("butt")
}

// onFlock gives the swatch's colour, lightened where it would drown in the flock.
func onFlock(s ticket.Swatch) colour {
	c := rgb(s.Hex)
	for range 4 {
		if 2*c[0]+5*c[1]+c[2] > 8*120 { // rough luma, 0 to 255
			break
		}
		c = c.toward(white, 0.2)
	}
	return c
}
