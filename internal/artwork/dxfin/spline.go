package dxfin

import (
	"math"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// The bounds of a spline: CAD programs go up to degree 11; a span is halved no
// more often than the points of any one curve in a drawing allow.
const (
	highestDegree = 11
	mostHalvings  = 10
)

// spline is a B-spline with weights.
type spline struct {
	degree  int
	knots   []float64
	points  []geom.Point
	weights []float64
}

func readSpline(w *walk, e *entity, f *fields, p plane) ([]geom.Point, bool) {
	s := spline{degree: f.whole(71, 3)}
	var through []geom.Point
	low, high := math.Inf(1), math.Inf(-1)
	for _, t := range e.tags {
		switch t.code {
		case 40:
			s.knots = append(s.knots, f.float(t))
		case 41:
			s.weights = append(s.weights, f.float(t))
		case 10:
			s.points = append(s.points, geom.Point{X: f.float(t)})
		case 11:
			through = append(through, geom.Point{X: f.float(t)})
		case 20:
			setY(s.points, f.float(t))
		case 21:
			setY(through, f.float(t))
		case 30:
			low, high = math.Min(low, f.float(t)), math.Max(high, f.float(t))
		}
	}
	if high > low {
		w.flattened(e)
	}
	if f.err != nil {
		return nil, false
	}
	if len(s.points) == 0 {
		w.notes.add("dxf-fit-points", e.where(), "it has fit points only: it is read as the smoothest curve through them, which may differ a little from the drawing program's")
		return interpolate(through, f.whole(70, 0)&1 != 0, p), false
	}
	if problem := s.problem(); problem != "" {
		f.err = fault.New("dxf-spline", e.where(), "%s: the file is damaged, export it again", problem)
		return nil, false
	}
	return s.flatten(p), false
}

// setY sets the y of the point begun last.
func setY(points []geom.Point, y float64) {
	if len(points) > 0 {
		points[len(points)-1].Y = y
	}
}

// problem says what is wrong with the spline, "" if nothing is. Missing weights
// become 1.
func (s *spline) problem() string {
	n := len(s.points)
	switch {
	case s.degree < 1 || s.degree > highestDegree:
		return "the spline's degree is not from 1 to 11"
	case n <= s.degree:
		return "the spline has too few control points for its degree"
	case len(s.knots) != n+s.degree+1:
		return "the spline's knots do not fit its control points"
	case len(s.weights) != 0 && len(s.weights) != n:
		return "the spline's weights do not fit its control points"
	}
	for i := 1; i < len(s.knots); i++ {
		if s.knots[i] < s.knots[i-1] {
			return "the spline's knots do not rise"
		}
	}
	for len(s.weights) < n {
		s.weights = append(s.weights, 1)
	}
	for _, w := range s.weights {
		if !(w > 0) {
			return "a weight of the spline is not above 0"
		}
	}
	return ""
}

// flatten gives a polyline along the spline, each span between two knots
// halved until no quarter of it leaves its chord by more than chord.
func (s *spline) flatten(p plane) []geom.Point {
	var out []geom.Point
	for k := s.degree; k < len(s.points) && len(out) <= p.room; k++ {
		a, b := s.knots[k], s.knots[k+1]
		if !(b > a) {
			continue
		}
		pa, pb := s.at(k, a), s.at(k, b)
		if len(out) == 0 {
			out = append(out, pa)
		}
		out = s.halve(out, k, a, b, pa, pb, p.chord, 0)
	}
	return out
}

// halve appends the points after pa of the piece from parameter a to b.
func (s *spline) halve(out []geom.Point, k int, a, b float64, pa, pb geom.Point, chord float64, depth int) []geom.Point {
	middle := (a + b) / 2
	pm := s.at(k, middle)
	if depth > 0 && (depth == mostHalvings || near(pm, pa, pb, chord) &&
		near(s.at(k, (a+middle)/2), pa, pb, chord) && near(s.at(k, (middle+b)/2), pa, pb, chord)) {
		return append(out, pb)
	}
	out = s.halve(out, k, a, middle, pa, pm, chord, depth+1)
	return s.halve(out, k, middle, b, pm, pb, chord, depth+1)
}

// near says whether p lies within d of the line from a to b.
func near(p, a, b geom.Point, d float64) bool {
	ab := b.Sub(a)
	t := 0.0
	if l := ab.Len2(); l > 0 {
		t = math.Max(0, math.Min(1, p.Sub(a).Dot(ab)/l))
	}
	return p.Dist(a.Lerp(b, t)) <= d
}

// at gives the point of span k at parameter u, by de Boor's algorithm on
// homogeneous coordinates (de Boor, A Practical Guide to Splines, 1978; Piegl and
// Tiller, The NURBS Book, 1997, A4.1).
func (s *spline) at(k int, u float64) geom.Point {
	var x, y, w [highestDegree + 1]float64
	for j := 0; j <= s.degree; j++ {
		i := k - s.degree + j
		w[j] = s.weights[i]
		x[j], y[j] = s.points[i].X*w[j], s.points[i].Y*w[j]
	}
	for r := 1; r <= s.degree; r++ {
		for j := s.degree; j >= r; j-- {
			i := k - s.degree + j
			left, right := s.knots[i], s.knots[i+s.degree+1-r]
			t := 0.0
			if right > left {
				t = (u - left) / (right - left)
			}
			x[j] += (x[j-1] - x[j]) * (1 - t)
			y[j] += (y[j-1] - y[j]) * (1 - t)
			w[j] += (w[j-1] - w[j]) * (1 - t)
		}
	}
	d := s.degree
	return geom.Point{X: x[d] / w[d], Y: y[d] / w[d]}
}

// wrapped is how many points of a closed curve are repeated before its start and
// after its end: what lies further away changes a cubic spline by less than
// (2 − √3)⁸, a few parts in a hundred thousand.
const wrapped = 8

// interpolate gives the cubic spline through the points with continuous
// curvature, its parameter the length of the chords, its ends free (de Boor 1978,
// chapter IV). A closed one comes back to its first point.
func interpolate(points []geom.Point, closed bool, p plane) []geom.Point {
	points = withoutRepeats(points, closed)
	n := len(points)
	if n < 2 {
		return points
	}
	from, to := 0, n-1
	if closed && n > 2 {
		around := make([]geom.Point, 0, n+2*wrapped+1)
		for i := -wrapped; i <= n+wrapped; i++ {
			around = append(around, points[((i%n)+n)%n])
		}
		points, from, to = around, wrapped, wrapped+n
	}
	slopes := slopesThrough(points)
	out := []geom.Point{points[from]}
	for i := from; i < to && len(out) <= p.room; i++ {
		third := points[i+1].Dist(points[i]) / 3
		out = geom.FlattenCubic(out, points[i], points[i].Add(slopes[i].Mul(third)), points[i+1].Sub(slopes[i+1].Mul(third)), points[i+1], p.chord)
	}
	return out
}

// slopesThrough solves for the slopes at the points: a tridiagonal system, by
// elimination and substitution.
func slopesThrough(points []geom.Point) []geom.Point {
	n := len(points)
	inverse := func(i int) float64 { return 1 / points[i+1].Dist(points[i]) } // of the i-th chord
	rise := func(i int) geom.Point { return points[i+1].Sub(points[i]).Mul(3 * inverse(i) * inverse(i)) }
	above, right := make([]float64, n), make([]geom.Point, n)
	for i := range n {
		var below, middle, next float64
		var value geom.Point
		if i > 0 {
			below, middle, value = inverse(i-1), 2*inverse(i-1), rise(i-1)
		}
		if i < n-1 {
			next, middle, value = inverse(i), middle+2*inverse(i), value.Add(rise(i))
		}
		if i > 0 {
			middle -= below * above[i-1]
			value = value.Sub(right[i-1].Mul(below))
		}
		above[i], right[i] = next/middle, value.Mul(1/middle)
	}
	for i := n - 2; i >= 0; i-- {
		right[i] = right[i].Sub(right[i+1].Mul(above[i]))
	}
	return right
}
