package cut

import (
	"slices"

	"brushfall/internal/geom"
)

// neighbours is how many near points an exchange looks at. Johnson and McGeoch,
// "The traveling salesman problem: a case study in local optimization" (1997),
// find little gain beyond eight for plane instances.
const neighbours = 8

// leastGain is the shortening, in mm, below which an exchange is not worth
// making: well above rounding, so the improvement always comes to an end.
const leastGain = 1e-6

// tour gives an order of the points with little travel from start through all
// of them: nearest neighbour, then 2-opt until no exchange with a near point
// shortens it. The way ends where it likes. The same points always give the
// same order.
func tour(points []geom.Point, start geom.Point) []int {
	if len(points) < 2 {
		return nearestFirst(points, start)
	}
	order := nearestFirst(points, start)
	t := &path{points: points, start: start, order: order, place: make([]int, len(points))}
	for k, i := range order {
		t.place[i] = k
	}
	t.improve(nearLists(points))
	return t.order
}

// path is an open tour under improvement; place[i] is where point i stands in order.
type path struct {
	points []geom.Point
	start  geom.Point
	order  []int
	place  []int
}

// at gives the k-th stop; stop −1 is the start.
func (t *path) at(k int) geom.Point {
	if k < 0 {
		return t.start
	}
	return t.points[t.order[k]]
}

// improve makes 2-opt exchanges until none with a near point helps, keeping a
// queue of points whose surroundings changed.
func (t *path) improve(near [][]int) {
	queue := slices.Clone(t.order)
	queued := make([]bool, len(t.points))
	for i := range queued {
		queued[i] = true
	}
	for len(queue) > 0 {
		i := queue[0]
		queue = queue[1:]
		queued[i] = false
		for {
			ends, ok := t.exchange(i, near[i])
			if !ok {
				break
			}
			for _, k := range ends {
				if k < 0 || k >= len(t.order) {
					continue
				}
				if j := t.order[k]; !queued[j] {
					queued[j] = true
					queue = append(queue, j)
				}
			}
		}
	}
}

// exchange looks for a stretch of the path with point i at one end whose
// reversal shortens it, makes the first one found, and gives the places that
// got new neighbours.
func (t *path) exchange(i int, near []int) ([4]int, bool) {
	for _, j := range near {
		a, b := t.place[i], t.place[j]
		if a > b {
			a, b = b, a
		}
		// Reversing a+1…b brings stop b next to stop a; so does
		// reversing a…b−1.
		if t.gain(a+1, b) > leastGain {
			t.reverse(a+1, b)
			return [4]int{a, a + 1, b, b + 1}, true
		}
		if t.gain(a, b-1) > leastGain {
			t.reverse(a, b-1)
			return [4]int{a - 1, a, b - 1, b}, true
		}
	}
	return [4]int{}, false
}

// gain gives by how much reversing the stops from…to shortens the path.
func (t *path) gain(from, to int) float64 {
	if from >= to {
		return 0
	}
	before, first, last := t.at(from-1), t.at(from), t.at(to)
	g := before.Dist(first) - before.Dist(last)
	if to+1 < len(t.order) {
		after := t.at(to + 1)
		g += last.Dist(after) - first.Dist(after)
	}
	return g
}

func (t *path) reverse(from, to int) {
	for from < to {
		t.order[from], t.order[to] = t.order[to], t.order[from]
		t.place[t.order[from]], t.place[t.order[to]] = from, to
		from, to = from+1, to-1
	}
	if from == to {
		t.place[t.order[from]] = from
	}
}

// nearestFirst visits the nearest point not yet visited, from start on.
func nearestFirst(points []geom.Point, start geom.Point) []int {
	g := newCells(points)
	order := make([]int, 0, len(points))
	for here := start; len(order) < len(points); {
		i := g.nearest(here, 1)[0]
		g.remove(i)
		order = append(order, i)
		here = points[i]
	}
	return order
}

// nearLists gives the nearest other points of each point, nearest first.
func nearLists(points []geom.Point) [][]int {
	g := newCells(points)
	lists := make([][]int, len(points))
	for i, p := range points {
		near := g.nearest(p, neighbours+1)
		lists[i] = slices.DeleteFunc(near, func(j int) bool { return j == i })
	}
	return lists
}
