// Package tour finds short ways through many points of the plane: a greedy
// start, exchanges of two edges and moves of short stretches until none helps,
// then many small disturbances, each kept if the way gets no longer
// (Lourenço, Martin, Stützle, "Iterated local search", 2003). The same points
// always give the same way: there is no clock and the random numbers have a
// fixed seed.
package tour

import "brushfall/internal/geom"

// Effort is how many disturbances are tried.
type Effort struct {
	PerPoint int // for each point
	Most     int // in all
}

// Quick gives the effort that makes exchanges only, no disturbances: about 5 %
// over the shortest way.
func Quick() Effort { return Effort{} }

// Thorough gives the effort for what is cut: on drilling tours of up to 2,400
// points about 1 % over the shortest way.
func Thorough() Effort { return Effort{PerPoint: 60, Most: 60_000} }

// Closed gives an order of the points with a short way through all of them and
// back to the first. Points may coincide; none give none.
func Closed(points []geom.Point, e Effort) []int {
	if len(points) < 4 {
		return straight(len(points))
	}
	c := newCycle(points, nil, 0)
	c.improve(e)
	return turnedTo(c.order, 0, false)
}

// Path gives an order of the points with a short way from `from` through all of
// them to `to`, neither of which is one of the points.
func Path(points []geom.Point, from, to geom.Point, e Effort) []int {
	n := len(points)
	if n < 2 {
		return straight(n)
	}
	// The way closed by an edge from its end to its start that is never given
	// up, because it is worth more than all that could be saved.
	box := geom.Bounds(points).Extend(from).Extend(to)
	all := append(append(make([]geom.Point, 0, n+2), points...), from, to)
	c := newCycle(all, &edge{int32(n), int32(n + 1)}, -1000*(box.Width()+box.Height()+1))
	c.improve(e)
	backwards := c.next(int32(n)) == int32(n+1)
	return turnedTo(c.order, int32(n), backwards)[1 : n+1]
}

func straight(n int) []int {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	return order
}

// turnedTo gives the cycle from a point on, forwards or backwards.
func turnedTo(order []int32, first int32, backwards bool) []int {
	n, at := len(order), 0
	for order[at] != first {
		at++
	}
	step := 1
	if backwards {
		step = n - 1
	}
	out := make([]int, n)
	for i := range out {
		out[i] = int(order[at])
		at = (at + step) % n
	}
	return out
}
