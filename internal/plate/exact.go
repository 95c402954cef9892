package plate

import (
	"math/bits"
	"slices"
)

// tryAll colours a connected graph by setting the vertex with the fewest colours
// left, then the one with the most neighbours, and going back where none is left
// (Brélaz, Commun. ACM 22(4), 1979; with lists, the search of San Segundo,
// Comput. Oper. Res. 39, 2012). Of unused colours that are alike only one is
// tried. When the work is used up it gives the fullest colouring it met, with −1
// for what was not set.
func (l listed) tryAll(work *int) ([]int, outcome) {
	s := &search{listed: l, work: work, of: make([]int, len(l.adj)), left: slices.Clone(l.may), used: make([]int, l.count)}
	s.sees = make([]int32, len(l.adj)*l.count)
	for v := range s.of {
		s.of[v] = -1
	}
	s.best = slices.Clone(s.of)
	s.queue.init(len(l.adj))
	for v := range l.adj {
		s.queue.put(v, s.urgency(v))
	}
	how := s.run()
	if how == found {
		return s.of, found
	}
	return s.best, how
}

// search is a search with backtracking.
type search struct {
	listed
	work  *int
	of    []int
	left  []uint64 // the colours left to a vertex
	sees  []int32  // sees[v·count + c]: how many neighbours of v have the colour c
	used  []int    // how many vertices have the colour
	queue ranked
	set   int
	best  []int
	most  int
}

// step is a vertex that is set, and the colours not tried for it yet.
type step struct {
	v    int
	left uint64
}

// run searches without recursion, as a bed may hold many thousand stones.
func (s *search) run() outcome {
	var path []step
	next := func() bool {
		v := s.queue.top()
		if v >= 0 {
			path = append(path, step{v, s.tries(v)})
		}
		return v >= 0
	}
	if !next() {
		return found
	}
	for len(path) > 0 {
		at := &path[len(path)-1]
		if s.of[at.v] >= 0 {
			s.change(at.v, s.of[at.v], -1)
		}
		if at.left == 0 {
			path = path[:len(path)-1]
			continue
		}
		if *s.work < 0 {
			return stopped
		}
		c := bits.TrailingZeros64(at.left)
		at.left &= at.left - 1
		s.change(at.v, c, 1)
		if s.set > s.most {
			s.most, s.best = s.set, append(s.best[:0], s.of...)
		}
		if !next() {
			return found
		}
	}
	return none
}

// tries gives the colours worth trying for a vertex: of unused ones that are
// alike, the first.
func (s *search) tries(v int) uint64 {
	out := s.left[v]
	var fresh uint64
	for m := out; m != 0; m &= m - 1 {
		c := bits.TrailingZeros64(m)
		if s.used[c] > 0 {
			continue
		}
		if fresh&(1<<s.alike[c]) != 0 {
			out &^= 1 << c
		}
		fresh |= 1 << s.alike[c]
	}
	return out
}

// change sets (by 1) or unsets (by −1) a vertex's colour.
func (s *search) change(v, c, by int) {
	*s.work -= 1 + len(s.adj[v])
	s.used[c] += by
	s.set += by
	if by > 0 {
		s.of[v] = c
		s.queue.drop(v)
	} else {
		s.of[v] = -1
		s.queue.put(v, s.urgency(v))
	}
	for _, u := range s.adj[v] {
		n := &s.sees[u*s.count+c]
		*n += int32(by)
		if (by > 0 && *n == 1) || (by < 0 && *n == 0) {
			s.left[u] ^= 1 << c & s.may[u]
			if s.of[u] < 0 {
				s.queue.put(u, s.urgency(u))
			}
		}
	}
}

// urgency is higher for the vertex to be set first.
func (s *search) urgency(v int) int {
	return (mostPlates-bits.OnesCount64(s.left[v]))<<32 + min(len(s.adj[v]), 1<<31)
}

// ranked is a heap of vertices by falling rank, then rising number.
type ranked struct {
	heap, at, rank []int
}

func (r *ranked) init(n int) {
	r.at, r.rank = make([]int, n), make([]int, n)
	for v := range r.at {
		r.at[v] = -1
	}
}

// top gives the first vertex, −1 for none.
func (r *ranked) top() int {
	if len(r.heap) == 0 {
		return -1
	}
	return r.heap[0]
}

func (r *ranked) before(a, b int) bool {
	return r.rank[a] > r.rank[b] || (r.rank[a] == r.rank[b] && a < b)
}

// put adds a vertex, or changes its rank.
func (r *ranked) put(v, rank int) {
	r.rank[v] = rank
	if r.at[v] < 0 {
		r.at[v] = len(r.heap)
		r.heap = append(r.heap, v)
	}
	r.down(r.up(r.at[v]))
}

// drop takes a vertex off.
func (r *ranked) drop(v int) {
	i, last := r.at[v], len(r.heap)-1
	if i < 0 {
		return
	}
	r.swap(i, last)
	r.heap = r.heap[:last]
	r.at[v] = -1
	if i < last {
		r.down(r.up(i))
	}
}

func (r *ranked) swap(i, j int) {
	r.heap[i], r.heap[j] = r.heap[j], r.heap[i]
	r.at[r.heap[i]], r.at[r.heap[j]] = i, j
}

func (r *ranked) up(i int) int {
	for p := (i - 1) / 2; i > 0 && r.before(r.heap[i], r.heap[p]); p = (i - 1) / 2 {
		r.swap(i, p)
		i = p
	}
	return i
}

func (r *ranked) down(i int) {
	for {
		c := 2*i + 1
		if c+1 < len(r.heap) && r.before(r.heap[c+1], r.heap[c]) {
			c++
		}
		if c >= len(r.heap) || !r.before(r.heap[c], r.heap[i]) {
			return
		}
		r.swap(i, c)
		i = c
	}
}
