package ticket

import (
	"math"

	"brushfall/internal/fault"
	"brushfall/internal/wording"
)

// Labels are the labels of cut templates on a sheet of stickers. First is the cell
// that the first label goes into, from 0 along the rows, so that a sheet that was
// begun can be used up. Outline draws the cells, for plain paper that is cut apart.
type Labels struct {
	Language wording.Language
	Grid     LabelGrid
	First    int
	Outline  bool
	Labels   []Label
}

// LabelGrid is a sheet of stickers: Columns × Rows cells of Width × Height mm, the
// first with its corner at Left, Top, the next StepX and StepY further (0: side by
// side). Page is the sheet's own size in mm; nought: the size of the paper that is printed on.
type LabelGrid struct {
	Columns, Rows           int
	Width, Height           float64
	Left, Top               float64
	StepX, StepY            float64
	PageWidth, PageHeight   float64
	CornerRadius, CellInset float64 // inset: what is kept free inside a cell; 0: the usual 2 mm
}

// Label is one template's, or one plate's where Plate is not 0.
type Label struct {
	Code   string
	Design string
	Size   string  // of the design, in words, or empty
	Plate  int     // 0: all plates of the template
	Plates int     // how many the template has; 0: not said
	Kinds  []Brush // what is brushed into it; Pieces 0 are not printed
	Place  string  // where it lies, or empty
	Added  []string
	QR     [][]bool // rows of modules, true is dark, without the quiet zone; nil: none
	Image  []byte   // a small picture, PNG; nil: none
	Look   *Plate   // or the plate to draw; nil: none
}

// mostCells bounds the labels of one sheet of stickers.
const mostCells = 1000

// Check says whether the labels can be printed. Faults: "paper-grid" for a grid that
// cannot be, "paper-empty", "paper-qr" for a matrix that is not square.
func (l Labels) Check() error {
	g := l.Grid
	for _, v := range []float64{g.Width, g.Height, g.Left, g.Top, g.StepX, g.StepY, g.PageWidth, g.PageHeight, g.CornerRadius, g.CellInset} {
		if !(v >= 0 && v < 2000) || math.IsNaN(v) {
			return fault.New("paper-grid", "", "a length of %g mm cannot be one of a sheet of labels", v)
		}
	}
	if g.Columns < 1 || g.Rows < 1 || g.Columns > mostCells || g.Columns*g.Rows > mostCells {
		return fault.New("paper-grid", "", "%d × %d labels cannot be on a sheet", g.Columns, g.Rows)
	}
	if g.Width < 15 || g.Height < 8 {
		return fault.New("paper-grid", "", "a label of %g × %g mm is too small to be read; at least 15 × 8 mm", g.Width, g.Height)
	}
	if g.StepX > 0 && g.StepX < g.Width || g.StepY > 0 && g.StepY < g.Height {
		return fault.New("paper-grid", "", "the labels lie on each other: a step is shorter than a label")
	}
	if l.First < 0 || l.First >= g.Columns*g.Rows {
		return fault.New("paper-grid", "", "the sheet has %d labels; the first cannot go to number %d", g.Columns*g.Rows, l.First+1)
	}
	if len(l.Labels) == 0 {
		return fault.New("paper-empty", "", "there are no labels to print")
	}
	for _, one := range l.Labels {
		for _, row := range one.QR {
			if len(row) != len(one.QR) {
				return fault.New("paper-qr", one.Code, "the code's matrix is not square")
			}
		}
	}
	return nil
}

// Cell gives the corner of cell i on its page, and the page, from 0.
func (g LabelGrid) Cell(i int) (page int, x, y float64) {
	per := g.Columns * g.Rows
	at := i % per
	stepX, stepY := g.StepX, g.StepY
	if stepX == 0 {
		stepX = g.Width
	}
	if stepY == 0 {
		stepY = g.Height
	}
	return i / per, g.Left + float64(at%g.Columns)*stepX, g.Top + float64(at/g.Columns)*stepY
}
