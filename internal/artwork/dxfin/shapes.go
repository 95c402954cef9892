package dxfin

import (
	"math"

	"brushfall/internal/geom"
)

// reader turns an entity to points in its plane, and says whether they are closed.
type reader func(w *walk, e *entity, f *fields, p plane) (points []geom.Point, closed bool)

// readers holds the kinds that are read; INSERT is laid out by walk.insert.
var readers = map[string]reader{
	"LINE":       readLine,
	"CIRCLE":     readCircle,
	"ARC":        readArc,
	"ELLIPSE":    readEllipse,
	"LWPOLYLINE": readLightPolyline,
	"POLYLINE":   readPolyline,
	"SPLINE":     readSpline,
	"SOLID":      readSolid,
	"TRACE":      readSolid,
}

func readLine(w *walk, e *entity, f *fields, _ plane) ([]geom.Point, bool) {
	if f.number(30, 0) != f.number(31, 0) {
		w.flattened(e)
	}
	return []geom.Point{{X: f.need(10), Y: f.need(20)}, {X: f.need(11), Y: f.need(21)}}, false
}

// flattened notes that heights are lost.
func (w *walk) flattened(e *entity) {
	w.notes.add("dxf-flattened", e.where(), "its points lie at different heights: it is read as seen from above")
}

func readCircle(_ *walk, _ *entity, f *fields, p plane) ([]geom.Point, bool) {
	centre, r := geom.Point{X: f.need(10), Y: f.need(20)}, math.Abs(f.need(40))
	if r == 0 {
		return nil, true
	}
	return geom.FlattenArc(nil, centre, r, r, 0, 0, 2*math.Pi, p.chord), true
}

func readArc(_ *walk, _ *entity, f *fields, p plane) ([]geom.Point, bool) {
	centre, r := geom.Point{X: f.need(10), Y: f.need(20)}, math.Abs(f.need(40))
	start, sweep := sweepOf(f.need(50)*math.Pi/180, f.need(51)*math.Pi/180)
	if r == 0 {
		return nil, false
	}
	return arc(centre, r, r, 0, start, sweep, p.chord), false
}

// readEllipse reads an ellipse or a part of one. Group 11 is the end of the
// major axis from the centre, 40 the minor axis' share of it, 41 and 42 the
// parameters of the ends. Seen from behind, it runs the other way round.
func readEllipse(_ *walk, _ *entity, f *fields, p plane) ([]geom.Point, bool) {
	centre, major := geom.Point{X: f.need(10), Y: f.need(20)}, geom.Point{X: f.need(11), Y: f.need(21)}
	a := major.Len()
	b := a * f.need(40)
	if p.flipped {
		b = -b
	}
	start, sweep := sweepOf(f.number(41, 0), f.number(42, 2*math.Pi))
	if a == 0 || b == 0 {
		return nil, false
	}
	turn := math.Atan2(major.Y, major.X)
	if sweep == 2*math.Pi {
		return geom.FlattenArc(nil, centre, a, b, turn, start, 2*math.Pi, p.chord), true
	}
	return arc(centre, a, b, turn, start, sweep, p.chord), false
}

// roundTurn is how near to a whole turn a sweep is one, in radians: files write
// 2π with ten digits or more, rounded up or down.
const roundTurn = 1e-8

// sweepOf gives the way from one angle on to the other, in (0, 2π].
func sweepOf(start, end float64) (float64, float64) {
	sweep := math.Mod(end-start, 2*math.Pi)
	if sweep < 0 {
		sweep += 2 * math.Pi
	}
	if sweep < roundTurn || sweep > 2*math.Pi-roundTurn {
		sweep = 2 * math.Pi
	}
	return math.Mod(start, 2*math.Pi), sweep
}

// arc gives the points of an arc with both its ends.
func arc(centre geom.Point, rx, ry, turn, start, sweep, chord float64) []geom.Point {
	first := geom.FlattenArc(nil, centre, rx, ry, turn, start, 0, chord)
	return geom.FlattenArc(first, centre, rx, ry, turn, start, sweep, chord)
}

// corner is a vertex of a polyline; bulge is the tangent of a quarter of the
// angle of the arc to the next vertex, positive counter-clockwise (y up).
type corner struct {
	geom.Point
	bulge float64
}

