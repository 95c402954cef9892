package plate

import "slices"

// squeezeSteps bounds the search for one colour fewer, in looks at a vertex:
// well under a second, and more than the webs of real layouts ask for.
const squeezeSteps = 20_000_000

// squeeze betters a colouring of a connected graph that holds an odd ring, so
// needs three colours at least: it searches for a colouring with one colour
// fewer for as long as it finds one within squeezeSteps.
func squeeze(adj [][]int, of []int) []int {
	for count := slices.Max(of) + 1; count > 3; count-- {
		fewer, ok := colourWith(adj, count-1)
		if !ok {
			return of
		}
		of = fewer
	}
	return of
}

// colourWith searches for a colouring with count colours. Vertices with fewer
// neighbours than colours can always be coloured last, so they are peeled off
// first, again and again; the search is on what is left.
func colourWith(adj [][]int, count int) ([]int, bool) {
	core, peeled := peel(adj, count)
	s := &search{adj: subgraph(adj, core), count: count, of: make([]int, len(core)), steps: squeezeSteps}
	s.sees, s.hues = make([][]int, len(core)), make([]int, len(core))
	for i := range core {
		s.of[i] = -1
		s.sees[i] = make([]int, count)
	}
	if !s.run() {
		return nil, false
	}
	of := make([]int, len(adj))
	for v := range of {
		of[v] = -1
	}
	for i, v := range core {
		of[v] = s.of[i]
	}
	slices.Reverse(peeled)
	for _, v := range peeled {
		for of[v]++; slices.ContainsFunc(adj[v], func(u int) bool { return of[u] == of[v] }); of[v]++ {
		}
	}
	return of, true
}

// peel takes vertices with fewer than count neighbours off, in turn, and gives
// those that stay, in rising order, and those taken off, in the order of it.
func peel(adj [][]int, count int) (core, peeled []int) {
	degree := make([]int, len(adj))
	off := make([]bool, len(adj))
	for v := range adj {
		degree[v] = len(adj[v])
		if degree[v] < count {
			off[v] = true
			peeled = append(peeled, v)
		}
	}
	for i := 0; i < len(peeled); i++ {
		for _, u := range adj[peeled[i]] {
			degree[u]--
			if !off[u] && degree[u] < count {
				off[u] = true
				peeled = append(peeled, u)
			}
		}
	}
	for v := range adj {
		if !off[v] {
			core = append(core, v)
		}
	}
	return core, peeled
}

// search is a search with backtracking: the vertex that sees the most colours
// is set first, so a forced one is set at once.
type search struct {
	adj   [][]int
	count int
	of    []int
	sees  [][]int // sees[v][c]: how many neighbours of v have the colour c
	hues  []int   // how many colours v sees
	steps int
}

func (s *search) run() bool {
	v := s.next()
	if v < 0 {
		return s.steps > 0
	}
	highest := slices.Max(s.of)
	for c := 0; c < s.count && c <= highest+1; c++ { // a second new colour is like the first
		if s.sees[v][c] > 0 {
			continue
		}
		s.set(v, c, 1)
		if s.run() {
			return true
		}
		s.set(v, c, -1)
		if s.steps <= 0 {
			return false
		}
	}
	return false
}

// next gives the vertex to set next, −1 if all are set or the steps are used up.
func (s *search) next() int {
	best, bestSees := -1, -1
	for v, c := range s.of {
		if c >= 0 {
			continue
		}
		if s.hues[v] > bestSees {
			best, bestSees = v, s.hues[v]
		}
	}
	s.steps -= len(s.of)
	if s.steps <= 0 {
		return -1
	}
	return best
}

func (s *search) set(v, c, by int) {
	s.of[v] = c
	if by < 0 {
		s.of[v] = -1
	}
	for _, u := range s.adj[v] {
		s.sees[u][c] += by
		if was := s.sees[u][c] - by; (was == 0) != (s.sees[u][c] == 0) {
			s.hues[u] += by
		}
	}
}
