package hpgl_test

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// fit gives the least-squares circle through points (Kåsa, IEEE Trans. Instrum.
// Meas. 25 (1976)): x² + y² = 2ax + 2by + c, solved by gonum. Round says whether
// all points lie within off of it.
func fit(points [][2]float64, off float64) (x, y, d float64, round bool) {
	if len(points) < 9 {
		return 0, 0, 0, false
	}
	a, b := mat.NewDense(len(points), 3, nil), mat.NewVecDense(len(points), nil)
	for i, p := range points {
		a.SetRow(i, []float64{2 * p[0], 2 * p[1], 1})
		b.SetVec(i, p[0]*p[0]+p[1]*p[1])
	}
	var s mat.VecDense
	if err := s.SolveVec(a, b); err != nil {
		return 0, 0, 0, false
	}
	x, y = s.AtVec(0), s.AtVec(1)
	r := math.Sqrt(s.AtVec(2) + x*x + y*y)
	for _, p := range points {
		if math.Abs(math.Hypot(p[0]-x, p[1]-y)-r) > off {
			return 0, 0, 0, false
		}
	}
	return x, y, 2 * r, true
}
