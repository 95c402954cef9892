// Package geom is the plane geometry under the program: points, areas, distance,
// offsets, centre lines. Lengths are millimetres, y points down (as in SVG).
// It knows no word of the trade and imports the standard library only.
package geom

import "math"

// Point is a point or a vector, in millimetres.
type Point struct{ X, Y float64 }

// Add gives p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub gives p − q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Mul gives p scaled by k.
func (p Point) Mul(k float64) Point { return Point{p.X * k, p.Y * k} }

// Dot gives the scalar product.
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Cross gives the z component of the vector product: positive when q lies on
// the left of p in axes with y up, which is the right on a page with y down.
func (p Point) Cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// Len gives the length of the vector.
func (p Point) Len() float64 { return math.Hypot(p.X, p.Y) }

// Len2 gives the squared length of the vector.
func (p Point) Len2() float64 { return p.X*p.X + p.Y*p.Y }

// Dist gives the distance between two points.
func (p Point) Dist(q Point) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// Dist2 gives the squared distance between two points.
func (p Point) Dist2(q Point) float64 { return p.Sub(q).Len2() }

// Lerp gives the point at the share t of the way from p to q.
func (p Point) Lerp(q Point, t float64) Point {
	return Point{p.X + (q.X-p.X)*t, p.Y + (q.Y-p.Y)*t}
}

// Unit gives the vector of length 1 in the direction of p; the zero vector stays zero.
func (p Point) Unit() Point {
	l := p.Len()
	if l == 0 {
		return Point{}
	}
	return Point{p.X / l, p.Y / l}
}

// Perp gives p turned by a quarter: (x, y) to (−y, x). Along a ring of a Shape
// it points into the area.
func (p Point) Perp() Point { return Point{-p.Y, p.X} }
