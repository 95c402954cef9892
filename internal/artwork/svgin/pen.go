package svgin

import (
	"math"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// pen is a stroke ready to be drawn: near maps the user's units to the plane that
// the pen is round in, k is the scale of that map, far maps on to the page.
type pen struct {
	near, far geom.Affine
	k         float64
}

// penOf keeps the plane of the pen at the scale of mm, so that tolerances hold there.
func penOf(n *node, m geom.Affine) pen {
	if n.props["vector-effect"] == "non-scaling-stroke" {
		return pen{m, geom.Identity(), mmPerPx}
	}
	k := m.MeanScale()
	return pen{geom.Scale(k, k), m.Mul(geom.Scale(1/k, 1/k)), k}
}

// stroke draws a stroke: an area, or lines if it is a hairline. second says that
// the element has a fill as well.
func (r *reader) stroke(n *node, s state, o outlined, width float64, c rgba, second bool) error {
	region := r.region(n, s, c)
	region.Stroke = true
	p := penOf(n, s.m)
	placed, ok := mapped(o.user, p.near, farthest)
	if !ok {
		r.warnFar(n)
		return nil
	}
	if width*p.k < r.opt.Hairline {
		if region.Lines = lines(o.page); len(region.Lines) > 0 {
			r.add(region, n, second)
		}
		return nil
	}
	style := geom.StrokeStyle{
		Width: width * p.k, Cap: s.style.cap, Join: s.style.join, MiterLimit: s.style.miterLimit,
		DashOffset: s.frame.px(s.style.dashOffset, diagonal) * p.k,
	}
	for _, d := range s.style.dashes {
		style.Dash = append(style.Dash, s.frame.px(d, diagonal)*p.k)
	}
	runs, closed := penLines(placed)
	tol := r.opt.Tolerance * p.k / s.m.MaxScale()
	if p.far == geom.Identity() {
		tol = r.opt.Tolerance
	}
	if r.points += dashPoints(runs, style.Dash); r.points > r.opt.MaxPoints {
		return fault.New("svg-too-many-points", n.where(), "the dashes come to more than %d points: use longer dashes, or a solid stroke", r.opt.MaxPoints)
	}
	if r.points += roundPoints(runs, closed, style, tol); r.points > r.opt.MaxPoints {
		return fault.New("svg-too-many-points", n.where(), "the round ends and corners of the stroke come to more than %d points: use a thinner stroke, or mitred corners", r.opt.MaxPoints)
	}
	region.Shape = geom.Stroke(runs, closed, style, tol)
	if p.far != geom.Identity() {
		region.Shape = geom.Fill(region.Shape.Transform(p.far).Rings, geom.NonZero)
	}
	if b := region.Shape.Bounds(); max(-b.MinX, -b.MinY, b.MaxX, b.MaxY) > farthest {
		r.warnFar(n)
		return nil
	}
	if !region.Shape.Empty() {
		r.add(region, n, second)
	}
	return nil
}

// penLines gives the subpaths as the pen takes them.
func penLines(list []subpath) (runs []geom.Line, closed []bool) {
	for _, s := range list {
		// A move with nothing after it is no line, not even a dot (SVG 1.1 §11.4).
		if len(s.points) > 1 || s.closed {
			runs = append(runs, geom.Line(s.points))
			closed = append(closed, s.closed)
		}
	}
	return runs, closed
}

// dashPoints estimates the points of a dashed stroke.
func dashPoints(runs []geom.Line, dash []float64) int {
	period := 0.0
	for _, d := range dash {
		period += d
	}
	if !(period > 0) {
		return 0
	}
	length := 0.0
	for _, l := range runs {
		length += l.Length()
	}
	const pointsPerDash, most = 16, 1e9
	return int(math.Min(length/period*float64(len(dash))*pointsPerDash, most))
}

// roundPoints estimates the points of the round caps and joins of a stroke: chords of
// circles of its half width that keep within tol.
func roundPoints(runs []geom.Line, closed []bool, style geom.StrokeStyle, tol float64) int {
	if style.Cap != geom.RoundCap && style.Join != geom.RoundJoin {
		return 0
	}
	step := 2 * math.Acos(math.Max(0, 1-tol/(style.Width/2)))
	turned := 0.0 // in radians
	for i, l := range runs {
		if style.Cap == geom.RoundCap && !closed[i] {
			turned += 2 * math.Pi
		}
		if style.Join != geom.RoundJoin {
			continue
		}
		for k := 2; k < len(l); k++ {
			in, out := l[k-1].Sub(l[k-2]), l[k].Sub(l[k-1])
			turned += math.Abs(math.Atan2(in.Cross(out), in.Dot(out)))
		}
	}
	const most = 1e9
	return int(math.Min(turned/math.Max(step, math.SmallestNonzeroFloat64), most))
}
