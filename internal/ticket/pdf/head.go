package pdf

import (
	"math"
	"strings"

	"codeberg.org/go-pdf/fpdf"

	"brushfall/internal/ticket"
	"brushfall/internal/wording"
)

// head prints the design's name, its size and its code.
func (p *page) head(t ticket.Ticket) {
	const codeWidth = 44.0
	width := p.inner() - codeWidth - gutter
	p.style(true, 8.5, accent)
	p.text(margin, p.y+3, strings.ToUpper(p.v.Say("Transfer ticket")))
	size := p.shrunk(true, 30, 17, ink, t.Design, width)
	lines := p.wrapped(t.Design, width)
	leading := size * 0.40
	p.lines(margin, p.y+5+leading, lines, leading)
	bottom := p.y + 5 + leading*float64(len(lines))

	x := p.width - margin - codeWidth
	p.box(x, p.y, codeWidth, 17, panel)
	p.style(false, 8, grey)
	p.text(x+4, p.y+5.8, p.v.Say("Template"))
	p.style(true, 17, ink)
	p.text(x+4, p.y+13.2, t.Code)

	p.style(false, 12, ink)
	p.text(margin, bottom+6.5, t.Size)
	indent := p.widthOf(t.Size) + 4
	p.style(false, 12, grey)
	p.text(margin+indent, bottom+6.5, t.SizeInch)
	p.y = math.Max(bottom+12, p.y+22)
}

// form prints the lines that are filled in by hand.
func (p *page) form() {
	fields := []struct {
		label string
		share float64
	}{
		{p.v.Say("Job no."), 0.16}, {p.v.Say("Customer"), 0.36}, {p.v.Say("Date"), 0.2}, {p.v.Say("Pressed by"), 0.28},
	}
	x, gap := margin, 4.0
	free := p.inner() - gap*float64(len(fields)-1)
	for _, f := range fields {
		w := free * f.share
		p.style(false, 8, grey)
		p.text(x, p.y+3, f.label)
		p.rule(x, p.y+11, w, grey)
		x += w + gap
	}
	p.y += 11 + gutter
}

// overview prints the picture and, beside it, the figures that one asks for first.
func (p *page) overview(t ticket.Ticket, ratio float64) {
	const most = 112.0
	high := highestPicture(p.height)
	x, top := margin, p.y
	bottom := top
	if ratio > 0 {
		w := math.Min(most, high*ratio)
		s, said := pictureScale(w, t.Across)
		if said {
			w = t.Across * s.of()
		}
		p.f.ClipRoundedRect(margin, top, w, w/ratio, 2, false)
		p.f.ImageOptions(pictureName, margin, top, w, w/ratio, false, fpdf.ImageOptions{ImageType: "JPG"}, 0, "")
		p.f.ClipEnd()
		x, bottom = margin+math.Max(w, leastPictureRoom)+8, top+w/ratio
		if said {
			bottom = p.pictureBar(s, bottom, w)
		}
	}
	width := p.width - margin - x
	y := p.figures(t, x, top, width)
	beside := len(t.Facts)
	if ratio > 0 {
		bottom += 2
		beside = p.factsBeside(t.Facts, y, width, bottom, x-8-margin)
	}
	for i, f := range t.Facts {
		if i < beside {
			y = p.fact(f, x, y, width)
			continue
		}
		bottom = p.fact(f, margin, bottom, x-8-margin)
	}
	p.y = math.Max(bottom, y) + gutter
}

// factsBeside gives how many of the facts stand beside the picture, from y on, so that
// the page is filled evenly; the others stand below it, from bottom on.
func (p *page) factsBeside(facts []ticket.Fact, y, width, bottom, below float64) int {
	best, least := len(facts), math.Inf(1)
	for n := len(facts); n >= 0; n-- {
		right, left := y, bottom
		for i, f := range facts {
			if i < n {
				right += p.factHeight(f, width)
			} else {
				left += p.factHeight(f, below)
			}
		}
		if ends := math.Max(right, left); ends < least-factSlack {
			best, least = n, ends
		}
	}
	return best
}

// factSlack is by how much a page must get shorter for another fact to go below the
// picture, in mm.
const factSlack = 1.0

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

// figures prints the number of stones, large, and the numbers of plates, lifts
// and sheets; it gives where they end.
func (p *page) figures(t ticket.Ticket, x, y, width float64) float64 {
	total := p.v.Whole(t.Stones)
	size := p.shrunk(true, 50, 24, ink, total, width)
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
	return y + 17
}
