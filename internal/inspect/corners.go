package inspect

import (
	"math"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Corners: a path turns by more than cornerTurn between its flanks, each a
// pitch long and no further from straight than flankSag of a pitch. A circle so
// large that its arcs pass for flanks (radius 2.5 pitches) turns by 23° only.
const (
	cornerTurn = 35 * math.Pi / 180
	flankSag   = 0.05
)

// rowCorners gives the corners of a region's rim path, the border of the
// allowed centres, or of its open lines.
func (m *model) rowCorners(r *region, allowed geom.Shape) []geom.Point {
	pitch := r.diameter + r.Gap
	if pitch <= 0 {
		return nil
	}
	var out []geom.Point
	if r.Open {
		for _, l := range r.lines {
			out = append(out, corners(l, false, pitch)...)
		}
	} else if r.has(design.Rim) {
		for _, ring := range allowed.Rings {
			out = append(out, corners(ring, true, pitch)...)
		}
	}
	return out
}

// corners gives the corners of a path. Of places nearer than half a flank the
// one that turns most is the corner.
func corners(path []geom.Point, closed bool, flank float64) []geom.Point {
	type turn struct {
		at    geom.Point
		angle float64
	}
	var turns []turn
	w := newWalk(path, closed)
	for i, p := range path {
		before, straightBefore := w.flank(i, -1, flank)
		after, straightAfter := w.flank(i, 1, flank)
		if !straightBefore || !straightAfter {
			continue
		}
		in, out := p.Sub(before), after.Sub(p)
		if a := math.Abs(math.Atan2(in.Cross(out), in.Dot(out))); a > cornerTurn {
			turns = append(turns, turn{p, a})
		}
	}
	var corners []geom.Point
	for i, t := range turns {
		best := true
		for j, o := range turns {
			sharper := o.angle > t.angle || o.angle == t.angle && j < i
			best = best && !(j != i && sharper && o.at.Dist(t.at) < flank/2)
		}
		if best {
			corners = append(corners, t.at)
		}
	}
	return corners
}

// walk goes along a path.
type walk struct {
	path   []geom.Point
	closed bool
	length float64
}

func newWalk(path []geom.Point, closed bool) walk {
	w := walk{path, closed, geom.Line(path).Length()}
	if closed {
		w.length = geom.Ring(path).Length()
	}
	return w
}

// flank gives the place a way l along the path from point i, forwards or
// backwards, and whether the path is straight up to there.
func (w walk) flank(i, step int, l float64) (geom.Point, bool) {
	if w.closed && w.length < 2*l {
		return geom.Point{}, false
	}
	start, n := w.path[i], len(w.path)
	passed := []geom.Point{}
	way := 0.0
	for {
		j := i + step
		if w.closed {
			j = (j + n) % n
		} else if j < 0 || j >= n {
			return geom.Point{}, false
		}
		d := w.path[i].Dist(w.path[j])
		if way+d >= l {
			end := w.path[i].Lerp(w.path[j], (l-way)/math.Max(d, math.SmallestNonzeroFloat64))
			return end, straight(start, end, passed, flankSag*l)
		}
		way += d
		i = j
		passed = append(passed, w.path[i])
	}
}

// straight says whether points lie within sag of the segment a–b.
func straight(a, b geom.Point, points []geom.Point, sag float64) bool {
	u := b.Sub(a).Unit()
	for _, p := range points {
		if math.Abs(u.Cross(p.Sub(a))) > sag || p.Sub(a).Dot(u) < -sag {
			return false
		}
	}
	return true
}
