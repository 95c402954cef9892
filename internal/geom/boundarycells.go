package geom

import "math"

// fillCells lists the edges of every cell, in order.
func (b *Boundary) fillCells() {
	b.first = make([]int32, b.cols*b.rows+1)
	for _, s := range b.sides {
		b.eachCell(s, func(c int) { b.first[c+1]++ })
	}
	for c := range b.cols * b.rows {
		b.first[c+1] += b.first[c]
	}
	next := append([]int32(nil), b.first...)
	b.listed = make([]int32, b.first[len(b.first)-1])
	for i, s := range b.sides {
		b.eachCell(s, func(c int) {
			b.listed[next[c]] = int32(i)
			next[c]++
		})
	}
}

// eachCell calls f for the cells that the edge passes, row by row, a hair widened
// so that rounding loses none.
func (b *Boundary) eachCell(s side, f func(c int)) {
	slack := b.cell * 1e-6
	low, high := s.a, s.b
	if low.Y > high.Y {
		low, high = high, low
	}
	slope := 0.0
	if high.Y > low.Y {
		slope = (high.X - low.X) / (high.Y - low.Y)
	}
	left, right := min(s.a.X, s.b.X), max(s.a.X, s.b.X)
	for r := b.row(low.Y - slack); r <= b.row(high.Y+slack); r++ {
		x0, x1 := left, right
		if slope != 0 {
			y0 := b.box.MinY + float64(r)*b.cell - slack
			u, v := low.X+(y0-low.Y)*slope, low.X+(y0+b.cell+2*slack-low.Y)*slope
			x0, x1 = max(x0, min(u, v)), min(x1, max(u, v))
		}
		for c := b.col(x0 - slack); c <= b.col(x1+slack); c++ {
			f(r*b.cols + c)
		}
	}
}

// fillClear finds for each cell how many steps, along rows, columns and diagonals,
// lead to the nearest cell with edges: the chessboard distance, in two passes
// (Rosenfeld and Pfaltz, "Distance functions on digital pictures", 1968).
func (b *Boundary) fillClear() {
	b.clear = make([]int32, b.cols*b.rows)
	at := func(r, c int) int32 {
		if r < 0 || c < 0 || r >= b.rows || c >= b.cols {
			return math.MaxInt32 - 1
		}
		return b.clear[r*b.cols+c]
	}
	for r := range b.rows {
		for c := range b.cols {
			k := r*b.cols + c
			if b.first[k+1] > b.first[k] {
				continue
			}
			b.clear[k] = 1 + min(at(r, c-1), at(r-1, c-1), at(r-1, c), at(r-1, c+1), math.MaxInt32-2)
		}
	}
	for r := b.rows - 1; r >= 0; r-- {
		for c := b.cols - 1; c >= 0; c-- {
			k := r*b.cols + c
			b.clear[k] = min(b.clear[k], 1+min(at(r, c+1), at(r+1, c+1), at(r+1, c), at(r+1, c-1), math.MaxInt32-2))
		}
	}
}

// search gives the nearest edge with a distance under limit, and the squared
// distance; −1 if there is none. With any, the first such edge found will do. It
// looks at square rings of cells round p until none can hold a nearer edge.
func (b *Boundary) search(p Point, limit float64, any bool) (best int, d2 float64) {
	best, d2 = -1, limit*limit
	if len(b.sides) == 0 || !(limit > 0) || math.IsNaN(p.X) || math.IsNaN(p.Y) {
		return best, d2
	}
	c, r := b.col(p.X), b.row(p.Y)
	for k := int(b.clear[r*b.cols+c]); ; k++ {
		if reach := b.reach(p, c, r, k-1); reach > 0 && reach*reach >= d2 {
			return best, d2
		}
		for y := max(r-k, 0); y <= min(r+k, b.rows-1); y++ {
			step := 1
			if y != r-k && y != r+k {
				step = max(2*k, 1)
			}
			for x := c - k; x <= c+k; x += step {
				if x < 0 || x >= b.cols {
					continue
				}
				best, d2 = b.searchCell(p, x, y, best, d2)
				if any && best >= 0 {
					return best, d2
				}
			}
		}
	}
}

