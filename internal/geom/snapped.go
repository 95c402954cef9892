package geom

import (
	"cmp"
	"math"
	"math/bits"
)

// The engine behind Fill, Union, Intersect and Subtract works on whole numbers:
// every point is rounded to a square grid, so that every question it asks (on
// which side, do they cross) has an exact answer in int64.
const (
	// gridPerMM is the number of grid steps in a millimetre: a step of 1e-5 mm is
	// a thousandth of the finest length a cutter resolves (0.01 mm).
	gridPerMM = 1e5
	// gridReach is the largest grid coordinate. Differences stay below 2³⁰ after
	// doubling, products below 2⁶⁰: nothing overflows. It is 2.68 m at the finest
	// step; larger drawings get a step doubled as often as needed.
	gridReach = 1 << 28
	// farthest is the largest coordinate that is taken to be meant, in mm (1,000 km).
	// Rings with a farther point are dropped, as those with NaN or Inf.
	farthest = 1e9
)

// snapped is a point of the grid.
type snapped struct{ x, y int64 }

func (p snapped) less(q snapped) bool {
	return p.x < q.x || p.x == q.x && p.y < q.y
}

func compareSnapped(p, q snapped) int {
	if c := cmp.Compare(p.x, q.x); c != 0 {
		return c
	}
	return cmp.Compare(p.y, q.y)
}

// key packs the point into one number that sorts as compareSnapped does.
func (p snapped) key() uint64 {
	return uint64(p.x+2*gridReach)<<32 | uint64(p.y+2*gridReach)
}

func snappedOf(key uint64) snapped {
	return snapped{int64(key>>32) - 2*gridReach, int64(key&(1<<32-1)) - 2*gridReach}
}

// turn is the exact turn a→b→c: positive towards Perp, 0 when in line.
func turn(a, b, c snapped) int64 {
	return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
}

// gridScale gives the steps per millimetre for points no farther than reach from
// the origin along either axis, each level of coarser dividing it by 16.
func gridScale(reach float64, coarser int) float64 {
	scale := gridPerMM
	for reach*scale > gridReach-1 {
		scale /= 2
	}
	for range coarser {
		scale /= 16
	}
	return scale
}

func toGrid(p Point, scale float64) snapped {
	return snapped{int64(math.Floor(p.X*scale + 0.5)), int64(math.Floor(p.Y*scale + 0.5))}
}

func fromGrid(p snapped, scale float64) Point {
	return Point{float64(p.x) / scale, float64(p.y) / scale}
}

// crossing gives the grid point nearest to where the segments ab and cd cross,
// halves rounded up. They must cross properly.
func crossing(a, b, c, d snapped) snapped {
	rx, ry := b.x-a.x, b.y-a.y
	sx, sy := d.x-c.x, d.y-c.y
	den := rx*sy - ry*sx
	num := (c.x-a.x)*sy - (c.y-a.y)*sx
	if den < 0 {
		den, num = -den, -num
	}
	return snapped{a.x + roundedShare(rx, num, den), a.y + roundedShare(ry, num, den)}
}

// roundedShare is v·num/den to the nearest whole number, halves rounded up, for
// 0 < num < den.
func roundedShare(v, num, den int64) int64 {
	size := v
	if v < 0 {
		size = -v
	}
	hi, lo := bits.Mul64(uint64(size), uint64(num))
	q, rem := bits.Div64(hi, lo, uint64(den))
	if v < 0 {
		if 2*rem > uint64(den) {
			q++
		}
		return -int64(q)
	}
	if 2*rem >= uint64(den) {
		q++
	}
	return int64(q)
}

// throughPixel says whether the segment ab passes the pixel of p: the unit square
// round p, closed at its low sides and open at its high ones, so that the pixels
// tile the plane. Corner cases as in the hot pixel of snap rounding (Hobby,
// "Practical segment intersection with finite precision output", Comput. Geom. 13, 1999).
func throughPixel(a, b, p snapped) bool {
	if b.x < a.x {
		a, b = b, a
	}
	a, b = snapped{2 * a.x, 2 * a.y}, snapped{2 * b.x, 2 * b.y}
	x0, x1, y0, y1 := 2*p.x-1, 2*p.x+1, 2*p.y-1, 2*p.y+1
	if a.x >= x1 || b.x < x0 || min(a.y, b.y) >= y1 || max(a.y, b.y) < y0 {
		return false
	}
	if a.x == b.x || a.y == b.y {
		return true
	}
	rising := a.y < b.y
	highLeft := turn(a, b, snapped{x0, y1})
	if highLeft == 0 {
		return !rising
	}
	highRight := turn(a, b, snapped{x1, y1})
	if highRight == 0 {
		return rising
	}
	if (highLeft > 0) != (highRight > 0) {
		return true
	}
	lowLeft := turn(a, b, snapped{x0, y0})
	if lowLeft == 0 || (lowLeft > 0) != (highLeft > 0) {
		return true
	}
	lowRight := turn(a, b, snapped{x1, y0})
	if lowRight == 0 {
		return !rising
	}
	return (lowLeft > 0) != (lowRight > 0) || (lowRight > 0) != (highRight > 0)
}
