package geom

import "math"

// Affine is an affine map in the order of SVG's matrix(a b c d e f):
// x' = A·x + C·y + E, y' = B·x + D·y + F. The zero Affine maps all to the origin.
type Affine struct{ A, B, C, D, E, F float64 }

// Identity maps every point to itself.
func Identity() Affine { return Affine{A: 1, D: 1} }

// Translate moves by (x, y).
func Translate(x, y float64) Affine { return Affine{1, 0, 0, 1, x, y} }

// Scale stretches about the origin.
func Scale(x, y float64) Affine { return Affine{x, 0, 0, y, 0, 0} }

// Rotate turns about the origin by an angle in radians, from +x towards +y (on a
// page with y down: clockwise, as SVG does).
func Rotate(angle float64) Affine {
	sin, cos := math.Sincos(angle)
	return Affine{cos, sin, -sin, cos, 0, 0}
}

// SkewX leans along x: x' = x + tan(angle)·y. Radians.
func SkewX(angle float64) Affine { return Affine{1, 0, math.Tan(angle), 1, 0, 0} }

// SkewY leans along y: y' = y + tan(angle)·x. Radians.
func SkewY(angle float64) Affine { return Affine{1, math.Tan(angle), 0, 1, 0, 0} }

// Mul gives the map that applies n first, then m: as SVG's list "m n".
func (m Affine) Mul(n Affine) Affine {
	return Affine{
		m.A*n.A + m.C*n.B, m.B*n.A + m.D*n.B,
		m.A*n.C + m.C*n.D, m.B*n.C + m.D*n.D,
		m.A*n.E + m.C*n.F + m.E, m.B*n.E + m.D*n.F + m.F,
	}
}

// Apply maps a point.
func (m Affine) Apply(p Point) Point {
	return Point{m.A*p.X + m.C*p.Y + m.E, m.B*p.X + m.D*p.Y + m.F}
}

// Det gives the factor by which areas grow; negative if the map mirrors.
func (m Affine) Det() float64 { return m.A*m.D - m.B*m.C }

// Inverse gives the map back; false if there is none (the plane collapses) or it
// is not finite.
func (m Affine) Inverse() (Affine, bool) {
	d := m.Det()
	if d == 0 || math.IsNaN(d) || math.IsInf(d, 0) {
		return Affine{}, false
	}
	a, b, c, e := m.D/d, -m.B/d, -m.C/d, m.A/d
	out := Affine{a, b, c, e, -(a*m.E + c*m.F), -(b*m.E + e*m.F)}
	for _, v := range [...]float64{a, b, c, e, out.E, out.F} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return Affine{}, false
		}
	}
	return out, true
}

// MeanScale gives the geometric mean of the two principal stretches, √|Det|.
func (m Affine) MeanScale() float64 { return math.Sqrt(math.Abs(m.Det())) }

// MaxScale gives the larger principal stretch: no length grows more.
func (m Affine) MaxScale() float64 {
	// The larger singular value of the 2×2 matrix.
	return (math.Hypot(m.A+m.D, m.B-m.C) + math.Hypot(m.A-m.D, m.B+m.C)) / 2
}

// Transform maps every point and keeps the shape normalised: a mirroring map has
// its rings reversed. A map that collapses the plane gives the empty shape.
func (s Shape) Transform(m Affine) Shape {
	det := m.Det()
	if det == 0 || math.IsNaN(det) {
		return Shape{}
	}
	out := Shape{Rings: make([]Ring, len(s.Rings))}
	for i, r := range s.Rings {
		mapped := make(Ring, len(r))
		for k, p := range r {
			if det < 0 {
				k = len(r) - 1 - k
			}
			mapped[k] = m.Apply(p)
		}
		out.Rings[i] = mapped
	}
	return out
}
