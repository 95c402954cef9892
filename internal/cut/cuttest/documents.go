// Package cuttest holds the designs that the cut writers are checked with, and
// says where on a sheet their holes must be, worked out apart from package cut.
package cuttest

import (
	"math"

	"brushfall/internal/design"
)

// Badge is three plates with holes of three sizes on two sheets, one plate
// upright and two turned. No coordinate is round, and the design's origin lies
// inside the frames.
func Badge() design.Document {
	frame := [4]float64{-8.25, -7.5, 81.37, 52.61}
	plate := func(n int, holes []design.Hole) design.Plate {
		p := design.Plate{
			Number: n, Frame: frame,
			Notch: [2]float64{(frame[0] + frame[2]) / 2, frame[1] + 3},
			Holes: holes,
		}
		for i := range n {
			x := frame[0] + 4.1 + 2*float64(i)
			p.Nicks = append(p.Nicks, [4]float64{x, frame[1] + 1, x, frame[1] + 2.5})
		}
		return p
	}
	return design.Document{
		Version: design.Version, Unit: "mm", Design: "Heron <& badge>", Width: 73.12, Height: 45.11, Web: 0.5, Border: 6,
		Plates: []design.Plate{
			plate(1, ring(36.56, 22.55, 19.3, 29, 3.3)),
			plate(2, append(ring(36.56, 22.55, 12.13, 26, 2.4), ring(20, 20, 1.111, 1, 4.57)...)),
			plate(3, append(row(1.03, 2.07, 9, 8.431, 0.377, 7.05), row(3.3, 38.2, 14, 4.81, 0, 1.9)...)),
		},
		Sheets: []design.Sheet{
			{Number: 1, Width: 170.18, Height: 101.6, Placed: []design.Placed{
				{Design: "Heron <& badge>", Plate: 1, X: 5, Y: 5.5},
				{Design: "Heron <& badge>", Plate: 2, X: 101.333, Y: 6.25, Turned: true},
			}},
			{Number: 2, Width: 90, Height: 120, Placed: []design.Placed{
				{Design: "Heron <& badge>", Plate: 3, X: 12.34, Y: 20.01, Turned: true},
			}},
		},
	}
}

// Marked is the Badge with register marks and letters, cut mirrored.
func Marked() design.Document {
	doc := Badge()
	doc.Mirrored = true
	for i := range doc.Plates {
		p := &doc.Plates[i]
		x, y := p.Frame[0]+1.5, p.Frame[1]+1.5
		p.Register = [][][2]float64{{{x, y + 1.25}, {x + 2.5, y + 1.25}}, {{x + 1.25, y}, {x + 1.25, y + 2.5}}}
		p.Code = "N"
		p.Letters = [][][2]float64{{{x + 8.1, y + 4.2}, {x + 8.1, y}, {x + 11, y + 4.2}, {x + 11, y}}}
	}
	return doc
}

// Many is one plate with two thousand holes in a honeycomb on a sheet of
// 12 × 20 in.
func Many() design.Document {
	const pitch = 3.83
	var holes []design.Hole
	for i := range 2000 {
		r, c := i/50, i%50
		x := pitch * (float64(c) + 0.5*float64(r%2))
		holes = append(holes, design.Hole{X: x, Y: pitch * math.Sqrt(3) / 2 * float64(r), D: []float64{3.3, 2.4}[c/25]})
	}
	return design.Document{
		Version: design.Version, Unit: "mm", Design: "Honeycomb", Width: 193.5, Height: 129.4, Web: 0.5, Border: 6,
		Plates: []design.Plate{{
			Number: 1, Frame: [4]float64{-8, -8, 201.4, 137.3}, Notch: [2]float64{96.7, -5}, Holes: holes,
			Nicks: [][4]float64{{-4, -7, -4, -5}},
		}},
		Sheets: []design.Sheet{{Number: 1, Width: 304.8, Height: 508, Placed: []design.Placed{
			{Design: "Honeycomb", Plate: 1, X: 81.27, Y: 203.9, Turned: true},
		}}},
	}
}

func ring(x, y, r float64, n int, d float64) []design.Hole {
	var out []design.Hole
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.3) / float64(n))
		out = append(out, design.Hole{X: x + r*cos, Y: y + r*sin, D: d})
	}
	return out
}

func row(x, y float64, n int, dx, dy, d float64) []design.Hole {
	var out []design.Hole
	for i := range n {
		out = append(out, design.Hole{X: x + dx*float64(i), Y: y + dy*float64(i), D: d})
	}
	return out
}
