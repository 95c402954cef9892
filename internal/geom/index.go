package geom

import "math"

// Index is a uniform grid of points that come, move and go: which are near a place.
// It is not for use by several goroutines while it changes.
type Index struct {
	cell       float64
	c0, r0     int // the cell at the grid's low corner, in cells from the origin
	cols, rows int
	cells      [][]int32 // ids in each cell, rising, so that answers come in the same order
	points     []Point
	used       []bool
	outside    []int32 // ids of points that no cell is kept for
}

// mostIndexCells bounds the memory of the grid. Points so far off that it would take
// more are kept in a plain list.
const mostIndexCells = 1 << 22

// smallestCell is the least side of a cell in mm: a tenth of the finest length a cutter resolves.
const smallestCell = 1e-3

// NewIndex makes an index for points in about the bounds, which grow when points come
// outside of them. cell is the side of a cell in mm: about the distance that is asked for. One that is
// not above zero counts as 1.
func NewIndex(bounds Box, cell float64) *Index {
	if !(cell > 0 && cell <= farthest) {
		cell = 1
	}
	x := &Index{cell: max(cell, smallestCell)}
	if w, h := bounds.Width(), bounds.Height(); w > 0 && h > 0 && w <= farthest && h <= farthest {
		x.cell = max(x.cell, math.Sqrt(w/mostIndexCells*h)*2)
		x.cell = max(x.cell, max(w, h)/mostIndexCells*2)
		x.reserve(bounds)
	}
	return x
}

func (x *Index) col(v float64) int { return int(math.Floor(v / x.cell)) }

// reserve lays the grid anew so that it holds the box too; false if it would be too large.
func (x *Index) reserve(b Box) bool {
	if !finiteIn(Point{b.MinX, b.MinY}) || !finiteIn(Point{b.MaxX, b.MaxY}) {
		return false
	}
	c0, r0, c1, r1 := x.col(b.MinX), x.col(b.MinY), x.col(b.MaxX), x.col(b.MaxY)
	if x.cols > 0 {
		c0, c1 = min(c0, x.c0), max(c1, x.c0+x.cols-1)
		r0, r1 = min(r0, x.r0), max(r1, x.r0+x.rows-1)
	}
	cols, rows := c1-c0+1, r1-r0+1
	if float64(cols)*float64(rows) > mostIndexCells {
		return false
	}
	cells := make([][]int32, cols*rows)
	for r := range x.rows {
		copy(cells[(r+x.r0-r0)*cols+x.c0-c0:], x.cells[r*x.cols:(r+1)*x.cols])
	}
	x.c0, x.r0, x.cols, x.rows, x.cells = c0, r0, cols, rows, cells
	return true
}

// list gives the list that holds the points of a place, made on demand.
func (x *Index) list(p Point) *[]int32 {
	if !finiteIn(p) {
		return &x.outside
	}
	c, r := x.col(p.X)-x.c0, x.col(p.Y)-x.r0
	if c < 0 || r < 0 || c >= x.cols || r >= x.rows {
		return &x.outside
	}
	return &x.cells[r*x.cols+c]
}

// grow makes room for a point outside the grid, half the grid's size more than needed,
// and takes in the points kept in the plain list that now have a cell.
func (x *Index) grow(p Point) {
	if l := x.list(p); l != &x.outside {
		return
	}
	margin := x.cell * float64(4+max(x.cols, x.rows)/2)
	if !x.reserve(EmptyBox().Extend(p).Grow(margin)) && !x.reserve(EmptyBox().Extend(p)) {
		return
	}
	held := x.outside
	x.outside = nil
	for _, id := range held {
		l := x.list(x.points[id])
		*l = insertID(*l, id)
	}
}

