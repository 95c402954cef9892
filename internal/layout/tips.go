package layout

import (
	"math"

	"brushfall/internal/geom"
)

// tipReach is how far, in pitches, a spine's end may lie from a corner of the
// allowed set and still be meant for it.
const tipReach = 0.5

// tipAside is how far a corner may lie beside the spine's own line, in pitches:
// further, and it is one of the two corners of a square end.
const tipAside = 0.1

// toCorners leads the ends of spines that run out into a corner of the allowed
// set exactly there: a centre line is found by samples, a corner is a vertex.
func (s *site) toCorners(spines []spine) {
	var tips []geom.Point
	for _, ring := range s.path.Rings {
		t := newTrack(ring, true)
		for _, c := range t.corners(s.pitch, halfArc*s.depth) {
			tips = append(tips, t.at(c.s))
		}
	}
	for i := range spines {
		sp := &spines[i]
		for e := range 2 {
			if !sp.pinned[e] {
				continue
			}
			end := sp.track.points[e*(len(sp.track.points)-1)]
			line := sp.headingAt(e)
			best, near := end, tipReach*s.pitch
			for _, tip := range tips {
				if d := tip.Dist(end); d < near && math.Abs(line.Cross(tip.Sub(end))) <= tipAside*s.pitch && line.Dot(tip.Sub(end)) <= tipAside*s.pitch {
					best, near = tip, d
				}
			}
			if best != end {
				sp.moveEnd(e, best)
			}
		}
	}
}

// headingAt gives the direction of a spine at one of its ends, read over about the
// stroke's width.
func (sp *spine) headingAt(end int) geom.Point {
	total := sp.track.total()
	reach := math.Min(total, sp.radii[0]+sp.radii[len(sp.radii)-1])
	if end == 0 {
		return sp.track.at(reach).Sub(sp.track.at(0)).Unit()
	}
	return sp.track.at(total - reach).Sub(sp.track.at(total)).Unit()
}

// moveEnd puts an end of a spine to another place nearby. Points that the way
// there would double back over are left out.
func (sp *spine) moveEnd(end int, to geom.Point) {
	if end == 1 {
		turned := sp.reversed()
		turned.moveEnd(0, to)
		*sp = turned.reversed()
		return
	}
	points, radii := sp.track.points, sp.radii
	inwards, way := sp.headingAt(0), to.Dist(points[0])
	for i := 1; i+1 < len(sp.track.points) && sp.track.length[i] <= 2*way && points[1].Sub(to).Dot(inwards) <= 0; i++ {
		points, radii = points[1:], radii[1:]
	}
	points = append([]geom.Point{to}, points[1:]...)
	if points[0] == points[1] {
		points, radii = points[1:], radii[1:]
	}
	sp.track, sp.radii = newTrack(points, false), append([]float64(nil), radii...)
}
