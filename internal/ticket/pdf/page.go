package pdf

import (
	"strconv"

	"codeberg.org/go-pdf/fpdf"
)

// colour is one printed colour.
type colour [3]int

// The colours of the page: few, and such that they stay apart on a grey printer.
var (
	ink    = colour{22, 32, 44}
	grey   = colour{96, 108, 122}
	faint  = colour{208, 215, 223}
	panel  = colour{241, 244, 248}
	accent = colour{31, 78, 121}
	alarm  = colour{176, 62, 12}
	wash   = colour{255, 246, 235}
	white  = colour{255, 255, 255}
)

// page is a pen on the pages: y is where the next block begins, in mm.
type page struct {
	v             voice
	f             *fpdf.Fpdf
	sheet         fpdf.SizeType // the paper
	width, height float64       // of the page
	y             float64
	pen           pen
	set           density // of a ticket's first page
	stepSize      float64 // points of the steps' texts
	shaped        shapes
}

// inner gives the width between the margins.
func (p *page) inner() float64 { return p.width - 2*margin }

// left gives the height that is left on the page.
func (p *page) left() float64 { return p.height - foot - p.y }

func (p *page) newPage() {
	p.addPage(p.sheet)
}

// addPage begins a page of its own size.
func (p *page) addPage(size fpdf.SizeType) {
	p.f.AddPageFormat("P", size) // ends the page before, which still has its own size
	p.width, p.height, p.y = size.Wd, size.Ht, margin
}

// need begins a new page where the height (mm) is not left, unless the page is
// still empty: a block higher than a page starts at the top of one.
func (p *page) need(height float64) bool {
	if height <= p.left() || p.y <= margin {
		return false
	}
	p.newPage()
	return true
}

func (p *page) fill(c colour) { p.f.SetFillColor(c[0], c[1], c[2]) }
func (p *page) draw(c colour, width float64) {
	p.f.SetDrawColor(c[0], c[1], c[2])
	p.f.SetLineWidth(width)
}

// rule draws a thin level line.
func (p *page) rule(x, y, width float64, c colour) {
	p.draw(c, 0.2)
	p.f.Line(x, y, x+width, y)
}

// box fills a rounded rectangle.
func (p *page) box(x, y, w, h float64, c colour) {
	p.fill(c)
	p.f.RoundedRect(x, y, w, h, 1.6, "1234", "F")
}

// tick draws an empty tick box with its upper left corner at x, y.
func (p *page) tick(x, y, side float64) {
	p.draw(grey, 0.3)
	p.fill(white)
	p.f.RoundedRect(x, y, side, side, 0.6, "1234", "DF")
}

// heading prints a block's heading and moves below it; beside is a quiet remark.
func (p *page) heading(s, beside string) {
	p.style(true, 13, ink)
	p.text(margin, p.y+4.6, s)
	x := margin + p.widthOf(s) + 3
	p.style(false, 9, grey)
	p.text(x, p.y+4.6, p.cropped(beside, p.width-margin-x))
	p.y += 8
}

func itoa(n int) string { return strconv.Itoa(n) }
