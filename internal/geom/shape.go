package geom

import "math"

// Ring is a closed outline: the last point joins the first, which is not repeated.
type Ring []Point

// Line is an open polyline.
type Line []Point

// Shape is a normalised area: simple rings that do not cross each other, so the
// even-odd and the non-zero rule read it alike. Outer rings have positive Area,
// holes negative: the area lies on the side of Perp of the direction of travel.
// Fill makes one from any rings. The zero Shape is the empty area.
type Shape struct{ Rings []Ring }

// FillRule says which points raw rings cover, as in SVG 1.1 §11.3.
type FillRule int

// The fill rules.
const (
	NonZero FillRule = iota
	EvenOdd
)

// Box is an axis-parallel rectangle. Empty if MaxX < MinX.
type Box struct{ MinX, MinY, MaxX, MaxY float64 }

// EmptyBox is the box that holds nothing.
func EmptyBox() Box {
	return Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
}

// Extend gives the smallest box around b and p.
func (b Box) Extend(p Point) Box {
	return Box{min(b.MinX, p.X), min(b.MinY, p.Y), max(b.MaxX, p.X), max(b.MaxY, p.Y)}
}

// Join gives the smallest box around both.
func (b Box) Join(c Box) Box {
	return Box{min(b.MinX, c.MinX), min(b.MinY, c.MinY), max(b.MaxX, c.MaxX), max(b.MaxY, c.MaxY)}
}

// Grow gives the box with every side moved out by d.
func (b Box) Grow(d float64) Box { return Box{b.MinX - d, b.MinY - d, b.MaxX + d, b.MaxY + d} }

// Overlaps says whether the closed boxes share a point.
func (b Box) Overlaps(c Box) bool {
	return b.MinX <= c.MaxX && c.MinX <= b.MaxX && b.MinY <= c.MaxY && c.MinY <= b.MaxY
}

// Width gives the extent along x, 0 for an empty box.
func (b Box) Width() float64 { return max(0, b.MaxX-b.MinX) }

// Height gives the extent along y, 0 for an empty box.
func (b Box) Height() float64 { return max(0, b.MaxY-b.MinY) }

// Area gives the signed area by the shoelace formula; fewer than three points give 0.
func (r Ring) Area() float64 {
	sum := 0.0
	for i, p := range r {
		q := r[(i+1)%len(r)]
		sum += p.X*q.Y - q.X*p.Y
	}
	return sum / 2
}

// Length gives the perimeter.
func (r Ring) Length() float64 {
	sum := 0.0
	for i, p := range r {
		sum += p.Dist(r[(i+1)%len(r)])
	}
	return sum
}

// Length gives the length along the line.
func (l Line) Length() float64 {
	sum := 0.0
	for i := 1; i < len(l); i++ {
		sum += l[i-1].Dist(l[i])
	}
	return sum
}

// Bounds gives the smallest box around the points.
func Bounds(points []Point) Box {
	b := EmptyBox()
	for _, p := range points {
		b = b.Extend(p)
	}
	return b
}

// Bounds gives the smallest box around the shape; empty for an empty shape.
func (s Shape) Bounds() Box {
	b := EmptyBox()
	for _, r := range s.Rings {
		b = b.Join(Bounds(r))
	}
	return b
}

// Area gives the covered area in mm².
func (s Shape) Area() float64 {
	sum := 0.0
	for _, r := range s.Rings {
		sum += r.Area()
	}
	return sum
}

// Perimeter gives the length of all rings in mm.
func (s Shape) Perimeter() float64 {
	sum := 0.0
	for _, r := range s.Rings {
		sum += r.Length()
	}
	return sum
}

// Euler gives the Euler characteristic: outer rings less holes.
func (s Shape) Euler() int {
	n := 0
	for _, r := range s.Rings {
		if r.Area() > 0 {
			n++
		} else {
			n--
		}
	}
	return n
}

// Empty says whether the shape covers nothing.
func (s Shape) Empty() bool { return len(s.Rings) == 0 }
