package cut_test

import (
	"math"
	"reflect"
	"testing"

	"brushfall/internal/cut"
	"brushfall/internal/cut/cuttest"
	"brushfall/internal/cut/tour"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// Worked by hand on squared paper: a frame of 10 × 4 with its notch at the top
// and a hole 1 right and 1 down of its top-left corner. A quarter turn clockwise
// brings the top-left corner to the top right.
func TestPlaceByHand(t *testing.T) {
	plate := design.Plate{Frame: [4]float64{100, 200, 110, 204}}
	for _, c := range []struct {
		turned  bool
		in, out geom.Point
	}{
		{false, geom.Point{X: 101, Y: 201}, geom.Point{X: 8, Y: 10}},
		{false, geom.Point{X: 110, Y: 204}, geom.Point{X: 17, Y: 13}},
		{true, geom.Point{X: 100, Y: 200}, geom.Point{X: 11, Y: 9}},  // top left → top right
		{true, geom.Point{X: 110, Y: 200}, geom.Point{X: 11, Y: 19}}, // top right → bottom right
		{true, geom.Point{X: 110, Y: 204}, geom.Point{X: 7, Y: 19}},  // bottom right → bottom left
		{true, geom.Point{X: 100, Y: 204}, geom.Point{X: 7, Y: 9}},   // bottom left → top left
		{true, geom.Point{X: 101, Y: 201}, geom.Point{X: 10, Y: 10}},
		{true, geom.Point{X: 105, Y: 200}, geom.Point{X: 11, Y: 14}}, // mid top → mid right
	} {
		got := cut.Place(plate, design.Placed{X: 7, Y: 9, Turned: c.turned}).Point(c.in)
		if got.Dist(c.out) > 1e-12 {
			t.Errorf("turned %v: %v comes to %v, want %v", c.turned, c.in, got, c.out)
		}
	}
}

func TestPlanHoldsEveryHole(t *testing.T) {
	for _, doc := range []design.Document{cuttest.Badge(), cuttest.Marked(), cuttest.Many()} {
		sheets := plan(t, doc, cut.Options{})
		for i, s := range sheets {
			var got []cuttest.Hole
			for _, p := range s.Plates {
				for _, h := range p.Holes {
					got = append(got, cuttest.Hole{X: h.Centre.X, Y: h.Centre.Y, D: h.D, Plate: p.Plate})
				}
			}
			cuttest.Compare(t, doc.Design, cuttest.Expected(doc, doc.Sheets[i]), got)
			if s.Holes() != len(got) {
				t.Errorf("sheet says %d holes, has %d", s.Holes(), len(got))
			}
		}
	}
}

// The frame of a turned plate carries its notch on the right.
func TestFrameAndNotch(t *testing.T) {
	sheets := plan(t, cuttest.Badge(), cut.Options{})
	upright, turned := sheets[0].Plates[0].Frame, sheets[0].Plates[1].Frame
	const width, height = 81.37 + 8.25, 52.61 + 7.5
	wantUpright := geom.Ring{
		{X: 5, Y: 5.5},
		{X: 5 + width/2 - 2, Y: 5.5},
		{X: 5 + width/2, Y: 8.5},
		{X: 5 + width/2 + 2, Y: 5.5},
		{X: 5 + width, Y: 5.5},
		{X: 5 + width, Y: 5.5 + height},
		{X: 5, Y: 5.5 + height},
	}
	right := 101.333 + height
	wantTurned := geom.Ring{
		{X: right, Y: 6.25},
		{X: right, Y: 6.25 + width/2 - 2},
		{X: right - 3, Y: 6.25 + width/2},
		{X: right, Y: 6.25 + width/2 + 2},
		{X: right, Y: 6.25 + width},
		{X: 101.333, Y: 6.25 + width},
		{X: 101.333, Y: 6.25},
	}
	for _, c := range []struct{ got, want geom.Ring }{{upright, wantUpright}, {turned, wantTurned}} {
		if len(c.got) != len(c.want) {
			t.Fatalf("frame has %d points, want %d", len(c.got), len(c.want))
		}
		for i := range c.want {
			if c.got[i].Dist(c.want[i]) > 1e-9 {
				t.Errorf("frame point %d is %v, want %v", i, c.got[i], c.want[i])
			}
		}
	}
	if got := sheets[0].Plates[1].Nicks; len(got) != 2 || math.Abs(got[0].Length()-1.5) > 1e-9 {
		t.Errorf("plate 2 has nicks %v, want two of 1.5 mm", got)
	}
}

func TestNames(t *testing.T) {
	s := cut.Sheet{Plates: []cut.SheetPlate{{Plate: 1}, {Plate: 2}, {Plate: 1}}}
	if got, want := s.Names(), []string{"plate-1", "plate-2", "plate-1-copy-2"}; !reflect.DeepEqual(got, want) {
		t.Errorf("names %v, want %v", got, want)
	}
}

// The tour's length against Beardwood, Halton and Hammersley (1959): the best
// tour of n points spread evenly over an area A tends to 0.7124·√(n·A) (constant:
// Johnson and McGeoch 1996). With a border it is a little longer (their 0.33/n).
func TestTourIsShort(t *testing.T) {
	const n, side = 2000, 200.0
	doc := design.Document{Design: "spread", Plates: []design.Plate{{Number: 1, Frame: [4]float64{-5, -5, side + 5, side + 5}, Notch: [2]float64{100, -2}}}}
	seed := uint32(7)
	next := func() float64 {
		seed = seed*1664525 + 1013904223
		return float64(seed>>8) / (1 << 24) * side
	}
	for range n {
		doc.Plates[0].Holes = append(doc.Plates[0].Holes, design.Hole{X: next(), Y: next(), D: 1})
	}
	doc.Sheets = []design.Sheet{{Number: 1, Width: side + 10, Height: side + 10, Placed: []design.Placed{{Design: "spread", Plate: 1}}}}
	holes := plan(t, doc, cut.Options{Effort: tour.Thorough()})[0].Plates[0].Holes
	length := 0.0
	for i := 1; i < len(holes); i++ {
		length += holes[i].Centre.Dist(holes[i-1].Centre)
	}
	best := 0.7124 * math.Sqrt(n*side*side)
	t.Logf("tour %.0f mm, %.3f of the best there can be", length, length/best)
	if length > 1.05*best || length < 0.95*best {
		t.Errorf("the tour is %.0f mm, the best one about %.0f", length, best)
	}
}

func TestHomeChangesTheStart(t *testing.T) {
	doc := cuttest.Many()
	for _, c := range []struct {
		home cut.Corner
		at   geom.Point
	}{{cut.BottomLeft, geom.Point{Y: 508}}, {cut.TopLeft, geom.Point{}}, {cut.TopRight, geom.Point{X: 304.8}}, {cut.BottomRight, geom.Point{X: 304.8, Y: 508}}} {
		holes := plan(t, doc, cut.Options{Home: c.home})[0].Plates[0].Holes
		first, nearest := holes[0].Centre.Dist(c.at), math.Inf(1)
		for _, h := range holes {
			nearest = math.Min(nearest, h.Centre.Dist(c.at))
		}
		if first > nearest+20 {
			t.Errorf("home %v: the first hole is %.1f mm away, the nearest %.1f", c.home, first, nearest)
		}
	}
}

func TestPlanIsTheSameTwice(t *testing.T) {
	if !reflect.DeepEqual(plan(t, cuttest.Many(), cut.Options{}), plan(t, cuttest.Many(), cut.Options{})) {
		t.Error("two plans of one document differ")
	}
}

func TestPlanRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name, code string
		change     func(*design.Document)
	}{
		{"unknown plate", "cut-plate-unknown", func(d *design.Document) { d.Sheets[0].Placed[0].Plate = 9 }},
		{"another design", "cut-plate-unknown", func(d *design.Document) { d.Sheets[0].Placed[0].Design = "Other" }},
		{"no diameter", "cut-hole-size", func(d *design.Document) { d.Plates[0].Holes[3].D = 0 }},
		{"no number", "cut-hole-size", func(d *design.Document) { d.Plates[0].Holes[3].D = nan }},
		{"notch outside", "cut-notch", func(d *design.Document) { d.Plates[0].Notch[0] = -8 }},
		{"notch above", "cut-notch", func(d *design.Document) { d.Plates[0].Notch[1] = d.Plates[0].Frame[1] }},
		{"frame off the sheet", "cut-off-sheet", func(d *design.Document) { d.Sheets[0].Placed[0].X = 90 }},
		{"hole off the sheet", "cut-off-sheet", func(d *design.Document) { d.Plates[0].Holes[0].X = -40 }},
		{"hole nowhere", "cut-off-sheet", func(d *design.Document) { d.Plates[0].Holes[0].X = nan }},
		{"nick off the sheet", "cut-off-sheet", func(d *design.Document) { d.Plates[0].Nicks[0][1] = -50 }},
		{"place nowhere", "cut-off-sheet", func(d *design.Document) { d.Sheets[0].Placed[0].Y = inf }},
		{"endless sheet", "cut-off-sheet", func(d *design.Document) { d.Sheets[0].Width = inf }},
	} {
		doc := cuttest.Badge()
		c.change(&doc)
		_, err := cut.Plan(doc, cut.Options{})
		if fault.CodeOf(err) != c.code {
			t.Errorf("%s: %v, want the code %s", c.name, err, c.code)
		}
	}
}

func TestPlanOfNothing(t *testing.T) {
	if sheets := plan(t, design.Document{}, cut.Options{}); len(sheets) != 0 {
		t.Errorf("an empty document gives %d sheets", len(sheets))
	}
	doc := cuttest.Many()
	doc.Plates[0].Holes = nil
	if n := plan(t, doc, cut.Options{})[0].Holes(); n != 0 {
		t.Errorf("a plate without holes gives %d", n)
	}
}

func plan(t *testing.T, doc design.Document, opt cut.Options) []cut.Sheet {
	t.Helper()
	sheets, err := cut.Plan(doc, opt)
	if err != nil {
		t.Fatal(err)
	}
	return sheets
}
