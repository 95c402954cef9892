package dxfin

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"brushfall/internal/geom"
)

// mostCandidates is how many ends near an end are looked at: where more meet,
// no way of joining them is the right one.
const mostCandidates = 16

// wideGap is the gap, in join tolerances, up to which an outline that stays open
// is taken for one that was meant to be closed.
const wideGap = 10

// pair is two ends within the tolerance. End 2i is the start of path i, 2i+1 its end.
type pair struct {
	a, b     int
	distance float64
}

// join chains open paths of one layer and colour whose ends lie within the
// tolerance, nearest ends first. It gives closed outlines and lines that stay
// open. Both ends of a gap move to its middle.
func join(paths []path, tolerance float64, notes *notes) (closed, open []path) {
	var loose []path
	for _, p := range paths {
		switch {
		case !p.closed:
			loose = append(loose, p)
		case encloses(p.points):
			closed = append(closed, p)
		default:
			open = append(open, asLine(p))
		}
	}
	loose = withoutDoubles(loose, notes)
	partner := partners(loose, tolerance, notes)
	used := make([]bool, len(loose))
	// Chains with loose ends first; what is left then runs in circles.
	for e := range partner {
		if partner[e] < 0 && !used[e/2] {
			open = append(open, chain(loose, partner, used, e))
		}
	}
	for e := range partner {
		if used[e/2] {
			continue
		}
		p := chain(loose, partner, used, e)
		switch {
		case len(p.points) < 3:
			// Two lines side by side, nearer than ends are joined.
			notes.add("dxf-doubled", p.from.where(), doubledMessage)
			open = append(open, p)
		case encloses(p.points):
			closed = append(closed, p)
		default:
			open = append(open, asLine(p))
		}
	}
	for _, p := range open {
		noteGap(p, tolerance, notes)
	}
	return closed, open
}

// encloses says whether the ring has an inside worth the name: more than a sliver
// of speck width.
func encloses(ring geom.Ring) bool {
	least := speck * ring.Length()
	// Loops of opposite sense cancel in the signed area, so a small one says nothing.
	return math.Abs(ring.Area()) > least || geom.Fill([]geom.Ring{ring}, geom.EvenOdd).Area() > least
}

// asLine opens a closed path: its last side stays.
func asLine(p path) path {
	p.points = append(p.points[:len(p.points):len(p.points)], p.points[0])
	p.closed = false
	return p
}

// partners gives the end that each end is joined to, −1 for none.
func partners(paths []path, tolerance float64, notes *notes) []int {
	partner := make([]int, 2*len(paths))
	near := make([]int, len(partner))
	for i := range partner {
		partner[i] = -1
	}
	pairs := pairsWithin(paths, tolerance)
	for _, p := range pairs {
		near[p.a]++
		near[p.b]++
		if partner[p.a] < 0 && partner[p.b] < 0 {
			partner[p.a], partner[p.b] = p.b, p.a
		}
	}
	for e, n := range near {
		if n > 1 {
			notes.add("dxf-junction", paths[e/2].from.where(), "more than two ends meet here, and perhaps in other places of this layer and colour, so outlines may be joined another way than meant: draw each outline as a polyline of its own, or put them on layers of their own")
			break // one place stands for all of this layer and colour
		}
	}
	return partner
}

// pairsWithin gives the pairs of ends within the tolerance, nearest first. The
// two ends of one path are a pair only if it is long enough to enclose something.
func pairsWithin(paths []path, tolerance float64) []pair {
	end := func(e int) geom.Point {
		if e%2 == 0 {
			return paths[e/2].points[0]
		}
		return paths[e/2].points[len(paths[e/2].points)-1]
	}
	type cell [2]int64
	at := func(p geom.Point) cell {
		return cell{int64(math.Floor(p.X / tolerance)), int64(math.Floor(p.Y / tolerance))}
	}
	cells := map[cell][]int{}
	for e := range 2 * len(paths) {
		c := at(end(e))
		cells[c] = append(cells[c], e)
	}
	var pairs []pair
	for a := range 2 * len(paths) {
		c := at(end(a))
		for dx := int64(-1); dx <= 1; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				others := cells[cell{c[0] + dx, c[1] + dy}]
				from, _ := slices.BinarySearch(others, a+1)
				for _, b := range others[from:min(from+mostCandidates, len(others))] {
					d := end(a).Dist(end(b))
					if d <= tolerance && (a/2 != b/2 || geom.Line(paths[a/2].points).Length() > 3*tolerance) {
						pairs = append(pairs, pair{a, b, d})
					}
				}
			}
		}
	}
	slices.SortFunc(pairs, func(p, q pair) int {
		return cmp.Or(cmp.Compare(p.distance, q.distance), p.a-q.a, p.b-q.b)
	})
	return pairs
}

// chain follows the partners from end e on, until there is none or the chain is
// back at its start; then the point where it closes is not repeated.
func chain(paths []path, partner []int, used []bool, e int) path {
	out := paths[e/2]
	out.points = nil
	for at := e; ; {
		p := paths[at/2]
		used[at/2] = true
		points := slices.Clone(p.points)
		if at%2 == 1 {
			slices.Reverse(points)
		}
		if p.order < out.order {
			out.order, out.from, out.groups = p.order, p.from, p.groups
		}
		if n := len(out.points); n > 0 {
			points[0] = out.points[n-1].Lerp(points[0], 0.5)
			out.points = out.points[:n-1]
		}
		out.points = append(out.points, points...)
		next := partner[at^1]
		if next == e {
			n := len(out.points) - 1
			out.points[0] = out.points[0].Lerp(out.points[n], 0.5)
			out.points = out.points[:n]
			out.closed = true
			return out
		}
		if next < 0 {
			return out
		}
		at = next
	}
}

// noteGap notes a line that nearly closes.
func noteGap(p path, tolerance float64, notes *notes) {
	gap := p.points[0].Dist(p.points[len(p.points)-1])
	if gap > tolerance && gap <= wideGap*tolerance && geom.Line(p.points).Length() > 4*wideGap*tolerance {
		notes.add("dxf-gap", p.from.where(), fmt.Sprintf("the outline that begins here stays open: its ends are %.2f mm apart, more than the %.2f mm that are joined. Close it in the drawing program, or it is set as a line", gap, tolerance))
	}
}
