package layout

import (
	"math"

	"brushfall/internal/geom"
)

// How a symmetry is found.
const (
	// symmetryOff is how far an outline may lie from its image, in mm: flattened
	// curves and hand-drawn halves agree no better.
	symmetryOff   = 0.05
	symmetryProbe = 160 // places of the outline that are compared
	mostTurns     = 12  // the highest order of rotation looked for
	// axisStep is the distance of the axes tried, in radians, and axisLoose how
	// far, as a share of the region's size, the outline may then lie from its
	// image for the axis to be looked at closer.
	axisStep  = math.Pi / 360
	axisLoose = 0.02
	axisFine  = 12 // narrowings that bring it near
)

// symmetry is a group of maps that take a region to itself: ops[0] maps every
// point to itself. Axes are the directions of its mirrors, in radians.
type symmetry struct {
	ops    []geom.Affine
	axes   []float64
	centre geom.Point
	turns  int // order of the rotations, 1 for none
}

// trivial says that only the map to itself is in the group.
func (y *symmetry) trivial() bool { return y == nil || len(y.ops) < 2 }

// symmetriesOf gives the groups worth laying an area out by, the largest first;
// none for one that has no symmetry. A round area, whose every turn is one, is laid
// by an upright mirror.
func symmetriesOf(shape geom.Shape, outline *geom.Boundary) []*symmetry {
	f := newSymmetryFinder(shape, outline)
	turns := f.turns()
	if turns > 2 && f.holds(f.turn(2*math.Pi/5)) && f.holds(f.turn(2*math.Pi/7)) {
		return []*symmetry{f.group(1, []float64{math.Pi / 2})}
	}
	axis, mirrored := f.axis()
	if !mirrored {
		if turns == 1 {
			return nil
		}
		return []*symmetry{f.group(turns, nil)}
	}
	var axes []float64
	for k := range turns {
		axes = append(axes, math.Mod(axis+math.Pi*float64(k)/float64(turns), math.Pi))
	}
	out := []*symmetry{f.group(turns, axes)}
	if turns > 1 {
		for _, a := range axes {
			out = append(out, f.group(1, []float64{a}))
		}
		out = append(out, f.group(turns, nil))
	}
	return out
}

// symmetryFinder compares an outline with its images.
type symmetryFinder struct {
	outline *geom.Boundary
	probes  []geom.Point
	centre  geom.Point
	size    float64
}

func newSymmetryFinder(shape geom.Shape, outline *geom.Boundary) symmetryFinder {
	f := symmetryFinder{outline: outline, centre: centroid(shape)}
	step := shape.Perimeter() / symmetryProbe
	for _, r := range shape.Rings {
		t := newTrack(r, true)
		n := max(3, int(t.total()/step))
		for i := range n {
			f.probes = append(f.probes, t.at(t.total()*float64(i)/float64(n)))
		}
	}
	for _, p := range f.probes {
		f.size = math.Max(f.size, p.Dist(f.centre))
	}
	return f
}

// turn gives the rotation about the centre.
func (f symmetryFinder) turn(angle float64) geom.Affine {
	return about(f.centre, geom.Rotate(angle))
}

// mirror gives the reflection in the line through the centre at an angle.
func (f symmetryFinder) mirror(angle float64) geom.Affine {
	return about(f.centre, geom.Rotate(angle).Mul(geom.Scale(1, -1)).Mul(geom.Rotate(-angle)))
}

// about gives m with c in place of the origin.
func about(c geom.Point, m geom.Affine) geom.Affine {
	return geom.Translate(c.X, c.Y).Mul(m).Mul(geom.Translate(-c.X, -c.Y))
}

// worst gives how far the image of the outline lies from it, or the first
// distance beyond enough.
func (f symmetryFinder) worst(m geom.Affine, enough float64) float64 {
	worst := 0.0
	// Places far apart first, so that a false map is found out soon.
	n := len(f.probes)
	for k, stride := 0, n*5/13+1; k < n; k++ {
		p := m.Apply(f.probes[(k*stride)%n])
		if worst = math.Max(worst, f.outline.Nearest(p).Dist); worst > enough {
			break
		}
	}
	return worst
}

