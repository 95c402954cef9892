package plate

import (
	"cmp"
	"container/heap"
	"fmt"
	"slices"
)

// colourWork bounds the searches for one colouring, in looks at a vertex: about
// a fifth of a second.
const colourWork = 20_000_000

// colour gives each vertex of a graph a colour such that neighbours differ, and
// the number of colours with the proof how few there can be. adj lists each
// vertex's neighbours in rising order. Two colours where they are enough, else
// what saturation finds, bettered one colour at a time until the bound is met,
// every way was tried, or the work is used up. Colour 0 is the one most used. An
// empty graph has no colours.
//
// It is our own as it must give the same colours on every run:
// gonum's graph/coloring walks over maps.
func colour(adj [][]int) (of []int, count int, least floor) {
	of = make([]int, len(adj))
	for _, part := range parts(adj) {
		sub := subgraph(adj, part)
		hues, two := twoColour(sub)
		if !two {
			hues = saturation(sub)
		}
		for i, v := range part {
			of[v] = hues[i]
			count = max(count, hues[i]+1)
		}
	}
	least = leastColours(adj)
	work := colourWork
	for least.n < count {
		fewer, how := free(adj, count-1).solve(&work)
		if how == none {
			least = floor{count, fmt.Sprintf("every way to set them on %s was tried", countWord(count-1, "plate"))}
		}
		if how != found {
			break
		}
		of, count = fewer, slices.Max(fewer)+1
	}
	if count > 0 {
		byUse(of)
	}
	return of, count, least
}

// parts gives the connected parts, each in rising order, by their lowest vertex.
func parts(adj [][]int) [][]int {
	seen := make([]bool, len(adj))
	var out [][]int
	for v := range adj {
		if seen[v] {
			continue
		}
		seen[v] = true
		part := []int{v}
		for i := 0; i < len(part); i++ {
			for _, u := range adj[part[i]] {
				if !seen[u] {
					seen[u] = true
					part = append(part, u)
				}
			}
		}
		slices.Sort(part)
		out = append(out, part)
	}
	return out
}

// subgraph gives the graph of a sorted set of vertices, numbered by their places in it.
func subgraph(adj [][]int, set []int) [][]int {
	out := make([][]int, len(set))
	for i, v := range set {
		for _, u := range adj[v] {
			if j, ok := slices.BinarySearch(set, u); ok {
				out[i] = append(out[i], j)
			}
		}
	}
	return out
}

// twoColour colours a connected graph with two colours, and says whether that can be done.
func twoColour(adj [][]int) ([]int, bool) {
	of := make([]int, len(adj))
	for i := range of {
		of[i] = -1
	}
	of[0] = 0
	queue := []int{0}
	for i := 0; i < len(queue); i++ {
		v := queue[i]
		for _, u := range adj[v] {
			switch of[u] {
			case -1:
				of[u] = 1 - of[v]
				queue = append(queue, u)
			case of[v]:
				return nil, false
			}
		}
	}
	return of, true
}

// saturation colours a graph by always taking the vertex that sees the most
// colours, then the one with the most neighbours, then the lowest, and giving
// it the lowest colour it does not see (Brélaz, Commun. ACM 22(4), 1979).
func saturation(adj [][]int) []int {
	of := make([]int, len(adj))
	seen := make([]map[int]bool, len(adj))
	var queue turns
	for v := range adj {
		of[v] = -1
		seen[v] = map[int]bool{}
		queue = append(queue, turn{v: v, degree: len(adj[v])})
	}
	heap.Init(&queue)
	for queue.Len() > 0 {
		t := heap.Pop(&queue).(turn)
		if of[t.v] >= 0 || t.sees != len(seen[t.v]) {
			continue
		}
		for seen[t.v][of[t.v]] || of[t.v] < 0 {
			of[t.v]++
		}
		for _, u := range adj[t.v] {
			if of[u] < 0 && !seen[u][of[t.v]] {
				seen[u][of[t.v]] = true
				heap.Push(&queue, turn{v: u, sees: len(seen[u]), degree: len(adj[u])})
			}
		}
	}
	return of
}

// turn is a vertex waiting for its colour; turns is the queue of them.
type turn struct{ v, sees, degree int }

type turns []turn

func (t turns) Len() int      { return len(t) }
func (t turns) Swap(i, j int) { t[i], t[j] = t[j], t[i] }
func (t *turns) Push(x any)   { *t = append(*t, x.(turn)) }
func (t turns) Less(i, j int) bool {
	return cmp.Or(-cmp.Compare(t[i].sees, t[j].sees), -cmp.Compare(t[i].degree, t[j].degree), cmp.Compare(t[i].v, t[j].v)) < 0
}

func (t *turns) Pop() any {
	old := *t
	last := old[len(old)-1]
	*t = old[:len(old)-1]
	return last
}

// byUse renumbers colours so that colour 0 is used most: a plate holds as much
// of the design as it can, and the last little.
func byUse(of []int) {
	use := make([]int, slices.Max(of)+1)
	order := make([]int, len(use))
	for _, c := range of {
		use[c]++
	}
	for c := range order {
		order[c] = c
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(use[b], use[a]) })
	rank := make([]int, len(use))
	for r, c := range order {
		rank[c] = r
	}
	for i, c := range of {
		of[i] = rank[c]
	}
}
