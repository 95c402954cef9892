package plate

import (
	"math/bits"
	"slices"
)

// cliqueSteps bounds the search for a largest clique, in sets looked at. Holes
// in a plane have few neighbours, so that the search comes to its end far below.
const cliqueSteps = 200_000

// clique gives a largest set of vertices that are all neighbours of each other,
// in rising order; with too many neighbours to try them all, one of the largest
// that were found. A vertex is looked at with its later neighbours in an order
// that takes the least joined first (Eppstein, Löffler & Strash, "Listing all
// maximal cliques in sparse graphs in near-optimal time", ISAAC 2010), and a set
// is given up that too few colours colour (Tomita & Seki, DMTCS 2003).
func clique(adj [][]int) []int {
	order := leastJoinedFirst(adj)
	place := make([]int, len(adj))
	for i, v := range order {
		place[v] = i
	}
	c := &cliqueSearch{steps: cliqueSteps}
	for i := len(order) - 1; i >= 0 && c.steps > 0; i-- {
		v := order[i]
		var later []int
		for _, u := range adj[v] {
			if place[u] > i {
				later = append(later, u)
			}
		}
		if len(later) < len(c.best) {
			continue
		}
		c.names = later
		c.adj = bitRows(subgraph(adj, later))
		all := newBits(len(later))
		for u := range later {
			all.add(u)
		}
		c.grow([]int{v}, all)
	}
	slices.Sort(c.best)
	return c.best
}

type cliqueSearch struct {
	names []int
	adj   []bitset
	best  []int
	steps int
}

// grow adds vertices of from to a clique, as long as it may become the largest.
func (c *cliqueSearch) grow(have []int, from bitset) {
	if c.steps--; c.steps < 0 {
		return
	}
	if len(have) > len(c.best) {
		c.best = slices.Clone(have)
	}
	order, hue := c.hues(from)
	for i := len(order) - 1; i >= 0; i-- {
		if len(have)+hue[i] <= len(c.best) {
			return
		}
		v := order[i]
		c.grow(append(have, c.names[v]), from.and(c.adj[v]))
		from.remove(v)
	}
}

// hues colours the set one colour after the other, and gives its vertices by
// rising colour, from 1: a clique among the first i holds at most hue[i−1].
func (c *cliqueSearch) hues(set bitset) (order, hue []int) {
	left := slices.Clone(set)
	for n := 1; left.any(); n++ {
		free := slices.Clone(left)
		for v := free.first(); v >= 0; v = free.first() {
			order, hue = append(order, v), append(hue, n)
			left.remove(v)
			free.remove(v)
			free.without(c.adj[v])
		}
	}
	return order, hue
}

// leastJoinedFirst orders vertices so that each has the fewest neighbours among
// those after it (Matula & Beck, J. ACM 30, 1983).
func leastJoinedFirst(adj [][]int) []int {
	degree := make([]int, len(adj))
	var queue [][]int
	put := func(v int) {
		for len(queue) <= degree[v] {
			queue = append(queue, nil)
		}
		queue[degree[v]] = append(queue[degree[v]], v)
	}
	for v := range adj {
		degree[v] = len(adj[v])
		put(v)
	}
	order := make([]int, 0, len(adj))
	done := make([]bool, len(adj))
	for d := 0; len(order) < len(adj); {
		if len(queue[d]) == 0 {
			d++
			continue
		}
		v := queue[d][len(queue[d])-1]
		queue[d] = queue[d][:len(queue[d])-1]
		if done[v] || degree[v] != d {
			continue
		}
		done[v] = true
		order = append(order, v)
		for _, u := range adj[v] {
			if !done[u] {
				degree[u]--
				put(u)
				d = min(d, degree[u])
			}
		}
	}
	return order
}

// bitset is a set of small numbers.
type bitset []uint64

func newBits(n int) bitset { return make(bitset, (n+63)/64) }

func bitRows(adj [][]int) []bitset {
	rows := make([]bitset, len(adj))
	for v := range adj {
		rows[v] = newBits(len(adj))
		for _, u := range adj[v] {
			rows[v].add(u)
		}
	}
	return rows
}

func (b bitset) add(v int)    { b[v/64] |= 1 << (v % 64) }
func (b bitset) remove(v int) { b[v/64] &^= 1 << (v % 64) }
func (b bitset) any() bool    { return b.first() >= 0 }

// first gives the smallest number of the set, −1 for none.
func (b bitset) first() int {
	for i, w := range b {
		if w != 0 {
			return i*64 + bits.TrailingZeros64(w)
		}
	}
	return -1
}

func (b bitset) and(c bitset) bitset {
	out := make(bitset, len(b))
	for i := range b {
		out[i] = b[i] & c[i]
	}
	return out
}

func (b bitset) without(c bitset) {
	for i := range b {
		b[i] &^= c[i]
	}
}
