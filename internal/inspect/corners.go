package inspect

import (
	"math"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Corners: a path turns by more than cornerTurn between its flanks, each a
// pitch long and no further from straight than flankSag of a pitch. A circle so
// large that its arcs pass for flanks (radius 2.5 pitches) turns by 23° only.
// Round a corner that points into the area the path is an arc of the radius that
// the stones keep from the outline: there the flanks begin arcShare of that
// radius away, half the arc of a right angle, and must be straighter, since the
// arcs of a circle lie further apart.
const (
	cornerTurn = 35 * math.Pi / 180
	flankSag   = 0.05
	arcShare   = math.Pi / 4
	arcSag     = 0.035
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
			out = append(out, corners(l, false, pitch, 0)...)
		}
	} else if r.has(design.Rim) {
		for _, ring := range allowed.Rings {
			out = append(out, corners(ring, true, pitch, arcShare*(r.diameter/2+r.Margin))...)
		}
	}
	return out
}

// corners gives the corners of a path, the arcs of arc to either side of their
// middle among them. Of places nearer than half a flank the one that turns most
// is the corner; along an arc they turn alike, and it is the middle one.
func corners(path []geom.Point, closed bool, flank, arc float64) []geom.Point {
	var turns []turn
	w := newWalk(path, closed)
	way := 0.0
	for i := range path {
		if i > 0 {
			way += path[i-1].Dist(path[i])
		}
		c, ok := w.turn(i, 0, flank, flankSag)
		if !ok && arc > 0 {
			c, ok = w.turn(i, arc, flank, arcSag)
		}
		if c.way = way; ok && c.angle > cornerTurn {
			turns = append(turns, c)
		}
	}
	around := math.Inf(1)
	if closed {
		around = w.length
	}
	return peaks(turns, flank/2, around)
}

// turn is a place of a path, the angle it turns by there, and the way to its vertex
// along the path.
type turn struct {
	at    geom.Point
	angle float64
	way   float64
}

// before says whether a turn comes before another along a path, the short way around
// a closed one: wherever its first point is.
func (t turn) before(o turn, around float64) bool {
	ahead := o.way - t.way
	if math.IsInf(around, 1) {
		return ahead > 0
	}
	if ahead < 0 {
		ahead += around
	}
	return ahead > 0 && ahead <= around/2
}

// alike is the difference below which two turns are one, in radians.
const alike = 1e-3

// peaks picks the places that turn most within reach; of a run of them that turn
// alike, the middle one, and of two runs the first along the path, which around long
// comes to its begin again.
func peaks(turns []turn, reach, around float64) []geom.Point {
	var out []geom.Point
	for i := 0; i < len(turns); {
		j := i
		for j+1 < len(turns) && turns[j+1].at.Dist(turns[i].at) < reach && math.Abs(turns[j+1].angle-turns[i].angle) < alike {
			j++
		}
		best := true
		for k, o := range turns {
			sharper := o.angle > turns[i].angle+alike || o.before(turns[i], around) && math.Abs(o.angle-turns[i].angle) <= alike
			best = best && !((k < i || k > j) && sharper && o.at.Dist(turns[i].at) < reach)
		}
		if best {
			out = append(out, turns[(i+j)/2].at)
		}
		i = j + 1
	}
	return out
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

// turn gives the angle between the flanks of point i, which begin skip away from
// it, and the place of the path between them nearest to where they would cross;
// and whether both are there and straight.
func (w walk) turn(i int, skip, flank, sag float64) (turn, bool) {
	var ends [2][2]geom.Point
	for side, step := range [2]int{-1, 1} {
		near, far, ok := w.flank(i, step, skip, flank, sag)
		if !ok {
			return turn{}, false
		}
		ends[side] = [2]geom.Point{near, far}
	}
	in, out := ends[0][0].Sub(ends[0][1]), ends[1][1].Sub(ends[1][0])
	found := turn{at: w.path[i], angle: math.Abs(math.Atan2(in.Cross(out), in.Dot(out)))}
	switch cross := in.Cross(out); {
	case skip == 0:
	case found.angle > hairpin:
		middle := ends[0][0].Lerp(ends[1][0], 0.5)
		ahead := in.Unit().Sub(out.Unit())
		found.at = w.least(i, skip, func(a, b geom.Point) (geom.Point, float64) { return beside(a, b, middle, ahead) })
	case cross != 0:
		// The lines of the flanks cross off the path; a corner's stone stands on it.
		meet := ends[0][0].Add(in.Mul(ends[1][0].Sub(ends[0][0]).Cross(out) / cross))
		found.at = w.least(i, skip, func(a, b geom.Point) (geom.Point, float64) { return nearest(a, b, meet) })
	}
	return found, true
}

// hairpin is the turn beyond which a path goes back beside itself, round the end of a
// narrow stroke: its flanks cross nowhere near, and the middle of the end is the corner.
const hairpin = 150 * math.Pi / 180

// nearest gives the place of a segment nearest to q, and its distance.
func nearest(a, b, q geom.Point) (geom.Point, float64) {
	d := b.Sub(a)
	u := math.Max(0, math.Min(1, q.Sub(a).Dot(d)/d.Len2()))
	at := a.Lerp(b, u)
	return at, at.Dist(q)
}

// beside gives the place of a segment nearest to the line through a point, and how far
// beside it that is.
func beside(a, b, through, along geom.Point) (geom.Point, float64) {
	from, to := along.Cross(a.Sub(through)), along.Cross(b.Sub(through))
	u := 0.0
	if from != to {
		u = math.Max(0, math.Min(1, from/(from-to)))
	}
	return a.Lerp(b, u), math.Abs(from+u*(to-from)) / along.Len()
}

// least gives the place of the path within reach of point i for which a rule gives the
// least, of those that it picks on each segment.
func (w walk) least(i int, reach float64, rule func(a, b geom.Point) (geom.Point, float64)) geom.Point {
	best, least := w.path[i], math.Inf(1)
	for _, step := range [2]int{-1, 1} {
		way, n := 0.0, len(w.path)
		for k := i; way < reach; {
			j := k + step
			if w.closed {
				j = (j + n) % n
			} else if j < 0 || j >= n {
				break
			}
			a, b := w.path[k], w.path[j]
			d := a.Dist(b)
			if d > 0 {
				if at, v := rule(a, a.Lerp(b, math.Min(1, (reach-way)/d))); v < least {
					best, least = at, v
				}
			}
			way += d
			k = j
		}
	}
	return best
}

// flank gives the places skip and skip + l along the path from point i, forwards
// or backwards, and whether the path is straight between them.
func (w walk) flank(i, step int, skip, l, sag float64) (near, far geom.Point, ok bool) {
	if w.closed && w.length < 2*(skip+l) {
		return near, far, false
	}
	n := len(w.path)
	near, started := w.path[i], skip == 0
	var passed []geom.Point
	way := 0.0
	for {
		j := i + step
		if w.closed {
			j = (j + n) % n
		} else if j < 0 || j >= n {
			return near, far, false
		}
		d := w.path[i].Dist(w.path[j])
		along := func(goal float64) geom.Point {
			return w.path[i].Lerp(w.path[j], (goal-way)/math.Max(d, math.SmallestNonzeroFloat64))
		}
		if !started && way+d >= skip {
			near, started = along(skip), true
		}
		if way+d >= skip+l {
			far = along(skip + l)
			return near, far, straight(near, far, passed, sag*l)
		}
		way += d
		i = j
		if started {
			passed = append(passed, w.path[i])
		}
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
