package svgin

import (
	"math"

	"brushfall/internal/geom"
)

// subpath is one run of a flattened path; a closed one does not repeat its start.
type subpath struct {
	points []geom.Point
	closed bool
}

// farthest is the largest coordinate that is drawn, in mm: 1 km. Beyond it the
// grid of the geometry is too coarse for stones.
const farthest = 1e6

// flatten turns segments into polylines no farther than tol from them; false as soon
// as they come to more than most points, as a curve of a few bytes can have thousands.
func flatten(segs []segment, tol float64, most int) ([]subpath, bool) {
	var list []subpath
	var at geom.Point
	total := 0
	for _, s := range segs {
		if total > most {
			return nil, false
		}
		if s.op == moveTo {
			at = s.p[0]
			list = append(list, subpath{points: []geom.Point{at}})
			total++
			continue
		}
		last := &list[len(list)-1]
		before := len(last.points)
		switch s.op {
		case lineTo:
			last.points, at = append(last.points, s.p[0]), s.p[0]
		case quadTo:
			last.points, at = geom.FlattenQuad(last.points, at, s.p[0], s.p[1], tol), s.p[1]
		case cubicTo:
			last.points, at = geom.FlattenCubic(last.points, at, s.p[0], s.p[1], s.p[2], tol), s.p[2]
		case arcTo:
			last.points = geom.EllipticalArc(last.points, at, s.p[0], s.rx, s.ry, s.turn*math.Pi/180, s.large, s.sweep, tol)
			at = s.p[0]
		case closePath:
			last.closed = true
			at = last.points[0]
		}
		total += len(last.points) - before
	}
	return list, total <= most
}

// mapped gives the subpaths under an affine map; false if a point is not finite
// or too far away.
func mapped(list []subpath, m geom.Affine, reach float64) ([]subpath, bool) {
	out := make([]subpath, len(list))
	for i, s := range list {
		points := make([]geom.Point, len(s.points))
		for k, p := range s.points {
			q := m.Apply(p)
			if !(math.Abs(q.X) <= reach && math.Abs(q.Y) <= reach) {
				return nil, false
			}
			points[k] = q
		}
		out[i] = subpath{points, s.closed}
	}
	return out, true
}

// rings gives the subpaths as rings to fill: open ones are closed by a straight line.
func rings(list []subpath) []geom.Ring {
	var out []geom.Ring
	for _, s := range list {
		if len(s.points) > 2 {
			out = append(out, geom.Ring(s.points))
		}
	}
	return out
}

// lines gives the subpaths as lines: a closed one ends where it starts.
func lines(list []subpath) []geom.Line {
	var out []geom.Line
	for _, s := range list {
		line := make(geom.Line, 0, len(s.points)+1)
		for _, p := range s.points {
			if len(line) == 0 || line[len(line)-1] != p {
				line = append(line, p)
			}
		}
		if s.closed && line[len(line)-1] != line[0] {
			line = append(line, line[0])
		}
		if len(line) > 1 {
			out = append(out, line)
		}
	}
	return out
}