// reach gives a distance from p under which all cells of the grid lie in the square
// of k steps round the cell (c, r); +Inf if the square holds the grid.
func (b *Boundary) reach(p Point, c, r, k int) float64 {
	out := math.Inf(1)
	if c-k > 0 {
		out = min(out, p.X-(b.box.MinX+float64(c-k)*b.cell))
	}
	if c+k < b.cols-1 {
		out = min(out, b.box.MinX+float64(c+k+1)*b.cell-p.X)
	}
	if r-k > 0 {
		out = min(out, p.Y-(b.box.MinY+float64(r-k)*b.cell))
	}
	if r+k < b.rows-1 {
		out = min(out, b.box.MinY+float64(r+k+1)*b.cell-p.Y)
	}
	return out
}

func (b *Boundary) searchCell(p Point, c, r, best int, d2 float64) (int, float64) {
	k := r*b.cols + c
	if b.first[k] == b.first[k+1] {
		return best, d2
	}
	x0, y0 := b.box.MinX+float64(c)*b.cell, b.box.MinY+float64(r)*b.cell
	dx := max(0, max(x0-p.X, p.X-x0-b.cell))
	dy := max(0, max(y0-p.Y, p.Y-y0-b.cell))
	if dx*dx+dy*dy > d2 {
		return best, d2
	}
	for _, i := range b.listed[b.first[k]:b.first[k+1]] {
		if d := b.sides[i].dist2(p); d < d2 {
			best, d2 = int(i), d
		}
	}
	return best, d2
}

// bands lists edges by y, to count those beside a point.
type bands struct {
	low, height float64
	rows        [][]side
}

// newBands lists each edge in all bands it reaches; their height is such that an
// edge reaches few.
func newBands(sides []side) bands {
	if len(sides) == 0 {
		return bands{}
	}
	low, high, sum := math.Inf(1), math.Inf(-1), 0.0
	for _, s := range sides {
		low, high = min(low, min(s.a.Y, s.b.Y)), max(high, max(s.a.Y, s.b.Y))
		sum += math.Abs(s.a.Y - s.b.Y)
	}
	n := float64(len(sides))
	b := bands{low: low, height: max(sum/n/4, (high-low)/n)}
	if !(b.height > 0) {
		return bands{}
	}
	b.rows = make([][]side, int((high-low)/b.height)+1)
	counts, total := make([]int, len(b.rows)), 0
	b.each(sides, func(k int, _ side) { counts[k]++; total++ })
	room := make([]side, total)
	for k, n := range counts {
		b.rows[k], room = room[:0:n], room[n:]
	}
	b.each(sides, func(k int, s side) { b.rows[k] = append(b.rows[k], s) })
	return b
}

// each calls f for every row that a side runs through; level sides run through none.
func (b *bands) each(sides []side, f func(row int, s side)) {
	for _, s := range sides {
		if s.a.Y == s.b.Y {
			continue
		}
		for k := b.row(min(s.a.Y, s.b.Y)); k <= b.row(max(s.a.Y, s.b.Y)); k++ {
			f(k, s)
		}
	}
}

func (b *bands) row(y float64) int {
	return min(max(int((y-b.low)/b.height), 0), len(b.rows)-1)
}

// winding gives how often the outline goes round p.
func (b *bands) winding(p Point) (n int) {
	if len(b.rows) == 0 || !(math.Abs(p.Y) <= farthest) {
		return 0
	}
	for _, s := range b.rows[b.row(p.Y)] {
		if (s.a.Y <= p.Y) == (s.b.Y <= p.Y) {
			continue
		}
		side := s.b.Sub(s.a).Cross(p.Sub(s.a))
		if s.a.Y <= p.Y && side > 0 {
			n++
		} else if s.b.Y <= p.Y && side < 0 {
			n--
		}
	}
	return n
}
