package pdf

import (
	"math"

	"codeberg.org/go-pdf/fpdf"

	"brushfall/internal/ticket"
	"brushfall/internal/wording"
)

// density is how closely the first page is set, in mm.
type density struct {
	picture float64 // by how much the picture is less high than it may be
	total   float64 // points of the number of stones
	row     float64 // the height of a kind in the counts
	gap     float64 // by how much blocks are closer to each other
}

// densities are the usual one first, and closer and closer.
func densities() []density {
	return []density{{0, 50, 8.6, 0}, {0, 50, 7.8, 0}, {0, 44, 7.2, 1}, {0, 38, 7, 2}, {0, 36, 6.8, 2.8}, {12, 36, 7, 2}, {20, 36, 6.8, 2.8}}
}

// fitFirst chooses the widest setting at which the picture, the counts and all plates
// go on the page that is begun; the usual one where none does.
func (p *page) fitFirst(t ticket.Ticket, ratio float64) {
	for _, d := range densities() {
		p.set = d
		if p.planOverview(t, ratio).height+p.countsHeight(t)+p.platesHeight(t) <= p.left() {
			return
		}
	}
	p.set = densities()[0]
}

// overview is where the picture, the figures and the facts stand, in mm from the top of
// their block. The facts that are not beside the picture are below it.
type overview struct {
	w, picture    float64 // the picture's width, and where it ends
	s             scale
	said          bool    // whether the picture has a scale to tell
	x, width      float64 // of what is beside the picture
	under         float64 // the width of what is below it
	facts, bottom float64 // where the facts begin, beside the picture and below it
	beside        int     // how many facts are beside it
	height        float64
}

// planOverview lays the overview out.
func (p *page) planOverview(t ticket.Ticket, ratio float64) overview {
	const most = 112.0
	o := overview{x: margin, beside: len(t.Facts)}
	if ratio > 0 {
		o.w = math.Min(most, (highestPicture(p.height)-p.set.picture)*ratio)
		o.s, o.said = pictureScale(o.w, t.Across)
		if o.said {
			o.w = t.Across * o.s.of()
		}
		o.under = math.Max(o.w, leastPictureRoom)
		o.x, o.picture = margin+o.under+8, o.w/ratio
		o.bottom = o.picture + 2
		if o.said {
			o.bottom += p.pictureBarHeight(o.s, o.w)
		}
	}
	o.width = p.width - margin - o.x
	o.facts = p.figuresHeight(t, o.width)
	least := math.Inf(1)
	for n := len(t.Facts); n >= 0; n-- {
		right, left := o.facts+p.factsHeight(t.Facts[:n], o.width), o.bottom
		if n < len(t.Facts) {
			if ratio == 0 {
				break
			}
			left += p.factsHeight(t.Facts[n:], o.under)
		}
		if ends := math.Max(right, left); ends < least-factSlack {
			o.beside, least = n, ends
		}
	}
	o.height = least + gutter - p.set.gap
	return o
}

// overview prints the picture and, beside it, the figures that one asks for first.
func (p *page) overview(t ticket.Ticket, ratio float64) {
	o := p.planOverview(t, ratio)
	top := p.y
	if ratio > 0 {
		p.f.ClipRoundedRect(margin, top, o.w, o.picture, 2, false)
		p.f.ImageOptions(pictureName, margin, top, o.w, o.picture, false, fpdf.ImageOptions{ImageType: "JPG"}, 0, "")
		p.f.ClipEnd()
		if o.said {
			p.pictureBar(o.s, top+o.picture, o.w)
		}
	}
	p.figures(t, o.x, top, o.width)
	p.facts(t.Facts[:o.beside], o.x, top+o.facts, o.width)
	p.facts(t.Facts[o.beside:], margin, top+o.bottom, o.under)
	p.y = top + o.height
}

// factSlack is by how much a page must get shorter for another fact to go below the
// picture, in mm.
const factSlack = 1.0

// factGap is between two facts beside each other, in mm.
const factGap = 4.0

