package pdf

import (
	"fmt"
	"io"
	"math"

	"codeberg.org/go-pdf/fpdf"

	"brushfall/internal/fault"
	"brushfall/internal/ticket"
)

// WriteLabels prints labels into the cells of sheets of stickers. Faults as of
// Labels.Check and Write, and "paper-grid" for a grid that its page does not hold.
func WriteLabels(w io.Writer, l ticket.Labels, opt Options) error {
	if err := l.Check(); err != nil {
		return err
	}
	p, err := newPage(l.Language, opt)
	if err != nil {
		return err
	}
	g := l.Grid
	if g.PageWidth > 0 && g.PageHeight > 0 {
		p.sheet = fpdf.SizeType{Wd: g.PageWidth, Ht: g.PageHeight}
	}
	_, x, y := g.Cell(g.Columns*g.Rows - 1)
	if x+g.Width > p.sheet.Wd+0.01 || y+g.Height > p.sheet.Ht+0.01 {
		return fault.New("paper-grid", "", "%d × %d labels of %g × %g mm do not go on %g × %g mm; check the grid and the paper", g.Columns, g.Rows, g.Width, g.Height, p.sheet.Wd, p.sheet.Ht)
	}
	p.properties(p.v.Say("Template labels"), "", opt)
	on := -1
	for i, one := range l.Labels {
		page, x, y := g.Cell(l.First + i)
		for ; on < page; on++ {
			p.newPage()
		}
		if l.Outline {
			p.draw(faint, 0.15)
			p.f.RoundedRect(x, y, g.Width, g.Height, g.CornerRadius, "1234", "D")
		}
		if err := p.label(one, g, x, y, fmt.Sprintf("label %d", i)); err != nil {
			return err
		}
	}
	return p.writeTo(w)
}

// usualInset is what is kept free inside a label, in mm: printers and hands shift.
const usualInset = 2.0

// The parts of a label: the code matrix takes up to this share of its width, a picture
// is at least so large, and words keep so much of the width, in mm.
const (
	matrixShare  = 0.40
	leastMatrix  = 14.0
	leastPicture = 9.0
	leastWords   = 24.0
)

// label prints one label: the code matrix on the left with the picture below it, or on
// the right where the label is wide, and the words in what is left.
func (p *page) label(l ticket.Label, g ticket.LabelGrid, x, y float64, name string) error {
	inset := g.CellInset
	if inset == 0 {
		inset = usualInset
	}
	x, y = x+inset, y+inset
	w, h := g.Width-2*inset, g.Height-2*inset
	pictured := l.Look != nil || len(l.Image) > 0
	if len(l.QR) > 0 {
		side := math.Min(h, w*matrixShare)
		below := math.Min(side, h-side-1)
		if pictured && below < leastPicture && h-leastPicture-3 >= leastMatrix && w < 4*leastWords {
			below = leastPicture + 2
			side = math.Min(side, h-below-1)
		}
		p.matrix(l.QR, x, y, side)
		if pictured && below >= leastPicture {
			if err := p.labelPicture(l, x+(side-below)/2, y+side+1, below, name); err != nil {
				return err
			}
			pictured = false
		}
		x, w = x+side+1.5, w-side-1.5
	}
	if side := math.Min(h, w-leastWords-1.5); pictured && side >= leastPicture {
		side = math.Min(side, w*0.45)
		if err := p.labelPicture(l, x+w-side, y+(h-side)/2, side, name); err != nil {
			return err
		}
		w -= side + 1.5
	}
	p.labelWords(l, x, y, w, h)
	return nil
}

// quietZone is the light border that a reader needs round a code, in modules
// (ISO/IEC 18004, 6.3.8).
const quietZone = 4

// matrix draws the dark modules row by row, runs of them as one rectangle.
func (p *page) matrix(rows [][]bool, x, y, side float64) {
	m := side / float64(len(rows)+2*quietZone)
	p.fill(colour{0, 0, 0})
	for i, r := range rows {
		for j := 0; j < len(r); j++ {
			k := j
			for k < len(r) && r[k] {
				k++
			}
			if k > j {
				p.f.Rect(x+(float64(j)+quietZone)*m, y+(float64(i)+quietZone)*m, float64(k-j)*m, m, "F")
				j = k
			}
		}
	}
}

func (p *page) labelPicture(l ticket.Label, x, y, side float64, name string) error {
	if len(l.Image) > 0 {
		ratio, err := p.pngPicture(name, l.Image)
		if err != nil {
			return err
		}
		w, h := math.Min(side, side*ratio), math.Min(side, side/ratio)
		p.f.ImageOptions(name, x+(side-w)/2, y+(side-h)/2, w, h, false, fpdf.ImageOptions{ImageType: "JPG"}, 0, "")
		return nil
	}
	fw, fh := l.Look.Frame[2]-l.Look.Frame[0], l.Look.Frame[3]-l.Look.Frame[1]
	if !(fw > 0 && fh > 0) {
		return nil
	}
	k := side / math.Max(fw, fh)
	p.thumb(*l.Look, x+(side-fw*k)/2, y+(side-fh*k)/2, side)
	return nil
}

// labelWords prints the code as large as it goes, then the design, the plate, the
// stones and the place, as much as the label has room for.
func (p *page) labelWords(l ticket.Label, x, y, w, h float64) {
	k := math.Min(1, math.Max(0.62, h/34)) // smaller words on smaller labels
	size := p.shrunk(true, math.Min(20, h*0.9), 7, ink, l.Code, w)
	y0 := y
	y += size * 0.30
	p.text(x, y, p.cropped(l.Code, w))
	y += 1.2
	end := y0 + h
	print := func(heavy bool, size float64, c colour, most int, text string) {
		p.style(heavy, size*k, c)
		lines := p.wrapped(text, w)
		step := size * k * 0.41
		for i, line := range lines {
			if i == most || y+step > end {
				return
			}
			if (i == most-1 || y+2*step > end) && i < len(lines)-1 {
				line = p.cropped(line+" "+lines[i+1], w)
			}
			y += step
			p.text(x, y, line)
		}
	}
	print(true, 9.5, ink, 2, l.Design)
	if l.Plate > 0 {
		text := p.v.Say("Plate %d", l.Plate)
		if l.Plates > 1 {
			text = p.v.Say("Plate %d of %d", l.Plate, l.Plates)
		}
		print(true, 8.5, accent, 1, text)
	} else if l.Plates > 1 {
		print(false, 8.5, accent, 1, p.v.Say("%d plates", l.Plates))
	}
	if l.Size != "" {
		print(false, 8, grey, 1, l.Size)
	}
	if l.Place != "" {
		print(true, 8.5, ink, 1, l.Place)
	}
	for _, b := range l.Kinds {
		text := b.Size + " " + b.Colour
		if b.Pieces > 0 {
			text += " × " + p.v.Whole(b.Pieces)
		}
		print(false, 8, ink, 1, text)
	}
	for _, s := range l.Added {
		print(false, 8, grey, 1, s)
	}
}