// Insert adds point id, a small number ≥ 0 (memory goes by the largest); an id that
// is there already is moved. A negative id is ignored.
func (x *Index) Insert(id int, p Point) {
	if id < 0 || id > math.MaxInt32 {
		return
	}
	x.Remove(id)
	for len(x.points) <= id {
		x.points, x.used = append(x.points, Point{}), append(x.used, false)
	}
	x.grow(p)
	x.points[id], x.used[id] = p, true
	l := x.list(p)
	*l = insertID(*l, int32(id))
}

// Move puts point id in another place; it is added if it is not there.
func (x *Index) Move(id int, p Point) {
	if x.has(id) {
		if from := x.list(x.points[id]); from == x.list(p) && from != &x.outside {
			x.points[id] = p
			return
		}
	}
	x.Insert(id, p)
}

// Remove takes point id out; an id that is not there is ignored.
func (x *Index) Remove(id int) {
	if !x.has(id) {
		return
	}
	l := x.list(x.points[id])
	for i, v := range *l {
		if v == int32(id) {
			*l = append((*l)[:i], (*l)[i+1:]...)
			break
		}
	}
	x.used[id] = false
}

func (x *Index) has(id int) bool { return id >= 0 && id < len(x.used) && x.used[id] }

func insertID(l []int32, id int32) []int32 {
	l = append(l, id)
	for i := len(l) - 1; i > 0 && l[i-1] > id; i-- {
		l[i-1], l[i] = l[i], l[i-1]
	}
	return l
}

// Each calls f for every point no farther than r from p, until f says false: cell by
// cell in rows, by rising id in each, so always in the same order. f must not
// change the index.
func (x *Index) Each(p Point, r float64, f func(id int, q Point) bool) {
	if !(r >= 0) || !finiteIn(p) {
		return
	}
	c0, c1 := x.clampCol(p.X-r), x.clampCol(p.X+r)
	r0, r1 := x.clampRow(p.Y-r), x.clampRow(p.Y+r)
	for row := r0; row <= r1 && x.cols > 0; row++ {
		for _, cell := range x.cells[row*x.cols+c0 : row*x.cols+c1+1] {
			for _, id := range cell {
				if q := x.points[id]; q.Dist2(p) <= r*r && !f(int(id), q) {
					return
				}
			}
		}
	}
	for _, id := range x.outside {
		if q := x.points[id]; q.Dist2(p) <= r*r && !f(int(id), q) {
			return
		}
	}
}

func (x *Index) clampCol(v float64) int { return clampCell(v/x.cell-float64(x.c0), x.cols) }
func (x *Index) clampRow(v float64) int { return clampCell(v/x.cell-float64(x.r0), x.rows) }

func clampCell(v float64, n int) int {
	if !(v > 0) {
		return 0
	}
	if v >= float64(n) {
		return max(n-1, 0)
	}
	return int(v)
}

// Nearest gives the point nearest to p no farther than within, other than skip (−1
// skips none); of points equally near the one with the lowest id.
func (x *Index) Nearest(p Point, within float64, skip int) (id int, dist float64, ok bool) {
	best, d2 := -1, math.Inf(1)
	// Small circles first: a point found there needs no wider look.
	for r := min(x.cell, within); ; {
		x.Each(p, r, func(i int, q Point) bool {
			if d := q.Dist2(p); i != skip && (d < d2 || d == d2 && i < best) {
				best, d2 = i, d
			}
			return true
		})
		if best >= 0 || !(r < within) {
			break
		}
		if r *= 2; r > x.span(p) || r > within {
			r = within
		}
	}
	if best < 0 {
		return -1, math.Inf(1), false
	}
	return best, math.Sqrt(d2), true
}

// span gives a distance from p that holds all cells of the grid.
func (x *Index) span(p Point) float64 {
	low := Point{float64(x.c0) * x.cell, float64(x.r0) * x.cell}
	high := Point{float64(x.c0+x.cols) * x.cell, float64(x.r0+x.rows) * x.cell}
	return p.Dist(low) + p.Dist(high)
}