// factRows puts two short facts that follow each other into one row, the second of all
// rows beginning at the same place, at: the one that leaves the fewest rows.
func (p *page) factRows(facts []ticket.Fact, width float64) (rows [][]ticket.Fact, at float64) {
	for _, share := range []float64{0.5, 0.42, 0.58, 0.36, 0.64} {
		split := share * width
		var list [][]ticket.Fact
		for i := 0; i < len(facts); i++ {
			n := 1
			if i+1 < len(facts) && p.factWidth(facts[i]) <= split-factGap && p.factWidth(facts[i+1]) <= width-split {
				n = 2
			}
			list = append(list, facts[i:i+n])
			i += n - 1
		}
		if rows == nil || len(list) < len(rows) {
			rows, at = list, split
		}
	}
	return rows, at
}

// factWidth gives the width of a fact whose label and value are a line each.
func (p *page) factWidth(f ticket.Fact) float64 {
	p.style(false, 8, grey)
	label := p.widthOf(f.Label)
	p.style(false, 10, ink)
	return math.Max(label, p.widthOf(f.Value))
}

// facts prints facts one below the other, short ones beside each other.
func (p *page) facts(list []ticket.Fact, x, y, width float64) {
	rows, at := p.factRows(list, width)
	for _, row := range rows {
		if len(row) == 2 {
			p.fact(row[1], x+at, y, width-at)
		}
		y = p.fact(row[0], x, y, width)
	}
}

// factsHeight gives the height of facts.
func (p *page) factsHeight(list []ticket.Fact, width float64) float64 {
	rows, _ := p.factRows(list, width)
	height := 0.0
	for _, row := range rows {
		height += p.factHeight(row[0], width)
	}
	return height
}

// The leading of a fact's label and of its value, in mm.
const (
	factLabel = 3.4
	factValue = 4.4
)

// fact prints a label with its value below it, both wrapped, and gives where the next
// begins.
func (p *page) fact(f ticket.Fact, x, y, width float64) float64 {
	p.style(false, 8, grey)
	y = p.lines(x, y+3, p.wrapped(f.Label, width), factLabel)
	p.style(false, 10, ink)
	return p.lines(x, y+factValue-factLabel+0.2, p.wrapped(f.Value, width), factValue) - 0.4
}

// factHeight gives the height of fact.
func (p *page) factHeight(f ticket.Fact, width float64) float64 {
	p.style(false, 8, grey)
	labels := len(p.wrapped(f.Label, width))
	p.style(false, 10, ink)
	return 3 + factLabel*float64(labels-1) + factValue*float64(1+len(p.wrapped(f.Value, width))) - 0.2
}

// highestPicture is how high a picture may be beside the figures of a page so high, in mm.
func highestPicture(page float64) float64 { return 88 - (a4Height - page) }

// figuresHeight gives the height of figures.
func (p *page) figuresHeight(t ticket.Ticket, width float64) float64 {
	return p.shrunk(true, p.set.total, 24, ink, p.v.Whole(t.Stones), width)*0.27 + 30
}

// figures prints the number of stones, large, and the numbers of plates, lifts
// and sheets.
func (p *page) figures(t ticket.Ticket, x, y, width float64) {
	total := p.v.Whole(t.Stones)
	size := p.shrunk(true, p.set.total, 24, ink, total, width)
	p.text(x, y+size*0.27, total)
	y += size*0.27 + 8
	p.style(false, 12, grey)
	p.text(x, y, p.v.Say("stones"))
	y += 5
	step := width / 3
	for i, c := range []struct {
		n    int
		word wording.Key
	}{{len(t.Plates), "plates of %d"}, {t.Lifts, "lifts of %d"}, {len(t.Sheets), "flock sheets of %d"}} {
		at := x + float64(i)*step
		p.style(true, 20, accent)
		p.text(at, y+7.5, p.v.Whole(c.n))
		p.style(false, 8.5, grey)
		p.text(at, y+12, p.v.Say(c.word, c.n))
	}
}
