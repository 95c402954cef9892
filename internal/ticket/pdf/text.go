package pdf

import (
	"fmt"
	"regexp"
	"strings"
	"unicode/utf16"

	"brushfall/internal/artwork/lettering"
)

// style chooses weight, size in points, and colour of the text that follows.
func (p *page) style(heavy bool, size float64, c colour) {
	weight := ""
	if heavy {
		weight = "B"
	}
	p.f.SetFont(family, weight, size)
	p.f.SetTextColor(c[0], c[1], c[2])
	p.pen = pen{heavy, size, c}
}

// pen is how text is printed.
type pen struct {
	heavy bool
	size  float64 // points
	c     colour
}

// em gives the size of the text in mm.
func (q pen) em() float64 { return q.size * 25.4 / 72 }

// text prints on the base line y.
func (p *page) text(x, y float64, s string) {
	for _, part := range spans(s) {
		if part.face == nil {
			p.f.Text(x, y, part.text)
			x += p.f.GetStringWidth(part.text)
			continue
		}
		x += p.drawn(x, y, part)
	}
}

// textRight prints on the base line y, ending at x.
func (p *page) textRight(x, y float64, s string) { p.text(x-p.widthOf(s), y, s) }

// textMiddle prints on the base line y, centred at x.
func (p *page) textMiddle(x, y float64, s string) { p.text(x-p.widthOf(s)/2, y, s) }

func (p *page) widthOf(s string) float64 {
	width := 0.0
	for _, part := range spans(s) {
		if part.face == nil {
			width += p.f.GetStringWidth(part.text)
			continue
		}
		width += p.advance(part) * p.pen.em()
	}
	return width
}

// outlineTolerance is the chord error of drawn letters, in ems: a hundredth of a
// millimetre in a title.
const outlineTolerance = 0.001

// letters shapes a span; what was shaped before is kept, as lines are measured often.
func (p *page) letters(s span) []lettering.Drawn {
	if l, ok := p.shaped[s]; ok {
		return l
	}
	l, err := s.face.Draw(s.text, outlineTolerance)
	if err != nil { // a cluster that the face has the characters of, but no glyph
		l, _ = s.face.Draw(strings.Repeat("?", len([]rune(s.text))), outlineTolerance)
	}
	p.shaped[s] = l
	return l
}

// advance gives the width of a span in ems.
func (p *page) advance(s span) float64 {
	width := 0.0
	for _, l := range p.letters(s) {
		width += l.Advance
	}
	return width
}

// weightOfHeavy is how much wider a heavy line of a face without a heavy cut is
// drawn, in ems (by eye).
const weightOfHeavy = 0.035

// drawn fills a span's outlines, for fpdf prints characters one by one and cannot join or
// turn them round. It gives the span's width.
func (p *page) drawn(x, y float64, s span) float64 {
	em := p.pen.em()
	p.fill(p.pen.c)
	how := "F*"
	if p.pen.heavy {
		p.draw(p.pen.c, weightOfHeavy*em)
		how = "B*"
	}
	for _, l := range p.letters(s) {
		for _, r := range l.Rings {
			p.f.MoveTo(x+r[0].X*em, y+r[0].Y*em)
			for _, q := range r[1:] {
				p.f.LineTo(x+q.X*em, y+q.Y*em)
			}
			p.f.ClosePath()
		}
		if len(l.Rings) > 0 {
			p.f.DrawPath(how)
		}
		p.unseen(x+l.From*em, y, l.Text, l.Advance*em)
	}
	return p.advance(s) * em
}

// unseen prints a letter that does not show, of the width, that stands for the text
// where one searches or copies (ActualText: ISO 32000-1, 14.9.4). It stands where its
// letter is seen, as readers expect it of lines from right to left.
func (p *page) unseen(x, y float64, text string, width float64) {
	if width <= 0 {
		return
	}
	var units []byte
	for _, u := range utf16.Encode([]rune(text)) {
		units = append(units, byte(u>>8), byte(u))
	}
	p.f.RawWriteStr(fmt.Sprintf("/Span <</ActualText <FEFF%X>>> BDC %.3f Tz", units, 100*width/p.f.GetStringWidth("n")))
	p.f.SetTextRenderingMode(3)
	p.f.Text(x, y, "n")
	p.f.SetTextRenderingMode(0)
	p.f.RawWriteStr("100 Tz EMC")
}

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

// fits gives how many of the first runes are no wider than width with the word that
// may follow them: by halves, as a line may be long.
func (p *page) fits(r []rune, after string, width float64) int {
	low, high := 0, len(r)
	for low < high {
		if middle := (low + high + 1) / 2; p.widthOf(string(r[:middle])+after) <= width {
			low = middle
		} else {
			high = middle - 1
		}
	}
	return low
}

// cropped cuts s with an ellipsis to be no wider than width.
func (p *page) cropped(s string, width float64) string {
	if p.widthOf(s) <= width {
		return s
	}
	r := []rune(s)
	return strings.TrimSpace(string(r[:p.fits(r, "…", width)])) + "…"
}

// measures finds the spaces within "30 °C", "5 %" and "228.6 × 101.6 mm", in every language.
var measures = regexp.MustCompile(`(\d) (×|%|°[CF]\b|(?:mm|cm|m|in|Zoll|pulgadas?|pulg|g|kg|s|min|h)\b)`)

// glued marks the spaces at which a line must not end.
func glued(s string) string {
	s = measures.ReplaceAllString(s, "${1}\x00${2}")
	return strings.ReplaceAll(s, "\x00× ", "\x00×\x00")
}

// words gives what lines are made of: words, and numbers with their units where the
// width holds them.
func (p *page) words(s string, width float64) []string {
	var out []string
	for _, word := range strings.FieldsFunc(glued(strings.ReplaceAll(s, "\x00", "")), func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' || r == '\r' }) {
		whole := strings.ReplaceAll(word, "\x00", " ")
		if p.widthOf(whole) > width {
			out = append(out, strings.Split(word, "\x00")...)
			continue
		}
		out = append(out, whole)
	}
	return out
}

// wrapped breaks s into lines no wider than width, not between a number and its unit;
// a word wider than that is broken within.
func (p *page) wrapped(s string, width float64) []string {
	var lines []string
	line := ""
	for _, word := range p.words(s, width) {
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
	for len(r) > 1 && p.widthOf(string(r)) > width {
		n := max(1, p.fits(r, "", width))
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

// shapes keeps the spans that were shaped.
type shapes map[span][]lettering.Drawn
