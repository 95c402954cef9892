package plate

import (
	"fmt"
	"slices"
)

// bound gives a number of plates below which no plan of a group goes: the kinds
// that take up one and the same diameter all clash, and each of them needs as
// many plates as its webs ask for by themselves; or the stones of all kinds
// together stand too close for fewer.
func (w *work) bound(g group) Bound {
	var best Bound
	for _, p := range g.kinds {
		var set []int
		sum := 0
		for _, k := range g.kinds {
			if at := w.kinds[p].Smallest; w.kinds[k].Smallest <= at && at <= w.kinds[k].Hole {
				set = append(set, k)
				sum += w.alone(k).least.n
			}
		}
		if sum > best.Plates {
			best = Bound{Plates: sum, Why: w.why(set)}
		}
	}
	if least := leastColours(w.graph(g.stones)); least.n > best.Plates {
		best = Bound{Plates: least.n, Why: "among the stones, " + least.why}
	}
	if best.Plates == 1 && len(g.kinds) > 1 {
		best.Why = fmt.Sprintf("none of %s falls into a smaller one's holes", list(w.labels(g.kinds)))
	}
	return best
}

// namedKinds is how many kinds a message names one by one.
const namedKinds = 4

// why says why a set of kinds that all clash needs its plates.
func (w *work) why(set []int) string {
	why := ""
	var sizes []string
	for _, k := range set {
		if size := w.kinds[k].Size; !slices.Contains(sizes, size) {
			sizes = append(sizes, size)
		}
	}
	switch {
	case len(set) > 1 && len(sizes) == 1:
		why = fmt.Sprintf("%s comes in %s colours", w.kinds[set[0]].Size, numberWord(len(set)))
	case len(set) > namedKinds:
		why = fmt.Sprintf("%s kinds of %s fall into each other's holes", numberWord(len(set)), list(sizes))
	case len(set) > 1:
		why = list(w.labels(set)) + " fall into each other's holes"
	case w.alone(set[0]).least.n == 1:
		return label(w.kinds[set[0]]) + " is by itself"
	}
	for _, k := range set {
		if least := w.alone(k).least; least.n > 1 {
			why = joinWords(why, fmt.Sprintf("the stones of %s need %s of their own: %s", label(w.kinds[k]), numberWord(least.n), least.why))
		}
	}
	return why
}

// lone is what the stones of one kind need by themselves.
type lone struct {
	of     []int // the plate of each of its stones, from 0
	plates int
	least  floor
}

// alone gives what the stones of a kind need by themselves.
func (w *work) alone(kind int) lone {
	if l, ok := w.lones[kind]; ok {
		return l
	}
	of, n, least := colour(w.kindGraph(kind))
	w.lones[kind] = lone{of, n, least}
	return w.lones[kind]
}

func (w *work) labels(kinds []int) []string {
	var out []string
	for _, k := range kinds {
		out = append(out, label(w.kinds[k]))
	}
	return out
}
