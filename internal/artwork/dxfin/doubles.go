package dxfin

import (
	"math"
	"strconv"

	"brushfall/internal/geom"
)

// doubled is how near, in mm, two outlines must lie all along to be the same one
// drawn twice: far under any gap between stones.
const doubled = 0.05

// mostAlike is how many outlines in the same box are compared with one another;
// drawings have two or three, hostile files could have any number.
const mostAlike = 8

const doubledMessage = "it is drawn twice; the second one was left out, since two would cancel each other"

// withoutDoubles drops open paths that are the same as an earlier one, either
// way round, to a thousandth of a mm.
func withoutDoubles(paths []path, notes *notes) []path {
	seen := map[string]bool{}
	var out []path
	for _, p := range paths {
		forth, back := key(p.points, false), key(p.points, true)
		if seen[forth] || seen[back] {
			notes.add("dxf-doubled", p.from.where(), doubledMessage)
			continue
		}
		seen[forth] = true
		out = append(out, p)
	}
	return out
}

// key spells the points out.
func key(points []geom.Point, reversed bool) string {
	var b []byte
	for i := range points {
		p := points[i]
		if reversed {
			p = points[len(points)-1-i]
		}
		b = strconv.AppendInt(b, int64(math.Round(p.X*1000)), 36)
		b = append(b, ' ')
		b = strconv.AppendInt(b, int64(math.Round(p.Y*1000)), 36)
		b = append(b, ' ')
	}
	return string(b)
}

// boxKey is the cell of a box in a grid over its four sides.
type boxKey [4]int64

// singleOutlines drops closed outlines that run along an earlier one all the way:
// two of them would be read even-odd as nothing.
func singleOutlines(paths []path, notes *notes) []path {
	cells := map[boxKey][]path{}
	var out []path
	for _, p := range paths {
		box := geom.Bounds(p.points)
		if hasTwin(p, box, cells) {
			notes.add("dxf-doubled", p.from.where(), doubledMessage)
			continue
		}
		k := keyOf(box, 0, 0)
		cells[k] = append(cells[k], p)
		out = append(out, p)
	}
	return out
}

// hasTwin looks for an outline in nearly the same box that lies along p.
func hasTwin(p path, box geom.Box, cells map[boxKey][]path) bool {
	tried := map[boxKey]bool{}
	for corner := range 16 {
		k := keyOf(box, doubled, corner)
		if tried[k] {
			continue
		}
		tried[k] = true
		for i, q := range cells[k] {
			if i == mostAlike {
				break
			}
			if along(p.points, q.points) && along(q.points, p.points) {
				return true
			}
		}
	}
	return false
}

// keyOf gives the cell of a box whose sides are moved by d, up or down by the
// bits of corner. Cells are 2·doubled wide, so a box within doubled of another
// has one of its sixteen keys.
func keyOf(b geom.Box, d float64, corner int) boxKey {
	var k boxKey
	for i, v := range [4]float64{b.MinX, b.MinY, b.MaxX, b.MaxY} {
		if corner>>i&1 == 1 {
			v += d
		} else {
			v -= d
		}
		k[i] = int64(math.Floor(v / (2 * doubled)))
	}
	return k
}

// along says whether all points lie on the ring, within doubled.
func along(points, ring []geom.Point) bool {
	line := append(append(geom.Line{}, ring...), ring[0])
	b := geom.NewLineBoundary([]geom.Line{line})
	for _, p := range points {
		if !b.Within(p, doubled) {
			return false
		}
	}
	return true
}
