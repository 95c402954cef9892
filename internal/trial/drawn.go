package trial

import (
	"math"

	"brushfall/internal/geom"
)

// curve samples a closed curve finely enough for chordError at the sizes here.
func curve(f func(t float64) geom.Point) geom.Ring {
	const points = 900
	out := make(geom.Ring, points)
	for i := range out {
		out[i] = f(2 * math.Pi * float64(i) / points)
	}
	return out
}

func circle(r, x, y float64) geom.Ring {
	return curve(func(t float64) geom.Point { return geom.Point{X: x + r*math.Cos(t), Y: y + r*math.Sin(t)} })
}

// star has n points of radius outer and the hollows between them at inner.
func star(n int, outer, inner float64) geom.Ring {
	out := make(geom.Ring, 2*n)
	for i := range out {
		sin, cos := math.Sincos(math.Pi * float64(i) / float64(n))
		r := outer
		if i%2 == 1 {
			r = inner
		}
		out[i] = geom.Point{X: r * sin, Y: -r * cos}
	}
	return out
}

// heart is the curve x = 16 sin³t, y = 13 cos t − 5 cos 2t − 2 cos 3t − cos 4t
// (E. W. Weisstein, "Heart Curve", MathWorld), 32 units wide.
func heart(width float64) geom.Ring {
	k := width / 32
	return curve(func(t float64) geom.Point {
		s := math.Sin(t)
		return geom.Point{X: 16 * k * s * s * s, Y: -k * (13*math.Cos(t) - 5*math.Cos(2*t) - 2*math.Cos(3*t) - math.Cos(4*t))}
	})
}

// pentagram is the ratio of hollow to point of a star whose edges lie in lines.
var pentagram = (3 - math.Sqrt(5)) / 2

func drawnShapes() []Shape {
	fill := func(r ...geom.Ring) geom.Shape { return geom.Fill(r, geom.EvenOdd) }
	crescent := func(r, bite, shift float64) geom.Shape {
		return geom.Subtract(fill(circle(r, 0, 0)), fill(circle(bite, shift, 0)))
	}
	list := []struct {
		name string
		area geom.Shape
	}{
		{"disc-40", fill(circle(20, 0, 0))},
		{"disc-90", fill(circle(45, 0, 0))},
		{"heart-40", fill(heart(40))},
		{"heart-90", fill(heart(90))},
		{"star5-60", fill(star(5, 30, 30*pentagram))},
		{"star5-110", fill(star(5, 55, 55*pentagram))},
		{"star6-70", fill(star(6, 35, 35/math.Sqrt(3)))},
		{"star8-sharp", fill(star(8, 45, 18))},
		{"ring-broad", fill(circle(40, 0, 0), circle(22, 0, 0))},
		{"ring-slim", fill(circle(35, 0, 0), circle(28, 0, 0))},
		{"crescent-broad", crescent(40, 32, 20)},
		{"crescent-slim", crescent(35, 32, 10)},
	}
	out := make([]Shape, len(list))
	for i, s := range list {
		out[i] = Shape{Name: s.name, Kind: "drawn", Source: "formula", Area: stand(s.area, 1)}
	}
	return out
}
