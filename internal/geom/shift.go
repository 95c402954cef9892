package geom

import "math"

// onGrid is how near, in mm, a point lies to its place on the grid to be taken for it:
// a thousandth of a step, far above the rounding of sums of millimetres.
const onGrid = 1e-3 / gridPerMM

// Snap gives the point of the grid of Fill, Union and Subtract, at its finest, that is
// nearest to a point.
func Snap(p Point) Point {
	return Point{math.Round(p.X*gridPerMM)/gridPerMM + 0, math.Round(p.Y*gridPerMM)/gridPerMM + 0} // no −0
}

// Shift gives points moved by a vector of the grid, one that Snap has given. Points
// that lie on the grid, as all do that Fill, Union or Subtract have made, lie on it
// again to the last bit: shapes that are equal but for their place become equal where
// they are moved to one.
func Shift[T ~[]Point](points T, by Point) T {
	out := make(T, len(points))
	for i, p := range points {
		q := p.Add(by)
		if s := Snap(q); q.Dist2(s) < onGrid*onGrid {
			q = s
		}
		out[i] = q
	}
	return out
}

// Shift gives the shape moved, as the function Shift does.
func (s Shape) Shift(by Point) Shape {
	var out Shape
	for _, r := range s.Rings {
		out.Rings = append(out.Rings, Shift(r, by))
	}
	return out
}
