package plate

import (
	"fmt"
	"slices"
)

// floor is a number of colours below which no colouring of a graph goes, and why.
type floor struct {
	n   int
	why string // of stones: "three stand too close for any two to share a plate"; empty below 2
}

// leastColours gives a bound that is found quickly: the vertices of a clique all
// differ; an odd ring takes three colours; a vertex with an odd ring among its
// neighbours four. 0 for an empty graph.
func leastColours(adj [][]int) floor {
	best := floor{n: len(clique(adj))}
	switch {
	case best.n == 2:
		best.why = "two stand too close to share a plate"
	case best.n > 2:
		best.why = fmt.Sprintf("%s stand too close for any two to share a plate", numberWord(best.n))
	}
	if best.n >= 4 {
		return best
	}
	for v := range adj {
		if len(adj[v]) >= 5 && hasOddRing(subgraph(adj, adj[v])) {
			return floor{4, "one stands too close inside an odd ring of others, each too close to the next"}
		}
	}
	if best.n == 2 && hasOddRing(adj) {
		return floor{3, "some stand in an odd ring, each too close to the next"}
	}
	return best
}

// hasOddRing says whether a graph cannot be coloured with two colours.
func hasOddRing(adj [][]int) bool {
	return slices.ContainsFunc(parts(adj), func(part []int) bool {
		_, two := twoColour(subgraph(adj, part))
		return !two
	})
}

// numberWord spells small numbers out, as a sentence does.
func numberWord(n int) string {
	words := []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if n >= 0 && n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
}