func readLightPolyline(w *walk, e *entity, f *fields, p plane) ([]geom.Point, bool) {
	var corners []corner
	wide := false
	for _, t := range e.tags {
		switch t.code {
		case 10:
			corners = append(corners, corner{Point: geom.Point{X: f.float(t)}})
		case 20, 42:
			if len(corners) == 0 {
				continue
			}
			last := &corners[len(corners)-1]
			if v := f.float(t); t.code == 20 {
				last.Y = v
			} else {
				last.bulge = v
			}
		case 40, 41, 43:
			wide = wide || f.float(t) > 0
		}
	}
	if wide {
		w.widened(e)
	}
	closed := f.whole(70, 0)&1 != 0
	return outline(corners, closed, p), closed
}

// widened notes that a polyline's own width is not read.
func (w *walk) widened(e *entity) {
	w.notes.add("dxf-width", e.where(), "its width is not read, only its middle line: draw the outline of a wide stroke")
}

// The flags of a POLYLINE and of its VERTEX that matter here.
const (
	polylineClosed  = 1
	polylineIn3D    = 8
	polylineMesh    = 16
	polylineFaces   = 64
	vertexOfControl = 16 // a control point of a spline fit, not on the line
)

// isMesh says whether a POLYLINE is no line but a mesh or a solid.
func (e *entity) isMesh(f *fields) bool {
	return e.kind == "POLYLINE" && f.whole(70, 0)&(polylineMesh|polylineFaces) != 0
}

func readPolyline(w *walk, e *entity, f *fields, p plane) ([]geom.Point, bool) {
	flags := f.whole(70, 0)
	var corners []corner
	wide := f.number(40, 0) > 0 || f.number(41, 0) > 0
	low, high := math.Inf(1), math.Inf(-1)
	for i := range e.vertices {
		v := e.vertices[i].fields()
		if v.whole(70, 0)&vertexOfControl == 0 {
			corners = append(corners, corner{geom.Point{X: v.need(10), Y: v.need(20)}, v.number(42, 0)})
			z := v.number(30, 0)
			low, high = math.Min(low, z), math.Max(high, z)
			wide = wide || v.number(40, 0) > 0 || v.number(41, 0) > 0
		}
		if v.err != nil {
			f.err = v.err
			return nil, false
		}
	}
	if wide {
		w.widened(e)
	}
	if flags&polylineIn3D != 0 && high > low {
		w.flattened(e)
	}
	closed := flags&polylineClosed != 0
	return outline(corners, closed, p), closed
}

// outline lays the corners out, with arcs where there is a bulge.
func outline(corners []corner, closed bool, p plane) []geom.Point {
	var out []geom.Point
	for i, c := range corners {
		out = append(out, c.Point)
		if len(out) > p.room {
			break
		}
		if last := i == len(corners)-1; c.bulge != 0 && !(last && !closed) {
			out = bulged(out, c.Point, corners[(i+1)%len(corners)].Point, c.bulge, p.chord)
		}
	}
	return out
}

// bulged appends the points between a and b on the arc with the bulge. The
// centre lies on the perpendicular through the middle, (1 − k²)/(2k) half
// chords away, k being the bulge.
func bulged(out []geom.Point, a, b geom.Point, bulge, chord float64) []geom.Point {
	half := b.Sub(a).Mul(0.5)
	if half.Len() == 0 {
		return out
	}
	centre := a.Add(half).Add(half.Perp().Mul((1 - bulge*bulge) / (2 * bulge)))
	r := centre.Dist(a)
	if r > farthest*farthest { // so flat that the chord is as good
		return out
	}
	from := a.Sub(centre)
	out = geom.FlattenArc(out, centre, r, r, 0, math.Atan2(from.Y, from.X), 4*math.Atan(bulge), chord)
	return out[:len(out)-1]
}

// readSolid reads a filled triangle or quadrangle; its third and fourth corner
// are swapped.
func readSolid(_ *walk, _ *entity, f *fields, _ plane) ([]geom.Point, bool) {
	a, b, c := geom.Point{X: f.need(10), Y: f.need(20)}, geom.Point{X: f.need(11), Y: f.need(21)}, geom.Point{X: f.need(12), Y: f.need(22)}
	d := geom.Point{X: f.number(13, c.X), Y: f.number(23, c.Y)}
	return []geom.Point{a, b, d, c}, true
}
