package geom

// cell is a rectangle of the grid, bounds included.
type cell struct{ x0, y0, x1, y1 int64 }

const (
	// cellReach widens every cell when edges are handed to it, so that an edge that
	// passes the pixel of a point of the cell is in the cell. In grid steps.
	cellReach = 1
	// leafWork is the number of pair tests below which dividing further costs more
	// than testing.
	leafWork = 150
	// divisionGain is the share of the pair tests that may be left after a division
	// that puts many edges in both halves; one that saves less is not made.
	divisionGain = 0.9
	// divisionCopies is the share by which a division may add to the edges, however
	// little it saves: where all lie in one half a later one will save. As a cell can be
	// halved 60 times at most, this bounds the whole.
	divisionCopies = 1.05
)

// divider hands edges, and points if there are any, to ever smaller cells until
// few pairs are left in each. Every edge and point that come within cellReach of
// each other, and every two edges that share a place, meet in at least one visit;
// a point is visited once.
type divider struct {
	edges  []edge
	points []snapped
	pairs  bool // work is edges × edges, else edges × points
	visit  func(edges, points []int32)
	stack  []int32
}

func (d *divider) run() {
	if len(d.edges) == 0 {
		return
	}
	e := d.edges[0]
	box := cell{e.a.x, e.a.y, e.a.x, e.a.y}
	all := make([]int32, len(d.edges))
	for i, e := range d.edges {
		all[i] = int32(i)
		box.x0, box.x1 = min(box.x0, e.a.x), max(box.x1, e.b.x)
		box.y0, box.y1 = min(box.y0, e.a.y, e.b.y), max(box.y1, e.a.y, e.b.y)
	}
	points := make([]int32, len(d.points))
	for i := range points {
		points[i] = int32(i)
	}
	d.divide(box, all, points)
}

func (d *divider) work(edges, points int) float64 {
	if d.pairs {
		return float64(edges) * float64(edges) / 2
	}
	return float64(edges) * float64(points)
}

func (d *divider) divide(box cell, edges, points []int32) {
	work := d.work(len(edges), len(points))
	if work == 0 {
		return
	}
	wide := box.x1-box.x0 >= box.y1-box.y0
	if work <= leafWork || !d.halve(box, wide, work, edges, points) && !d.halve(box, !wide, work, edges, points) {
		d.visit(edges, points)
	}
}

// halve divides the cell in two if that saves enough work.
func (d *divider) halve(box cell, alongX bool, work float64, edges, points []int32) bool {
	low, high := box, box
	if alongX {
		low.x1 = box.x0 + (box.x1-box.x0)/2
		high.x0 = low.x1 + 1
	} else {
		low.y1 = box.y0 + (box.y1-box.y0)/2
		high.y0 = low.y1 + 1
	}
	if high.x0 > high.x1 || high.y0 > high.y1 {
		return false
	}
	bottom := len(d.stack)
	defer func() { d.stack = d.stack[:bottom] }()
	lowEdges, lowPoints := d.take(low, edges, points)
	highEdges, highPoints := d.take(high, edges, points)
	left := d.work(len(lowEdges), len(lowPoints)) + d.work(len(highEdges), len(highPoints))
	copied := float64(len(lowEdges)+len(highEdges)) > divisionCopies*float64(len(edges))
	if copied && left > divisionGain*work {
		return false
	}
	d.divide(low, lowEdges, lowPoints)
	d.divide(high, highEdges, highPoints)
	return true
}

// take copies what meets the cell onto the stack.
func (d *divider) take(c cell, edges, points []int32) (inEdges, inPoints []int32) {
	start := len(d.stack)
	for _, i := range edges {
		if d.edges[i].meets(c) {
			d.stack = append(d.stack, i)
		}
	}
	middle := len(d.stack)
	for _, i := range points {
		if p := d.points[i]; p.x >= c.x0 && p.x <= c.x1 && p.y >= c.y0 && p.y <= c.y1 {
			d.stack = append(d.stack, i)
		}
	}
	return d.stack[start:middle:middle], d.stack[middle:len(d.stack):len(d.stack)]
}

// meets says whether the edge may come within cellReach of the cell; it never
// says no wrongly.
func (e *edge) meets(c cell) bool {
	x0, x1 := c.x0-cellReach, c.x1+cellReach+1
	y0, y1 := c.y0-cellReach, c.y1+cellReach+1
	if e.b.x < x0 || e.a.x > x1 || max(e.a.y, e.b.y) < y0 || min(e.a.y, e.b.y) > y1 {
		return false
	}
	dx, dy := e.b.x-e.a.x, e.b.y-e.a.y
	off := dx*(y0+y1-2*e.a.y) - dy*(x0+x1-2*e.a.x)
	reach := dx*(y1-y0) + max(dy, -dy)*(x1-x0)
	return max(off, -off) <= reach
}
