package trial

import (
	"math"
	"slices"

	"brushfall/internal/geom"
)

// The placings of a honeycomb that are tried: turns over the 60° after which it
// repeats, and shifts along and across its rows.
const (
	combTurns  = 12
	combShifts = 4
)

// Honeycomb gives the points of the honeycomb of the pitch p that has the most
// of them in the allowed set, over 12 turns and 16 shifts; the first among equals.
func Honeycomb(allowed geom.Shape, p float64) []geom.Point {
	h := p * math.Sqrt(3) / 2
	most, bestTurn, bestX, bestY := -1, 0.0, 0.0, 0.0
	for i := range combTurns {
		turn := math.Pi / 3 * float64(i) / combTurns
		turned := allowed.Transform(geom.Rotate(-turn))
		for k := range combShifts {
			y := h * float64(k) / combShifts
			lines := scan(turned, y, h)
			for l := range combShifts {
				x, n := p*float64(l)/combShifts, 0
				for _, line := range lines {
					line.each(x, p, func(float64) { n++ })
				}
				if n > most {
					most, bestTurn, bestX, bestY = n, turn, x, y
				}
			}
		}
	}
	var out []geom.Point
	back := geom.Rotate(bestTurn)
	for _, line := range scan(allowed.Transform(geom.Rotate(-bestTurn)), bestY, h) {
		line.each(bestX, p, func(x float64) {
			out = append(out, back.Apply(geom.Point{X: x, Y: bestY + float64(line.row)*h}))
		})
	}
	return out
}

// scanline is a row of a honeycomb and the places where it enters and leaves an area.
type scanline struct {
	row int
	xs  []float64
}

// touching is the slack in mm for a point that lies on the border.
const touching = 1e-9

// each calls f for every lattice point of the row in the area; odd rows are
// shifted by half a pitch.
func (l scanline) each(x, p float64, f func(x float64)) {
	if l.row%2 != 0 {
		x += p / 2
	}
	for i := 0; i+1 < len(l.xs); i += 2 {
		for k := math.Ceil((l.xs[i] - touching - x) / p); x+k*p <= l.xs[i+1]+touching; k++ {
			f(x + k*p)
		}
	}
}

// scan cuts an area by the lines y + k·h.
func scan(area geom.Shape, y, h float64) []scanline {
	cuts := map[int][]float64{}
	for _, ring := range area.Rings {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if a.Y > b.Y {
				a, b = b, a
			}
			// Half-open, so that a corner on the line is cut once or twice as it turns.
			for k := math.Ceil((a.Y - y) / h); y+k*h < b.Y; k++ {
				cuts[int(k)] = append(cuts[int(k)], a.X+(y+k*h-a.Y)/(b.Y-a.Y)*(b.X-a.X))
			}
		}
	}
	out := make([]scanline, 0, len(cuts))
	for row, xs := range cuts {
		slices.Sort(xs)
		out = append(out, scanline{row, xs})
	}
	slices.SortFunc(out, func(a, b scanline) int { return a.row - b.row })
	return out
}

// OffsetRows gives rows along the border of the allowed set and along its
// insets, a pitch p apart, with a stone after each step of p and no repair: where
// a row meets itself or another, the later stone is left out. The first outer of
// them are those along the border.
func OffsetRows(allowed geom.Shape, p float64) (rows []geom.Point, outer int) {
	var out []geom.Point
	set := geom.NewIndex(allowed.Bounds(), p)
	for row := allowed; !row.Empty(); row = geom.Inset(row, p, chordError) {
		for _, ring := range row.Rings {
			for _, at := range steps(ring, p) {
				if _, _, near := set.Nearest(at, p-touching, -1); !near {
					set.Insert(len(out), at)
					out = append(out, at)
				}
			}
		}
		if outer == 0 {
			outer = len(out)
		}
	}
	return out, outer
}

// FramedHoneycomb gives a row of stones that stands along the border of the allowed
// set, and the best clipped honeycomb of what keeps a pitch p from all of that
// border: what a bed within a rim is before its seam is mended.
func FramedHoneycomb(row []geom.Point, allowed geom.Shape, p float64) []geom.Point {
	return slices.Concat(row, Honeycomb(geom.Inset(allowed, p, chordError), p))
}

// steps walks a ring from its first point and stops wherever it is p away, in
// a straight line, from the stop before.
func steps(ring geom.Ring, p float64) []geom.Point {
	out := []geom.Point{ring[0]}
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		for {
			t, ok := leaves(a, b, out[len(out)-1], p)
			if !ok {
				break
			}
			a = a.Lerp(b, t)
			out = append(out, a)
		}
	}
	return out
}

// leaves gives where the way from a to b leaves the circle of radius r around
// c, as a share of the way; false if it does not, or starts outside.
func leaves(a, b, c geom.Point, r float64) (float64, bool) {
	if b.Dist2(c) < r*r {
		return 0, false
	}
	d, e := b.Sub(a), a.Sub(c)
	q, l := e.Dot(d), d.Len2()
	root := q*q - l*(e.Len2()-r*r)
	if l == 0 || root < 0 {
		return 0, false
	}
	t := (-q + math.Sqrt(root)) / l
	return t, t >= 0 && t <= 1
}
