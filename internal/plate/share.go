package plate

import (
	"fmt"
	"slices"

	"brushfall/internal/design"
)

// share is a way to set the stones of a group onto plates: of gives each
// stone's plate, from 0, in the group's order.
type share struct {
	of    []int
	count int
}

// share finds the fewest plates for a group, with the proof. Where stones stand
// too close for one plate it tries two ways and keeps the one with fewer plates,
// or else the one that keeps kinds whole: stones of kinds that meet too closely
// on one plate are told apart one by one, or the kinds go onto plates of their
// own. While that is more than the bound, it searches for one plate fewer.
func (w *work) share(g group) (share, Bound) {
	best, bound := w.shareByKind(g), w.bound(g)
	if best.count > bound.Plates {
		if byStone := w.shareByStone(g); byStone.count < best.count {
			best = byStone
		}
	}
	spend := planWork
	for bound.Plates < best.count {
		fewer, how := w.shareListed(g, best.count-1, &spend)
		if how == none {
			bound = Bound{Plates: best.count, Why: fmt.Sprintf(
				"stones stand too close, and every way to set them on %s was tried", countWord(best.count-1, "plate"))}
		}
		if how != found {
			break
		}
		best = fewer
	}
	return w.gathered(g, best), bound
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
		weight[i] = w.alone(k).plates
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
		of, n := w.colourStones(set)
		for v, i := range places {
			out.of[i] = out.count + of[v]
		}
		out.count += n
	}
	return out
}

// colourStones colours stones, in rising order, by their webs. Those of one kind
// were coloured before.
func (w *work) colourStones(set []int) (of []int, count int) {
	kind := w.kindOf[set[0]]
	if slices.ContainsFunc(set, func(s int) bool { return w.kindOf[s] != kind }) {
		of, count, _ = colour(w.graph(set))
		return of, count
	}
	l := w.alone(kind)
	return l.of, l.plates
}

// kindGraph gives the graph of the stones of one kind.
func (w *work) kindGraph(kind int) [][]int {
	var set []int
	for s, k := range w.kindOf {
		if k == kind {
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
