package dxfin

import (
	"github.com/tidwall/rtree"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// Areas are found from the crossings of outlines, so their number is what a
// drawing costs. Artwork has a few thousand; a scribble of 2,000 random sides
// has half a million and is no artwork. mostMeetings bounds the pairs of sides
// that are looked at, some seconds' work.
const (
	mostCrossings = 50_000
	mostMeetings  = 50_000_000
)

// edge is a side of an outline or a piece of a line.
type edge struct{ a, b geom.Point }

// checkTangle refuses paths of one layer and colour that cross too often.
func checkTangle(paths []path) error {
	var tree rtree.RTreeG[edge]
	crossings, meetings := 0, 0
	for _, p := range paths {
		for i, a := range p.points {
			next := (i + 1) % len(p.points)
			if next == 0 && !p.closed {
				break
			}
			e := edge{a, p.points[next]}
			low, high := e.box()
			tree.Search(low, high, func(_, _ [2]float64, f edge) bool {
				meetings++
				if crosses(e, f) {
					crossings++
				}
				return crossings <= mostCrossings && meetings <= mostMeetings
			})
			if crossings > mostCrossings || meetings > mostMeetings {
				return fault.New("dxf-tangled", p.from.where(), "the outlines of this layer and colour cross each other or crowd too much (over %d crossings): put them on layers of their own, or leave out what is not artwork", mostCrossings)
			}
			tree.Insert(low, high, e)
		}
	}
	return nil
}

func (e edge) box() (low, high [2]float64) {
	return [2]float64{min(e.a.X, e.b.X), min(e.a.Y, e.b.Y)}, [2]float64{max(e.a.X, e.b.X), max(e.a.Y, e.b.Y)}
}

// crosses says whether the edges cross in a point inside of both.
func crosses(e, f edge) bool {
	side := func(e edge, p geom.Point) float64 { return e.b.Sub(e.a).Cross(p.Sub(e.a)) }
	return side(e, f.a)*side(e, f.b) < 0 && side(f, e.a)*side(f, e.b) < 0
}
