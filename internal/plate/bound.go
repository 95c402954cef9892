package plate

import (
	"fmt"
	"slices"
)

// bound gives the least number of plates that any plan of a group has: the
// kinds that take up one and the same diameter all clash, and each of them
// needs as many plates as its webs ask for by themselves.
func (w *work) bound(g group) Bound {
	alone := map[int]int{}
	for _, k := range g.kinds {
		alone[k] = leastColours(w.kindGraph(g, k))
	}
	var best Bound
	for _, p := range g.kinds {
		var set []int
		sum := 0
		for _, k := range g.kinds {
			if at := w.kinds[p].Smallest; w.kinds[k].Smallest <= at && at <= w.kinds[k].Hole {
				set = append(set, k)
				sum += alone[k]
			}
		}
		if sum > best.Plates {
			best = Bound{Plates: sum, Why: w.why(set, alone)}
		}
	}
	if n := leastColours(w.graph(g.stones)); n > best.Plates {
		best = Bound{Plates: n, Why: "stones stand too close for their holes to share fewer"}
	}
	if best.Plates == 1 && len(g.kinds) > 1 {
		best.Why = fmt.Sprintf("none of %s falls into a smaller one's holes", list(w.labels(g.kinds)))
	}
	return best
}

// namedKinds is how many kinds a message names one by one.
const namedKinds = 4

// why says why a set of kinds that all clash needs its plates.
func (w *work) why(set []int, alone map[int]int) string {
	why := ""
	var sizes []string
	for _, k := range set {
		if size := w.kinds[k].Size; !slices.Contains(sizes, size) {
			sizes = append(sizes, size)
		}
	}
	switch {
	case len(set) > 1 && len(sizes) == 1:
		why = fmt.Sprintf("%s comes in %d colours", w.kinds[set[0]].Size, len(set))
	case len(set) > namedKinds:
		why = fmt.Sprintf("%d kinds of %s fall into each other's holes", len(set), list(sizes))
	case len(set) > 1:
		why = list(w.labels(set)) + " fall into each other's holes"
	case alone[set[0]] == 1:
		return label(w.kinds[set[0]]) + " is by itself"
	}
	for _, k := range set {
		if alone[k] > 1 {
			why = joinWords(why, fmt.Sprintf("%s stands too close for fewer than %d of its own", label(w.kinds[k]), alone[k]))
		}
	}
	return why
}

func (w *work) labels(kinds []int) []string {
	var out []string
	for _, k := range kinds {
		out = append(out, label(w.kinds[k]))
	}
	return out
}

// leastColours gives a number of colours below which no colouring goes: 3 with
// an odd ring, 4 where four vertices are all joined, 2 with any edge, else 1;
// 0 for an empty graph.
func leastColours(adj [][]int) int {
	least := 0
	for _, part := range parts(adj) {
		sub := subgraph(adj, part)
		n := min(len(part), 2)
		if _, two := twoColour(sub); !two {
			n = 3
		}
		if n == 3 && fourJoined(sub) {
			n = 4
		}
		least = max(least, n)
	}
	return least
}

// fourJoined says whether four vertices are all neighbours of each other.
func fourJoined(adj [][]int) bool {
	joined := func(a, b int) bool { _, ok := slices.BinarySearch(adj[a], b); return ok }
	for a := range adj {
		for i, b := range adj[a] {
			for j, c := range adj[a][i+1:] {
				if b < a || !joined(b, c) {
					continue
				}
				for _, d := range adj[a][i+j+2:] {
					if joined(b, d) && joined(c, d) {
						return true
					}
				}
			}
		}
	}
	return false
}
