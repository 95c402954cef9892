package cut_test

import (
	"math"
	"slices"
	"testing"

	"brushfall/internal/cut"
	"brushfall/internal/cut/cuttest"
	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Plates of 40 × 30 mm side by side: worked by hand, what is cut is the union of
// the frames' edges, each stretch once.
func TestCommonEdgesAreCutOnce(t *testing.T) {
	plate := func(n int) design.Plate {
		return design.Plate{Number: n, Frame: [4]float64{0, 0, 40, 30}, Notch: [2]float64{20, 3}, Holes: []design.Hole{{X: 20, Y: 15, D: 3}}}
	}
	v := 2 * math.Hypot(2, 3) // the V of a notch
	whole := 2*(40+30) - 4 + v
	for _, c := range []struct {
		name   string
		at     [][2]float64
		length float64
		lines  int // open lines of the first plate; 0: it is whole
	}{
		{"apart", [][2]float64{{10, 10}, {60, 10}}, 2 * whole, 0},
		{"a hundredth apart", [][2]float64{{10, 10}, {50.005, 10}}, 2*whole - 30, 1},
		{"side by side", [][2]float64{{10, 10}, {50, 10}}, 2*whole - 30, 1},
		{"right one first", [][2]float64{{50, 10}, {10, 10}}, 2*whole - 30, 1},
		{"half beside", [][2]float64{{10, 10}, {50, 25}}, 2*whole - 15, 1},
		{"in a corner", [][2]float64{{10, 10}, {50, 40}}, 2 * whole, 0},
		// Above: the lower edge of the later one closes the first one's notch, whose V stays.
		{"one above, later", [][2]float64{{10, 50}, {10, 20}}, 2*whole - 36, 2},
		{"one above, first", [][2]float64{{10, 20}, {10, 50}}, 2*whole - 36, 2},
		{"four", [][2]float64{{10, 10}, {50, 10}, {10, 40}, {50, 40}}, 4*whole - 2*30 - 2*36, 2},
	} {
		doc := design.Document{Design: "d"}
		sheet := design.Sheet{Number: 1, Width: 200, Height: 200}
		for i, at := range c.at {
			doc.Plates = append(doc.Plates, plate(i+1))
			sheet.Placed = append(sheet.Placed, design.Placed{Design: "d", Plate: i + 1, X: at[0], Y: at[1]})
		}
		doc.Sheets = []design.Sheet{sheet}
		s := plan(t, doc, cut.Options{})[0]
		length, lines := 0.0, 0
		for i, p := range s.Plates {
			cuts := p.Cuts()
			if last := cuts[len(cuts)-1]; last.Kind != cut.Frame || cuts[0].Kind != cut.Hole {
				t.Errorf("%s: plate %d goes from %v to %v", c.name, i+1, cuts[0].Kind, last.Kind)
			}
			for _, k := range cuts {
				if k.Kind != cut.Frame {
					continue
				}
				length += k.Line.Length()
				if k.Closed {
					length += k.Line[len(k.Line)-1].Dist(k.Line[0])
				} else if i == 0 {
					lines++
				}
			}
		}
		if math.Abs(length-c.length) > 0.02 || lines != c.lines {
			t.Errorf("%s: %.3f mm of frames in %d lines, want %.3f in %d", c.name, length, lines, c.length, c.lines)
		}
		if last := s.Plates[len(s.Plates)-1]; last.Shared {
			t.Errorf("%s: the last frame is not whole", c.name)
		}
	}
}

// A plate is cut from the inside out: holes, marks, nicks, frame.
func TestOrderOfKinds(t *testing.T) {
	p := plan(t, cuttest.Badge(), cut.Options{})[0].Plates[1]
	p.Marks = []geom.Line{{{X: 1, Y: 1}, {X: 3, Y: 1}, {X: 3, Y: 3}}}
	var kinds []cut.Kind
	for _, c := range p.Cuts() {
		if n := len(kinds); n == 0 || kinds[n-1] != c.Kind {
			kinds = append(kinds, c.Kind)
		}
	}
	if want := []cut.Kind{cut.Hole, cut.Mark, cut.Nick, cut.Frame}; !slices.Equal(kinds, want) {
		t.Errorf("the plate goes %v, want %v", kinds, want)
	}
}
