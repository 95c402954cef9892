package plate

import (
	"math/bits"
	"slices"
)

// planWork bounds the last search for one plate fewer, in looks at a vertex:
// about a third of a second. mostSets bounds the sets of kinds that it
// chooses from.
const (
	planWork = 30_000_000
	mostSets = 3000
)

// shareListed searches for a way to set a group onto count plates. Each plate is
// given a largest set of kinds that may share one, and then the stones are
// coloured, each with the plates that take its kind. Trying every choice of sets
// tries every plan, as more kinds on a plate never forbid one.
func (w *work) shareListed(g group, count int, spend *int) (share, outcome) {
	if count >= mostPlates || len(g.kinds) > 64 {
		return share{}, stopped
	}
	sets := wholeSets(apart(w.kindsOf(g)))
	if len(sets) > mostSets {
		return share{}, stopped
	}
	c := &chooser{w: w, g: g, sets: sets, adj: w.graph(g.stones), count: count, spend: spend, end: none}
	at := map[int]int{}
	for i, k := range g.kinds {
		at[k] = i
		c.need = append(c.need, w.alone(k).least.n)
	}
	for _, s := range g.stones {
		c.kind = append(c.kind, at[w.kindOf[s]])
	}
	c.choose(0)
	if c.end != found {
		return share{}, c.end
	}
	return share{c.of, count}, found
}

// chooser gives each plate a set of kinds, in every way.
type chooser struct {
	w     *work
	g     group
	sets  []uint64 // the sets to choose from: bit i for the group's kind i
	adj   [][]int  // the stones that stand too close
	kind  []int    // of each stone, its place in the group
	count int
	need  []int // plates that each kind needs at least, less those that take it
	taken []int // the sets of the plates so far
	spend *int
	of    []int
	end   outcome
}

// choose gives the next plate each set from the one numbered first on.
func (c *chooser) choose(first int) {
	if *c.spend -= len(c.sets); *c.spend < 0 {
		c.end = stopped
	}
	if c.end == stopped || c.end == found || slices.Max(c.need) > c.count-len(c.taken) {
		return
	}
	if len(c.taken) == c.count {
		c.colour()
		return
	}
	for i := first; i < len(c.sets); i++ {
		c.taken = append(c.taken, i)
		c.serve(c.sets[i], -1)
		c.choose(i)
		c.serve(c.sets[i], 1)
		c.taken = c.taken[:len(c.taken)-1]
	}
}

func (c *chooser) serve(set uint64, by int) {
	for ; set != 0; set &= set - 1 {
		c.need[bits.TrailingZeros64(set)] += by
	}
}

// choiceShare is the share of the work left that one choice of sets may take.
const choiceShare = 3

// colour colours the stones with the sets that were chosen.
func (c *chooser) colour() {
	l := listed{adj: c.adj, may: make([]uint64, len(c.adj)), count: c.count, alike: make([]int, c.count)}
	takes := make([]uint64, len(c.g.kinds))
	for p, s := range c.taken {
		l.alike[p] = slices.Index(c.taken, s)
		for set := c.sets[s]; set != 0; set &= set - 1 {
			takes[bits.TrailingZeros64(set)] |= 1 << p
		}
	}
	for v := range l.may {
		l.may[v] = takes[c.kind[v]]
	}
	work := *c.spend / choiceShare
	*c.spend -= work + len(l.may)
	of, how := l.solve(&work)
	*c.spend += work
	switch how {
	case found:
		c.of, c.end = of, found
	case stopped:
		c.end = stopped
	}
}

// wholeSets gives the largest sets of kinds of which no two are apart: those
// that no other kind can join (Bron & Kerbosch, Commun. ACM 16(9), 1973). It ends
// early with more than mostSets.
func wholeSets(apart [][]bool) []uint64 {
	together := make([]uint64, len(apart))
	for i := range apart {
		for j := range apart {
			if i != j && !apart[i][j] {
				together[i] |= 1 << j
			}
		}
	}
	var out []uint64
	var grow func(have, may, not uint64)
	grow = func(have, may, not uint64) {
		if len(out) > mostSets {
			return
		}
		if may|not == 0 {
			out = append(out, have)
			return
		}
		pivot, best := 0, -1
		for m := may | not; m != 0; m &= m - 1 {
			if n := bits.OnesCount64(together[bits.TrailingZeros64(m)] & may); n > best {
				pivot, best = bits.TrailingZeros64(m), n
			}
		}
		for m := may &^ together[pivot]; m != 0; m &= m - 1 {
			i := bits.TrailingZeros64(m)
			grow(have|1<<i, may&together[i], not&together[i])
			may &^= 1 << i
			not |= 1 << i
		}
	}
	grow(0, 1<<len(apart)-1, 0)
	slices.Sort(out)
	return out
}
