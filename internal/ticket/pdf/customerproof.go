package pdf

import (
	"io"
	"math"

	"codeberg.org/go-pdf/fpdf"

	"brushfall/internal/fault"
	"brushfall/internal/ticket"
)

func tooLong() error {
	return fault.New("paper-long", "", "the words take more than a page of this paper; shorten them")
}

// WriteCustomerProof prints the proof that a customer signs: the design at its true
// size where a page holds it, else smaller, which it says, a bar to hold a ruler to,
// the stones in plain words, and no prices. Faults as of Write, and "paper-empty" for a
// design without a size.
func WriteCustomerProof(w io.Writer, c ticket.CustomerProof, opt Options) error {
	if !(c.Width > 0 && c.Height > 0 && c.Across > 0 && c.Down > 0) {
		return fault.New("paper-empty", c.Design, "the design has no size to show; make it first")
	}
	v := voiceOf(c.Language)
	facts := []labelled{{v.Say("Date"), v.day(c.Date)}, {v.Say("Size"), v.Area(c.Width, c.Height) + " (" + v.AreaInches(c.Width, c.Height) + ")"}, {v.Say("On"), c.Garment}}
	h := sheetHead{kind: v.Say("Proof for you to check"), number: c.Number, title: c.Design, boxLabel: v.Say("Number"), box: c.Number, shop: c.Shop, customer: &c.Customer, facts: facts}
	if h.box == "" {
		h.boxLabel, h.box = v.Say("Template"), c.Code
	}
	p, err := begin(c.Language, h, opt)
	if err != nil {
		return err
	}
	if _, err := p.picture(pictureName, c.Picture); err != nil {
		return err
	}
	place := p.proofPlace(c)
	if place.own {
		p.paragraph(p.v.Say("The picture is on the last page."), 10, ink, 4.5)
		p.y += gutter / 2
	} else {
		p.proofPicture(c, place.scale)
	}
	p.proofStones(c)
	p.notes(p.v.Say("Notes"), c.Notes)
	p.paragraph(p.v.Say("Stones sparkle and garments differ: colours on paper and on a screen are close to the real ones, not the same."), 9, grey, 4.2)
	p.y += 3
	p.answer()
	p.smallPrint(c.Cautions)
	if place.own {
		p.addPage(place.page)
		p.proofPicture(c, place.scale)
	}
	return p.writeTo(w)
}

// The room round a proof's picture, in mm: cloth that is shown, the lines of its
// measures, and the bar below.
const (
	proofCloth   = 4.0
	proofMeasure = 9.0
	proofBar     = 12.5
)

// proofView is how a proof's picture is shown: where the stones' box begins on the
// page, its scale, and the cloth round it that is shown.
type proofView struct {
	x, y, scale float64
	cloth       float64
}

// proofPlace is where a proof's picture goes and at which scale: on the first page, or
// after all words on a page of its own, so that no page stays empty before it.
type proofPlace struct {
	scale float64
	own   bool
	page  fpdf.SizeType // its own
}

// proofPlace gives the picture this page where that holds it at its true size, one of
// its own, upright or turned to the wide side, where only that does; else it is
// smaller, as large as a page holds it.
func (p *page) proofPlace(c ticket.CustomerProof) proofPlace {
	needW, needH := c.Width+2*proofCloth+proofMeasure, c.Height+2*proofCloth+proofMeasure+proofBar
	wide := fpdf.SizeType{Wd: p.sheet.Ht, Ht: p.sheet.Wd}
	holds := func(s fpdf.SizeType) bool { return needW <= s.Wd-2*margin && needH <= s.Ht-margin-foot }
	switch {
	case holds(p.sheet):
		return proofPlace{scale: 1, own: needH > p.left(), page: p.sheet}
	case holds(wide):
		return proofPlace{scale: 1, own: true, page: wide}
	}
	here, whole := p.reduced(c, p.left()), p.reduced(c, p.sheet.Ht-margin-foot)
	if here < 0.6*whole {
		return proofPlace{scale: whole, own: true, page: p.sheet}
	}
	return proofPlace{scale: here, page: p.sheet}
}

// proofPicture prints the picture at the scale, with its measures and the bar.
func (p *page) proofPicture(c ticket.CustomerProof, scale float64) {
	cloth := math.Min(c.Inset[0], c.Inset[1]) * scale
	if scale == 1 {
		free := (p.inner() - c.Width - 2*proofCloth - proofMeasure) / 2
		cloth = math.Max(0, math.Min(math.Min(cloth, proofCloth+free), 6))
	}
	view := proofView{x: margin + proofMeasure + (p.inner()-proofMeasure-c.Width*scale)/2, y: p.y + cloth, scale: scale, cloth: cloth}
	p.shown(c, view)
	p.y = view.y + c.Height*scale + view.cloth + proofMeasure
	p.scaleBar(scale)
}

// reduced is the scale at which the picture and its measures fit into the width of the
// page and the height.
func (p *page) reduced(c ticket.CustomerProof, height float64) float64 {
	return math.Min((p.inner()-proofMeasure)/c.Across, (height-proofMeasure-proofBar)/c.Down)
}

