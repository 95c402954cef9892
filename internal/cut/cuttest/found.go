package cuttest

import (
	"math"
	"testing"

	"brushfall/internal/cut"
	"brushfall/internal/design"
)

// Tolerance is how near a hole must be found, in mm: the centre to its place,
// the diameter to its own.
const Tolerance = 0.02

// Hole is a hole on a sheet, in mm, y down. Plate is the plate's number, 0 where
// the file does not tell.
type Hole struct {
	X, Y, D float64
	Plate   int
}

// Plan plans the cuts of a design as the program does where nothing is asked for.
func Plan(t *testing.T, doc design.Document) []cut.Sheet {
	t.Helper()
	sheets, err := cut.Plan(doc, cut.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return sheets
}

// Expected gives the holes that a sheet of the document must hold.
func Expected(doc design.Document, sheet design.Sheet) []Hole {
	var out []Hole
	for _, at := range sheet.Placed {
		for _, h := range doc.Plates[at.Plate-1].Holes {
			x, y := on(doc, sheet, at, h.X, h.Y)
			out = append(out, Hole{x, y, h.D, at.Plate})
		}
	}
	return out
}

// on gives where a point of a plate lies on the sheet. A turned plate's top edge
// becomes its right edge: what lies h below the top edge comes to lie h to the
// left of the right edge, and what lies v from the left edge comes to lie v below
// the new top edge. On a mirrored sheet, what lay v from the left edge lies v from
// the right one.
func on(doc design.Document, sheet design.Sheet, at design.Placed, px, py float64) (x, y float64) {
	p := doc.Plates[at.Plate-1]
	height := p.Frame[3] - p.Frame[1]
	fromLeft, fromTop := px-p.Frame[0], py-p.Frame[1]
	x, y = at.X+fromLeft, at.Y+fromTop
	if at.Turned {
		x, y = at.X+height-fromTop, at.Y+fromLeft
	}
	if doc.Mirrored {
		x = sheet.Width - x
	}
	return x, y
}

// Marks gives the open lines that a sheet of the document must hold beside the
// nicks, in the order of cutting: the register marks and letters of each plate.
func Marks(doc design.Document, sheet design.Sheet) [][][2]float64 {
	var out [][][2]float64
	for _, at := range sheet.Placed {
		p := doc.Plates[at.Plate-1]
		for _, lines := range [][][][2]float64{p.Register, p.Letters} {
			for _, l := range lines {
				var line [][2]float64
				for _, q := range l {
					x, y := on(doc, sheet, at, q[0], q[1])
					line = append(line, [2]float64{x, y})
				}
				out = append(out, line)
			}
		}
	}
	return out
}

// CompareMarks fails the test where the marks found are not those wanted, in
// their order, to the Tolerance.
func CompareMarks(t *testing.T, reader string, want, got [][][2]float64) {
	t.Helper()
	if len(got) != len(want) || len(want) == 0 {
		t.Fatalf("%s: %d marks, want %d", reader, len(got), len(want))
	}
	for i, w := range want {
		if len(got[i]) != len(w) {
			t.Errorf("%s: mark %d has %d points, want %d", reader, i+1, len(got[i]), len(w))
			continue
		}
		for k, q := range w {
			if g := got[i][k]; !(math.Hypot(g[0]-q[0], g[1]-q[1]) <= Tolerance) {
				t.Errorf("%s: mark %d passes %v, want %v", reader, i+1, g, q)
			}
		}
	}
}

// Compare pairs each expected hole with the nearest found one and fails the
// test where holes are missing, superfluous, off their place or their diameter.
// It logs one line of the table: reader, holes, found, worst errors.
func Compare(t *testing.T, reader string, want, got []Hole) {
	t.Helper()
	taken := make([]bool, len(got))
	found, worstCentre, worstDiameter := 0, 0.0, 0.0
	for _, w := range want {
		best, at := math.Inf(1), -1
		for i, g := range got {
			if d := math.Hypot(g.X-w.X, g.Y-w.Y); !taken[i] && d < best {
				best, at = d, i
			}
		}
		if at < 0 {
			t.Errorf("%s: no hole left for %+v", reader, w)
			continue
		}
		g := got[at]
		diameter := math.Abs(g.D - w.D)
		if best > Tolerance || diameter > Tolerance || (g.Plate != 0 && g.Plate != w.Plate) {
			t.Errorf("%s: %+v was found as %+v", reader, w, g)
			continue
		}
		taken[at] = true
		found++
		worstCentre, worstDiameter = math.Max(worstCentre, best), math.Max(worstDiameter, diameter)
	}
	if len(got) != len(want) {
		t.Errorf("%s: %d holes, want %d", reader, len(got), len(want))
	}
	t.Logf("%-34s holes %5d  found %5d  worst centre %.4f mm  worst diameter %.4f mm", reader, len(want), found, worstCentre, worstDiameter)
}

// InOrder fails the test where the found holes, in the file's order, are not
// those of the planned sheet in its cutting order.
func InOrder(t *testing.T, s cut.Sheet, got []Hole) {
	t.Helper()
	i := 0
	for _, p := range s.Plates {
		for _, h := range p.Holes {
			if i < len(got) && math.Hypot(got[i].X-h.Centre.X, got[i].Y-h.Centre.Y) > Tolerance {
				t.Errorf("hole %d in the file lies at %.3f, %.3f, the plan cuts %v then", i+1, got[i].X, got[i].Y, h.Centre)
				return
			}
			i++
		}
	}
	if i != len(got) {
		t.Errorf("%d holes in the file, %d in the plan", len(got), i)
	}
}
