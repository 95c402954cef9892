// Package pdf writes a sheet as a PDF of true size: the first page is the sheet
// and holds the cuts alone, the second one of the same size holds a ruler, so
// that it can be seen on paper whether a program or printer scaled the pages.
// docs/formats/cut.md is its page.
package pdf

import (
	"fmt"
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"brushfall/internal/cut"
	"brushfall/internal/fault"
)

// hairline is the width of every cut in mm: what programs take for "as thin as
// can be" (a thousandth of an inch), and so for a cut.
const hairline = 0.0254

// mostSide is the largest page of PDF 1.3 to 1.7 in mm: 14,400 points (ISO
// 32000-1, annex C).
const mostSide = 5080

// Ruler is the length of the ruler in mm; where a sheet is too small for it, the
// ruler is as long as the next of these that fits.
const Ruler = 100

func rulers() []float64 { return []float64{Ruler, 50, 20, 10} }

// palette gives each plate of a sheet a colour of its own, as the SVG does.
func palette() [][3]int {
	return [][3]int{{0, 0, 0}, {208, 0, 0}, {0, 64, 208}, {0, 122, 51}, {154, 77, 0}, {138, 0, 138}, {0, 112, 138}, {96, 96, 96}}
}

// Write writes the sheet, its cuts in cutting order. Faults: "cut-too-large" (a
// page cannot be so large), "cut-write" (w did not take the bytes).
func Write(w io.Writer, s cut.Sheet) error {
	if !(s.Width > 0 && s.Height > 0 && s.Width <= mostSide && s.Height <= mostSide) {
		return fault.New("cut-too-large", fmt.Sprintf("sheet %d", s.Number),
			"a page of PDF ends at %d mm and the sheet is %.0f × %.0f mm: use the SVG or DXF file, or a smaller sheet", mostSide, s.Width, s.Height)
	}
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: s.Width, Ht: s.Height}})
	f.SetCatalogSort(true)
	f.SetCreationDate(time.Unix(0, 0).UTC())
	f.SetModificationDate(time.Unix(0, 0).UTC())
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(0, 0, 0)
	f.AddPage()
	f.SetLineWidth(hairline)
	for i, p := range s.Plates {
		c := palette()[i%len(palette())]
		f.SetDrawColor(c[0], c[1], c[2])
		for _, k := range p.Cuts() {
			draw(f, k)
		}
	}
	f.AddPage()
	ruler(f, s.Width, s.Height)
	if err := f.Output(w); err != nil {
		return fault.Wrap("cut-write", err)
	}
	return nil
}

func draw(f *fpdf.Fpdf, c cut.Cut) {
	if c.Kind == cut.Hole {
		h := c.Circle
		f.Circle(h.Centre.X, h.Centre.Y, h.D/2, "D")
		return
	}
	for i, q := range c.Line {
		if i == 0 {
			f.MoveTo(q.X, q.Y)
			continue
		}
		f.LineTo(q.X, q.Y)
	}
	if c.Closed {
		f.ClosePath()
	}
	f.DrawPath("D")
}

// Where the ruler stands and how long its ticks are, in mm.
const (
	rulerMargin = 3.0
	rulerTick   = 2.0
)

// ruler draws the ruler along the longer side, a tick every 10 mm, and says what
// it is for. A sheet too small for 10 mm has none.
func ruler(f *fpdf.Fpdf, width, height float64) {
	upright := height > width
	length := 0.0
	for _, l := range rulers() {
		if length == 0 && l+2*rulerMargin <= max(width, height) {
			length = l
		}
	}
	if length == 0 || min(width, height) < 4*rulerMargin {
		return
	}
	at := func(along, across float64) (x, y float64) {
		if upright {
			return rulerMargin + across, rulerMargin + along
		}
		return rulerMargin + along, rulerMargin + across
	}
	line := func(a0, c0, a1, c1 float64) {
		x0, y0 := at(a0, c0)
		x1, y1 := at(a1, c1)
		f.Line(x0, y0, x1, y1)
	}
	f.SetDrawColor(0, 0, 0)
	f.SetLineWidth(0.1)
	line(0, rulerTick, length, rulerTick)
	for a := 0.0; a <= length; a += 10 {
		tick := rulerTick / 2
		if a == 0 || a == length {
			tick = 0
		}
		line(a, tick, a, 2*rulerTick-tick)
	}
	f.SetFont("Helvetica", "", 11)
	x, y := at(0, 3*rulerTick)
	f.SetXY(x, y)
	f.MultiCell(width-x-rulerMargin, 5, fmt.Sprintf(
		"This ruler is %.0f mm long. If it measures anything else on paper, the pages were scaled: print at 100 %%, \"actual size\". Do not cut this page.", length), "", "L", false)
}
