package geom

import "math"

// mostPieces bounds the points of one flattened curve: a curve of 1 m radius
// keeps within 0.001 mm of its chords with fewer.
const mostPieces = 4096

// pieces turns a wanted number of chords into a usable one.
func pieces(n float64) int {
	if !(n > 1) { // NaN too
		return 1
	}
	return int(min(math.Ceil(n), mostPieces))
}

// FlattenCubic appends the points after p0 of a polyline along the cubic Bézier
// curve, the last being p3 itself, no part of the curve farther than tol (mm, > 0)
// from its chord, up to 4096 points. Points that repeat the one before are left out,
// save p3. Any control points will do: cusps, loops, all in one place.
//
// Number of pieces by Wang's formula: n = √(√((2·3/8)²·M²)/tol), M the larger second
// difference of the control points (Wang 1984, in Goldman, Pyramid Algorithms, 2003).
func FlattenCubic(dst []Point, p0, p1, p2, p3 Point, tol float64) []Point {
	m := max(p0.Sub(p1.Mul(2)).Add(p2).Len(), p1.Sub(p2.Mul(2)).Add(p3).Len())
	n := pieces(math.Sqrt(0.75 * m / tol))
	last := p0
	for i := 1; i < n; i++ {
		t := float64(i) / float64(n)
		a, b, c := p0.Lerp(p1, t), p1.Lerp(p2, t), p2.Lerp(p3, t)
		if p := a.Lerp(b, t).Lerp(b.Lerp(c, t), t); p != last {
			dst, last = append(dst, p), p
		}
	}
	return append(dst, p3)
}

// FlattenQuad does as FlattenCubic for the quadratic Bézier curve p0, p1, p2.
func FlattenQuad(dst []Point, p0, p1, p2 Point, tol float64) []Point {
	n := pieces(math.Sqrt(p0.Sub(p1.Mul(2)).Add(p2).Len() / (4 * tol)))
	last := p0
	for i := 1; i < n; i++ {
		t := float64(i) / float64(n)
		if p := p0.Lerp(p1, t).Lerp(p1.Lerp(p2, t), t); p != last {
			dst, last = append(dst, p), p
		}
	}
	return append(dst, p2)
}

// FlattenArc appends the points after the start of a polyline along an elliptical
// arc: half axes rx, ry (mm), the first turned by rotation from +x; from angle start
// on by sweep, all in radians, positive from +x towards +y. The points lie on the
// arc, no part of it farther than tol (mm, > 0) from its chord, up to 4096 points.
// The first point is not given, the last is; without sweep that is one point.
func FlattenArc(dst []Point, centre Point, rx, ry, rotation, start, sweep, tol float64) []Point {
	sinR, cosR := math.Sincos(rotation)
	n := arcPieces(max(math.Abs(rx), math.Abs(ry)), sweep, tol)
	for i := 1; i <= n; i++ {
		sin, cos := math.Sincos(start + sweep*float64(i)/float64(n))
		x, y := rx*cos, ry*sin
		dst = append(dst, Point{centre.X + x*cosR - y*sinR, centre.Y + x*sinR + y*cosR})
	}
	return dst
}

// arcPieces gives the number of chords that keep within tol of an arc: a chord
// over the angle s leaves r·(1 − cos(s/2)).
func arcPieces(r, sweep, tol float64) int {
	step := math.Pi / 2
	if share := 1 - tol/r; share > math.Cos(step/2) {
		step = 2 * math.Acos(min(share, 1))
	}
	return pieces(math.Abs(sweep)/step - 1e-9)
}

// EllipticalArc appends the points after from of a polyline along the arc of an SVG
// path's A command, the last being to itself. rotation is in radians; large and
// sweep are the flags. By SVG 1.1 appendix F.6: equal ends give nothing, a zero
// radius a straight line, radii too small are scaled up. tol as in FlattenArc.
func EllipticalArc(dst []Point, from, to Point, rx, ry, rotation float64, large, sweep bool, tol float64) []Point {
	if from == to {
		return dst
	}
	rx, ry = math.Abs(rx), math.Abs(ry)
	if !(rx > 0 && ry > 0) {
		return append(dst, to)
	}
	sin, cos := math.Sincos(rotation)
	half := from.Sub(to).Mul(0.5)
	x, y := cos*half.X+sin*half.Y, -sin*half.X+cos*half.Y // F.6.5.1
	if lambda := x*x/(rx*rx) + y*y/(ry*ry); lambda > 1 {  // F.6.6.3
		rx, ry = rx*math.Sqrt(lambda), ry*math.Sqrt(lambda)
	}
	below := rx*rx*y*y + ry*ry*x*x // F.6.5.2
	k := math.Sqrt(max(0, rx*rx*ry*ry/below-1))
	if large == sweep {
		k = -k
	}
	cx, cy := k*rx*y/ry, -k*ry*x/rx
	centre := from.Lerp(to, 0.5).Add(Point{cos*cx - sin*cy, sin*cx + cos*cy}) // F.6.5.3
	start := math.Atan2((y-cy)/ry, (x-cx)/rx)                                 // F.6.5.5
	turn := math.Atan2((-y-cy)/ry, (-x-cx)/rx) - start                        // F.6.5.6
	if sweep && turn < 0 {
		turn += 2 * math.Pi
	} else if !sweep && turn > 0 {
		turn -= 2 * math.Pi
	}
	if math.IsNaN(turn) || math.IsNaN(centre.X) || math.IsNaN(centre.Y) {
		return append(dst, to)
	}
	dst = FlattenArc(dst, centre, rx, ry, rotation, start, turn, tol)
	dst[len(dst)-1] = to
	return dst
}
