package piece_test

import (
	"testing"

	"brushfall/internal/count"
	"brushfall/internal/cut"
	"brushfall/internal/cut/cuttest"
	"brushfall/internal/cut/pace"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/price"
	"brushfall/internal/price/piece"
)

// one is a design of a single plate of 152.4 × 127 mm with three holes, placed
// 10 mm from the corner of a sheet of 12 × 20 in.
func one(turned bool) design.Document {
	doc := cuttest.Badge()
	doc.Design, doc.Width, doc.Height = "Heron", 100, 80
	doc.Kinds = []design.Kind{{Size: "SS10", Colour: "crystal", Diameter: 2.9, Smallest: 2.7, Hole: 3.3, Height: 1.2}}
	doc.Stones, doc.Plates = nil, []design.Plate{{Number: 1, Frame: [4]float64{0, 0, 152.4, 127}, Notch: [2]float64{76.2, 4}, Order: []string{"SS10 crystal"}}}
	for i := range 3 {
		x := 50 + 10*float64(i)
		doc.Stones = append(doc.Stones, design.Stone{X: x, Y: 60, Size: "SS10", Colour: "crystal", Plate: 1})
		doc.Plates[0].Holes = append(doc.Plates[0].Holes, design.Hole{X: x, Y: 60, D: 3.3})
	}
	doc.Sheets = []design.Sheet{{Number: 1, Width: 304.8, Height: 508, Placed: []design.Placed{{Design: "Heron", Plate: 1, X: 10, Y: 10, Turned: turned}}}}
	return doc
}

// By hand: upright the frame ends 10 + 127 mm down the sheet, 137 ÷ 508 = 0.26969 of
// it; turned 10 + 152.4 mm, 0.31969. Tape with a hinge of 40 mm is 152.4 × 167 or
// 192.4 × 127 mm: two of either from 304.8 × 304.8. Film is 112 × 92 mm: two across
// (224) and three down (276), six.
func TestWhatADesignTakes(t *testing.T) {
	for _, c := range []struct {
		turned bool
		flock  string
	}{{false, "0.2697"}, {true, "0.3197"}} {
		got, err := piece.Of(one(c.turned), pace.Usual())
		if err != nil {
			t.Fatal(err)
		}
		p := got.Piece
		if p.Flock.String() != c.flock || p.Tape != (price.Part{Number: 1, Of: 2}) || p.Film != (price.Part{Number: 1, Of: 6}) {
			t.Errorf("%+v, want %s of a sheet", p, c.flock)
		}
		if p.Design != "Heron" || p.Holes != 3 || p.Plates != 1 || p.Sheets != 1 || len(got.Lines) != 1 || got.Lines[0].Pieces != 3 || got.Lines[0].Take != 3 {
			t.Errorf("%+v", got)
		}
	}
}

// The time is that of the cutter's own estimate, to a tenth of a second.
func TestCuttingIsThatOfThePace(t *testing.T) {
	doc := cuttest.Many()
	got, err := piece.Of(doc, pace.Usual())
	if err != nil {
		t.Fatal(err)
	}
	sheets, err := cut.Plan(doc, cut.Options{})
	if err != nil {
		t.Fatal(err)
	}
	seconds := 0.0
	for _, s := range sheets {
		seconds += pace.Of(s, pace.Usual(), pace.Work{}).Total()
	}
	if d := got.Piece.Cutting.InexactFloat64() - seconds; d > 0.05 || d < -0.05 {
		t.Errorf("%s s, the sheets take %.3f", got.Piece.Cutting, seconds)
	}
}

// A frame larger than a sheet of tape is pieced.
func TestTapeThatIsPieced(t *testing.T) {
	doc := one(false)
	doc.Plates[0].Frame = [4]float64{0, 0, 300, 290}
	doc.Sheets[0].Placed[0].X = 2
	got, err := piece.Of(doc, pace.Usual())
	if tape := count.TapeFor(300, 290); err != nil || got.Piece.Tape != (price.Part{Number: tape.Sheets, Of: 1}) || tape.Sheets < 2 {
		t.Errorf("%+v, %v", got.Piece.Tape, err)
	}
}

func TestADesignThatCannotBe(t *testing.T) {
	doc := one(false)
	doc.Stones[0].Colour = "mud"
	if _, err := piece.Of(doc, pace.Usual()); fault.CodeOf(err) != "kind-unknown" {
		t.Error(err)
	}
	doc = one(false)
	doc.Sheets[0].Placed[0].Y = 500
	if _, err := piece.Of(doc, pace.Usual()); fault.CodeOf(err) != "cut-off-sheet" {
		t.Error(err)
	}
}
