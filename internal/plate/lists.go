package plate

import (
	"math/bits"
	"slices"
)

// mostPlates bounds the plates of one colouring by what fits in a mask. A group
// of kinds that needs more is planned without the last search.
const mostPlates = 64

// listed is a graph whose vertices may each take some of count colours only:
// bit c of may[v] says whether v may take c. alike[c] is the lowest colour that
// the same vertices may take as c: of the unused ones any is as good.
type listed struct {
	adj   [][]int
	may   []uint64
	count int
	alike []int
}

// free gives a graph whose vertices may take any of count colours.
func free(adj [][]int, count int) listed {
	l := listed{adj: adj, may: make([]uint64, len(adj)), count: count, alike: make([]int, count)}
	for v := range l.may {
		l.may[v] = 1<<count - 1
	}
	return l
}

// outcome says how a search ended.
type outcome int

const (
	found   outcome = iota
	none            // every way was tried
	stopped         // the work allowed was used up
)

// solve searches for a colouring in which neighbours differ. Vertices with fewer
// neighbours than colours can always be coloured last and are peeled off, again
// and again; what is left falls into parts, each coloured by itself. These are
// the simplifications of layout decomposition for multiple patterning, the
// splitting of a chip's mask (Yu, Yuan, Zhang, Ding & Pan, "Layout decomposition
// for triple patterning lithography", ICCAD 2011; Kuang & Young, DAC 2013). work
// is what may be spent, and is taken from.
func (l listed) solve(work *int) ([]int, outcome) {
	core, peeled := l.peel()
	of := make([]int, len(l.adj))
	for v := range of {
		of[v] = -1
	}
	end := found
	for _, part := range parts(subgraph(l.adj, core)) {
		for i, v := range part {
			part[i] = core[v]
		}
		sub := listed{subgraph(l.adj, part), make([]uint64, len(part)), l.count, l.alike}
		for i, v := range part {
			sub.may[i] = l.may[v]
		}
		got, how := sub.solvePart(work)
		if how == none {
			return nil, none // also if another part was given up
		}
		end = max(end, how)
		for i, v := range part {
			if how == found {
				of[v] = got[i]
			}
		}
	}
	if end != found {
		return nil, end
	}
	for _, v := range slices.Backward(peeled) {
		of[v] = bits.TrailingZeros64(l.left(v, of))
	}
	return of, found
}

// left gives the colours that a vertex may take beside its neighbours.
func (l listed) left(v int, of []int) uint64 {
	may := l.may[v]
	for _, u := range l.adj[v] {
		if of[u] >= 0 {
			may &^= 1 << of[u]
		}
	}
	return may
}

// peel takes vertices with fewer neighbours than colours off, in turn, and gives
// those that stay, in rising order, and those taken off, in the order of it.
func (l listed) peel() (core, peeled []int) {
	degree := make([]int, len(l.adj))
	off := make([]bool, len(l.adj))
	take := func(v int) {
		if !off[v] && degree[v] < bits.OnesCount64(l.may[v]) {
			off[v] = true
			peeled = append(peeled, v)
		}
	}
	for v := range l.adj {
		degree[v] = len(l.adj[v])
		take(v)
	}
	for i := 0; i < len(peeled); i++ {
		for _, u := range l.adj[peeled[i]] {
			degree[u]--
			take(u)
		}
	}
	for v := range l.adj {
		if !off[v] {
			core = append(core, v)
		}
	}
	return core, peeled
}

// trialShare is the share of the work that each of the two searches of a part
// may take before the other has its turn.
const trialShare = 3

// solvePart colours a connected graph: by trying every way for a while, then by
// mending a colouring with clashes, then by trying on.
func (l listed) solvePart(work *int) ([]int, outcome) {
	if slices.Contains(l.may, 0) {
		return nil, none
	}
	first := *work / trialShare
	*work -= first
	of, how := l.tryAll(&first)
	*work += first
	if how != stopped {
		return of, how
	}
	second := *work / trialShare
	*work -= second
	of, ok := l.mend(of, &second)
	*work += second
	if ok {
		return of, found
	}
	return l.tryAll(work)
}