func (f symmetryFinder) holds(m geom.Affine) bool { return f.worst(m, symmetryOff) <= symmetryOff }

// turns gives the highest order of rotation that takes the outline to itself.
func (f symmetryFinder) turns() int {
	for k := mostTurns; k > 1; k-- {
		if f.holds(f.turn(2 * math.Pi / float64(k))) {
			return k
		}
	}
	return 1
}

// axis finds a mirror line through the centre: upright or level if there is one.
func (f symmetryFinder) axis() (float64, bool) {
	for _, a := range [...]float64{math.Pi / 2, 0} {
		if f.holds(f.mirror(a)) {
			return a, true
		}
	}
	loose := axisLoose*f.size + symmetryOff
	for a := 0.0; a < math.Pi; a += axisStep {
		if f.worst(f.mirror(a), loose) > loose {
			continue
		}
		lo, hi := a-axisStep, a+axisStep
		for range axisFine {
			third := (hi - lo) / 3
			if f.worst(f.mirror(lo+third), math.Inf(1)) < f.worst(f.mirror(hi-third), math.Inf(1)) {
				hi -= third
			} else {
				lo += third
			}
		}
		if best := f.trueAxis((lo + hi) / 2); f.holds(f.mirror(best)) {
			return best, true
		}
	}
	return 0, false
}

// axisTrue is how often an axis is turned by what the images are off on average.
const axisTrue = 40

// trueAxis turns an axis until the images of the outline lie on it, on average: a
// mirror line turned by an angle turns every image by twice that.
func (f symmetryFinder) trueAxis(axis float64) float64 {
	for range axisTrue {
		m := f.mirror(axis)
		moment, weight := 0.0, 0.0
		for _, p := range f.probes {
			q := m.Apply(p)
			arm := q.Sub(f.centre)
			moment += arm.Cross(f.outline.Nearest(q).Point.Sub(q))
			weight += arm.Len2()
		}
		axis += moment / weight / 2
	}
	return axis
}

// group makes the group of the rotations of an order and the mirrors at axes.
func (f symmetryFinder) group(turns int, axes []float64) *symmetry {
	y := &symmetry{centre: f.centre, turns: turns, axes: axes}
	for k := range turns {
		y.ops = append(y.ops, f.turn(2*math.Pi*float64(k)/float64(turns)))
	}
	y.ops[0] = geom.Identity()
	for _, a := range axes {
		y.ops = append(y.ops, f.mirror(a))
	}
	return y
}

// onAxis gives the foot of p on a mirror line.
func (y *symmetry) onAxis(p geom.Point, axis float64) geom.Point {
	sin, cos := math.Sincos(axis)
	u := geom.Point{X: cos, Y: sin}
	return y.centre.Add(u.Mul(p.Sub(y.centre).Dot(u)))
}

// first says whether p comes before all of its images, so that of each set of
// images one is first: those that do fill a sector.
func (y *symmetry) first(p geom.Point) bool {
	for _, m := range y.ops[1:] {
		q := m.Apply(p)
		if q.X < p.X-grid || (q.X <= p.X+grid && q.Y < p.Y-grid) {
			return false
		}
	}
	return true
}

// settled moves a place that is nearer to an image of itself than near to where
// the two are one: onto a mirror or the centre.
func (y *symmetry) settled(p geom.Point, near float64) geom.Point {
	for range y.ops {
		moved := false
		for _, a := range y.axes {
			if foot := y.onAxis(p, a); foot.Dist(p) > grid && 2*foot.Dist(p) < near {
				p, moved = foot, true
			}
		}
		if !moved {
			break
		}
	}
	for _, m := range y.ops[1:y.turns] {
		if d := m.Apply(p).Dist(p); d > grid && d < near {
			return y.centre
		}
	}
	return p
}
