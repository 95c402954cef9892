package tour

import "math/rand/v2"

// widest is how many stops a disturbance spans at most: small, so that mending
// it stays near (the segment insertion of Applegate, Cook and Rohe, "Chained
// Lin-Kernighan for large traveling salesman problems", 2003).
const widest = 50

// disturb swaps two neighbouring stretches of the cycle at a random place (the
// double bridge of Martin, Otto and Felten 1991), lets the cycle settle, and
// takes all back if it got longer, many times.
func (c *cycle) disturb(times int) {
	n := len(c.order)
	if n < 8 {
		return
	}
	r := rand.New(rand.NewPCG(1, 2))
	for range times {
		c.flips = c.flips[:0]
		span := min(widest, n-2)
		at := r.IntN(n)
		first := 1 + r.IntN(span-1)
		second := 1 + r.IntN(span-first)
		cost := c.swapStretches(at, first, second)
		if cost-c.settle() > leastGain {
			c.undo(0)
		}
	}
}

// swapStretches swaps the first stops after a place with the second ones after
// those, and gives by how much that lengthens the cycle.
func (c *cycle) swapStretches(at, first, second int) float64 {
	stop := func(k int) int32 { return c.order[(at+k)%len(c.order)] }
	a, b := stop(0), stop(1)
	d, e := stop(first), stop(first+1)
	f, g := stop(first+second), stop(first+second+1)
	longer := c.cost(a, e) + c.cost(f, b) + c.cost(d, g) - c.cost(a, b) - c.cost(d, e) - c.cost(f, g)
	// a [b…d] [e…f] g: each turned, then both together.
	n := len(c.order)
	for _, t := range [3]edge{{1, int32(first)}, {int32(first + 1), int32(first + second)}, {1, int32(first + second)}} {
		from, to := (at+int(t.a))%n, (at+int(t.b))%n
		c.flips = append(c.flips, edge{int32(from), int32(to)})
		c.swap(from, to, int(t.b-t.a)+1)
	}
	for _, p := range [6]int32{a, b, d, e, f, g} {
		c.push(p)
	}
	return longer
}
