package plate

import (
	"slices"

	"brushfall/internal/design"
)

// share is a way to set the stones of a group onto plates: of gives each
// stone's plate, from 0, in the group's order.
type share struct {
	of    []int
	count int
}

// share finds the fewest plates for a group. Where stones stand too close for
// one plate it tries two ways and keeps the one with fewer plates, or else the
// one that keeps kinds whole: stones of kinds that meet too closely on one
// plate are told apart one by one, or the kinds go onto plates of their own.
func (w *work) share(g group) share {
	byStone := w.shareByStone(g)
	byKind := w.shareByKind(g)
	if byKind.count <= byStone.count {
		return byKind
	}
	return byStone
}

// shareByStone sets kinds onto plates by their sizes alone, and then the stones
// of each such class over as many plates as their webs need.
func (w *work) shareByStone(g group) share {
	kinds := w.kindsOf(g)
	ones := make([]int, len(kinds))
	for i := range ones {
		ones[i] = 1
	}
	class := partitionKinds(kinds, apart(kinds), ones)
	return w.colourClasses(g, class)
}

// shareByKind sets kinds onto different plates also when any stone of one
// stands too close to a stone of the other, so only stones of one kind are ever
// told apart one by one.
func (w *work) shareByKind(g group) share {
	kinds := w.kindsOf(g)
	no := apart(kinds)
	at := map[int]int{}
	for i, k := range g.kinds {
		at[k] = i
	}
	for _, s := range g.stones {
		for _, t := range w.near[s] {
			i := at[w.kindOf[s]]
			if j, ok := at[w.kindOf[t]]; ok && i != j {
				no[i][j], no[j][i] = true, true
			}
		}
	}
	weight := make([]int, len(kinds))
	for i, k := range g.kinds {
		_, weight[i] = colour(w.kindGraph(g, k))
	}
	return w.colourClasses(g, partitionKinds(kinds, no, weight))
}

// colourClasses gives each class of kinds the plates that its stones need.
func (w *work) colourClasses(g group, class []int) share {
	out := share{of: make([]int, len(g.stones))}
	at := map[int]int{}
	for i, k := range g.kinds {
		at[k] = class[i]
	}
	for c := 0; c <= slices.Max(class); c++ {
		var places, set []int
		for i, s := range g.stones {
			if at[w.kindOf[s]] == c {
				places = append(places, i)
				set = append(set, s)
			}
		}
		of, n := colour(w.graph(set))
		for v, i := range places {
			out.of[i] = out.count + of[v]
		}
		out.count += n
	}
	return out
}

// kindGraph gives the graph of the stones of one kind.
func (w *work) kindGraph(g group, kind int) [][]int {
	var set []int
	for _, s := range g.stones {
		if w.kindOf[s] == kind {
			set = append(set, s)
		}
	}
	return w.graph(set)
}

func (w *work) kindsOf(g group) []design.Kind {
	var out []design.Kind
	for _, k := range g.kinds {
		out = append(out, w.kinds[k])
	}
	return out
}

// apart gives the table of kinds that clash by their sizes.
func apart(kinds []design.Kind) [][]bool {
	out := make([][]bool, len(kinds))
	for i := range kinds {
		out[i] = make([]bool, len(kinds))
		for j := range kinds {
			out[i][j] = i != j && clash(kinds[i], kinds[j])
		}
	}
	return out
}
