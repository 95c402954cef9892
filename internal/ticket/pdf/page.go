package pdf

import (
	"strconv"
	"strings"

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
	f             *fpdf.Fpdf
	width, height float64
	y             float64
}

// inner gives the width between the margins.
func (p *page) inner() float64 { return p.width - 2*margin }

// left gives the height that is left on the page.
func (p *page) left() float64 { return p.height - foot - p.y }

func (p *page) newPage() {
	p.f.AddPage()
	p.y = margin
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

// style chooses weight, size in points, and colour of the text that follows.
func (p *page) style(heavy bool, size float64, c colour) {
	weight := ""
	if heavy {
		weight = "B"
	}
	p.f.SetFont(family, weight, size)
	p.f.SetTextColor(c[0], c[1], c[2])
}

// text prints on the base line y.
func (p *page) text(x, y float64, s string) { p.f.Text(x, y, printable(s)) }

// textRight prints on the base line y, ending at x.
func (p *page) textRight(x, y float64, s string) { p.text(x-p.widthOf(s), y, s) }

// textMiddle prints on the base line y, centred at x.
func (p *page) textMiddle(x, y float64, s string) { p.text(x-p.widthOf(s)/2, y, s) }

func (p *page) widthOf(s string) float64 { return p.f.GetStringWidth(printable(s)) }

// shrunk chooses the largest size, from most down to least points, at which s
// is no wider than width, and sets it.
func (p *page) shrunk(heavy bool, most, least float64, c colour, s string, width float64) float64 {
	for size := most; size > least; size -= 0.5 {
		p.style(heavy, size, c)
		if p.widthOf(s) <= width {
			return size
		}
	}
	p.style(heavy, least, c)
	return least
}

// cropped cuts s with an ellipsis to be no wider than width.
func (p *page) cropped(s string, width float64) string {
	if p.widthOf(s) <= width {
		return s
	}
	r := []rune(s)
	for len(r) > 0 && p.widthOf(string(r)+"…") > width {
		r = r[:len(r)-1]
	}
	return strings.TrimSpace(string(r)) + "…"
}

// wrapped breaks s into lines no wider than width; a word wider than that is
// broken within.
func (p *page) wrapped(s string, width float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		for _, piece := range p.pieces(word, width) {
			joined := strings.TrimSpace(line + " " + piece)
			if line != "" && p.widthOf(joined) > width {
				lines = append(lines, line)
				joined = piece
			}
			line = joined
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// pieces gives the word, cut where it is wider than width.
func (p *page) pieces(word string, width float64) []string {
	var out []string
	r := []rune(word)
	for p.widthOf(string(r)) > width && len(r) > 1 {
		n := len(r) - 1
		for n > 1 && p.widthOf(string(r[:n])) > width {
			n--
		}
		out = append(out, string(r[:n]))
		r = r[n:]
	}
	return append(out, string(r))
}

// lines prints wrapped lines, the first on the base line y, and gives the base
// line after the last.
func (p *page) lines(x, y float64, lines []string, leading float64) float64 {
	for _, l := range lines {
		p.text(x, y, l)
		y += leading
	}
	return y
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