// shown places the picture so that its stones fill their box exactly, clips it to the
// cloth, and draws the measures of the stones.
func (p *page) shown(c ticket.CustomerProof, v proofView) {
	w, h := c.Width*v.scale, c.Height*v.scale
	p.f.ClipRoundedRect(v.x-v.cloth, v.y-v.cloth, w+2*v.cloth, h+2*v.cloth, 1.5, false)
	p.f.ImageOptions(pictureName, v.x-c.Inset[0]*v.scale, v.y-c.Inset[1]*v.scale, c.Across*v.scale, c.Down*v.scale, false, fpdf.ImageOptions{ImageType: "JPG"}, 0, "")
	p.f.ClipEnd()
	y := v.y + h + v.cloth + 3
	p.measure(v.x, y, v.x+w, y)
	p.style(false, 8.5, ink)
	p.textMiddle(v.x+w/2, y+3.8, p.v.Length(c.Width))
	x := v.x - v.cloth - 3
	p.measure(x, v.y, x, v.y+h)
	p.style(false, 8.5, ink)
	p.f.TransformBegin()
	p.f.TransformRotate(90, x-1.6, v.y+h/2)
	p.textMiddle(x-1.6, v.y+h/2, p.v.Length(c.Height))
	p.f.TransformEnd()
}

// measure draws a line with short strokes at its ends.
func (p *page) measure(x0, y0, x1, y1 float64) {
	p.draw(ink, 0.25)
	p.f.Line(x0, y0, x1, y1)
	const half = 1.3
	if x0 == x1 {
		p.f.Line(x0-half, y0, x0+half, y0)
		p.f.Line(x0-half, y1, x0+half, y1)
		return
	}
	p.f.Line(x0, y0-half, x0, y0+half)
	p.f.Line(x1, y0-half, x1, y0+half)
}

// barLength is how much of the design the bar shows, in mm.
const barLength = 50.0

// scaleBar prints a bar of centimetres, light and dark in turn, and what it says.
func (p *page) scaleBar(scale float64) {
	length, y := barLength*scale, p.y+3
	p.bar(y, length)
	p.style(false, 8.5, ink)
	p.text(margin, y+5.4, p.v.Length(barLength))
	text := p.v.Say("Shown at its true size: print it at 100 %%, and the bar is %s long.", p.v.Millimetres(barLength))
	if scale < 1 {
		text = p.v.Say("Shown smaller than it is, at %s %% of its size: the bar is %s of the design.", p.v.Decimal(100*scale, 0), p.v.Millimetres(barLength))
	}
	p.style(false, 9.5, ink)
	x := margin + math.Max(length, 36) + 6
	p.lines(x, y+1.8, p.wrapped(text, p.width-margin-x), 4.2)
	p.y += proofBar
}

// bar draws a bar of five parts, light and dark in turn, at the left edge.
func (p *page) bar(y, length float64) {
	for i := range 5 {
		p.fill(ink)
		if i%2 == 1 {
			p.fill(faint)
		}
		p.f.Rect(margin+float64(i)*length/5, y, length/5, 1.6, "F")
	}
}

// proofStones prints the stones in plain words.
func (p *page) proofStones(c ticket.CustomerProof) {
	if len(c.Stones) == 0 {
		return
	}
	v, total := p.v, 0
	var rows []row
	for _, r := range c.Stones {
		total += r.Pieces
		small := v.Say("%s, about %s across", r.Size, v.Length(r.Diameter))
		if r.Swatch.AB {
			small += ", " + v.Say("shimmers in all colours")
		}
		rows = append(rows, row{
			cells: []cell{{text: r.Colour, heavy: true, small: []string{small}}, {text: v.Whole(r.Pieces), heavy: true}},
			mark:  func(x, y float64) { p.stone(x, y+1.5, 2.8, r.Swatch) },
		})
	}
	p.need(8 + 4.8 + 14)
	p.heading(v.Say("Stones"), v.Say("%d stones in all", total))
	p.table([]column{{title: v.Say("Colour")}, {title: v.Say("Pieces"), right: true}}, rows)
	p.y += gutter
}

// answer prints the two answers beside each other: yes with a signature, or what shall
// be different.
func (p *page) answer() {
	const height = 36.0
	p.need(height + 2)
	width := (p.inner() - cardGap) / 2
	box := func(x float64, what string) {
		p.box(x, p.y, width, height, panel)
		p.tick(x+5, p.y+4.4, 5.5)
		p.shrunk(true, 13, 8, ink, what, width-19)
		p.text(x+14, p.y+8.8, p.cropped(what, width-19))
	}
	box(margin, p.v.Say("Yes, make it"))
	for i, l := range []string{p.v.Say("Name"), p.v.Say("Date"), p.v.Say("Signature")} {
		y := p.y + 15.6 + 8*float64(i)
		p.rule(margin+5, y, width-10, grey)
		p.style(false, 8, grey)
		p.text(margin+5, y+3.1, p.cropped(l, width-10))
	}
	x := margin + width + cardGap
	box(x, p.v.Say("Not yet. Please change:"))
	for i := range 3 {
		p.rule(x+5, p.y+16.5+8*float64(i), width-10, grey)
	}
	p.y += height + gutter
}
