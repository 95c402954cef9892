package tour

import (
	"math"

	"brushfall/internal/geom"
)

// edge joins two points by their numbers.
type edge struct{ a, b int32 }

// cycle is a closed way under improvement; place[i] is where point i stands in
// order.
type cycle struct {
	points   []geom.Point
	near     [][]int32
	reach    [][]float64 // the distances of near
	order    []int32
	place    []int32
	kept     int32   // the sum of the two numbers of the edge that is kept, or −1
	keptCost float64 // what that edge costs
	longest  int     // the most stops that one flip may turn
	flips    []edge  // what was flipped since the last disturbance, as places
	queue    []int32
	queued   []bool
}

// newCycle makes the greedy way through the points. The edge kept, if any, is
// part of it and costs cost; its numbers are the two largest.
func newCycle(points []geom.Point, kept *edge, cost float64) *cycle {
	n := len(points)
	c := &cycle{points: points, kept: -1, keptCost: cost, longest: longestFlip, place: make([]int32, n), queued: make([]bool, n)}
	if kept != nil {
		c.kept = kept.a + kept.b
	}
	c.near = nearLists(points)
	c.reach = make([][]float64, n)
	for i, list := range c.near {
		c.reach[i] = make([]float64, len(list))
		for k, j := range list {
			c.reach[i][k] = c.cost(int32(i), j)
		}
	}
	c.order = greedy(points, c.near, kept)
	for k, i := range c.order {
		c.place[i] = int32(k)
	}
	return c
}

// cost is the length of the edge between two points. Only the two largest
// numbers add up to kept.
func (c *cycle) cost(i, j int32) float64 {
	if i+j == c.kept {
		return c.keptCost
	}
	p, q := &c.points[i], &c.points[j]
	dx, dy := p.X-q.X, p.Y-q.Y
	return math.Sqrt(dx*dx + dy*dy)
}

func (c *cycle) next(i int32) int32 {
	k := c.place[i] + 1
	if int(k) == len(c.order) {
		k = 0
	}
	return c.order[k]
}

func (c *cycle) previous(i int32) int32 {
	k := c.place[i] - 1
	if k < 0 {
		k = int32(len(c.order) - 1)
	}
	return c.order[k]
}

// flip takes the edges a–b and d–e out and puts a–d and b–e in. b follows a as
// e follows d, in either direction round the cycle. It says false, and does
// nothing, where more stops would have to be turned than allowed.
func (c *cycle) flip(a, b, d, e int32) bool {
	if c.next(a) == b {
		return c.turn(int(c.place[b]), int(c.place[d]))
	}
	return c.turn(int(c.place[a]), int(c.place[e]))
}

// turn reverses the stops from one place on to another, or, which is the same
// cycle, all others if they are fewer.
func (c *cycle) turn(from, to int) bool {
	n := len(c.order)
	count := to - from + 1
	if count <= 0 {
		count += n
	}
	if 2*count > n {
		from, to, count = to+1, from-1, n-count
	}
	switch {
	case count > c.longest:
		return false
	case count == 0: // all of them: only the direction would change
		return true
	}
	c.flips = append(c.flips, edge{int32(from), int32(to)})
	c.swap(from, to, count)
	return true
}

// swap reverses count stops from one place to another; both may be one past
// either end.
func (c *cycle) swap(from, to, count int) {
	n := len(c.order)
	if from >= n {
		from -= n
	}
	if to < 0 {
		to += n
	}
	order, place := c.order, c.place
	for range count / 2 {
		i, j := order[from], order[to]
		order[from], order[to] = j, i
		place[j], place[i] = int32(from), int32(to)
		if from++; from == n {
			from = 0
		}
		if to--; to < 0 {
			to = n - 1
		}
	}
}

// undo takes the flips back from the last one to the one of the given number.
func (c *cycle) undo(to int) {
	n := len(c.order)
	for k := len(c.flips) - 1; k >= to; k-- {
		from, end := int(c.flips[k].a), int(c.flips[k].b)
		count := end - from + 1
		if count <= 0 {
			count += n
		}
		c.swap(from, end, count)
	}
	c.flips = c.flips[:to]
}
