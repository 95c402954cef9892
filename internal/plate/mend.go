package plate

import (
	"math/bits"
	"math/rand/v2"
)

// The settings of mend, as Galinier and Hertz give them ("A survey of local
// search methods for graph coloring", Comput. Oper. Res. 33, 2006).
const (
	restShare = 0.6 // of the clashing vertices: how many moves a colour rests that was left
	restMore  = 10  // and up to so many more, by lot
)

// mend starts from a colouring in which −1 stands for none, gives each vertex a
// colour and moves the vertex that clashes from colour to colour by tabu search
// until none does (Hertz & de Werra, "Using tabu search techniques for graph
// coloring", Computing 39, 1987). The lot has a seed: the same graph gives the
// same colours.
func (l listed) mend(of []int, work *int) ([]int, bool) {
	m := &mender{listed: l, of: of, rng: rand.New(rand.NewPCG(uint64(len(l.adj)), uint64(l.count)))}
	m.sees = make([]int32, len(l.adj)*l.count)
	m.rest = make([]int, len(l.adj)*l.count)
	m.at = make([]int, len(l.adj))
	m.start()
	best := m.total
	for now := 1; m.total > 0 && *work > 0; now++ {
		v, c := m.move(now, best)
		*work -= len(m.clashing)*l.count + len(l.adj[v])
		m.rest[v*l.count+m.of[v]] = now + int(restShare*float64(len(m.clashing))) + m.rng.IntN(restMore)
		m.recolour(v, c)
		best = min(best, m.total)
	}
	return m.of, m.total == 0
}

// mender is a colouring under repair.
type mender struct {
	listed
	of       []int
	sees     []int32 // as of search
	rest     []int   // the move until which a vertex does not take a colour again
	clashing []int   // the vertices that a neighbour clashes with
	at       []int   // the vertex's place among them, −1 if it is not
	total    int     // clashing pairs
	rng      *rand.Rand
}

// start gives every vertex without a colour the one that fewest neighbours have.
func (m *mender) start() {
	for v, c := range m.of {
		m.at[v] = -1
		if c >= 0 {
			m.tell(v, c, 1)
		}
	}
	for v, c := range m.of {
		if c >= 0 {
			continue
		}
		c = bits.TrailingZeros64(m.may[v])
		for may := m.may[v]; may != 0; may &= may - 1 {
			if o := bits.TrailingZeros64(may); m.sees[v*m.count+o] < m.sees[v*m.count+c] {
				c = o
			}
		}
		m.of[v] = c
		m.tell(v, c, 1)
	}
	for v := range m.of {
		n := m.clashes(v)
		m.total += n
		m.note(v)
	}
	m.total /= 2
}

// tell tells the neighbours of a vertex of its colour.
func (m *mender) tell(v, c, by int) {
	for _, u := range m.adj[v] {
		m.sees[u*m.count+c] += int32(by)
	}
}

func (m *mender) clashes(v int) int { return int(m.sees[v*m.count+m.of[v]]) }

// note keeps the list of the clashing vertices.
func (m *mender) note(v int) {
	i, clashes := m.at[v], m.clashes(v) > 0
	switch {
	case clashes && i < 0:
		m.at[v] = len(m.clashing)
		m.clashing = append(m.clashing, v)
	case !clashes && i >= 0:
		last := m.clashing[len(m.clashing)-1]
		m.clashing[i], m.at[last] = last, i
		m.clashing = m.clashing[:len(m.clashing)-1]
		m.at[v] = -1
	}
}

// move gives the best change of a clashing vertex whose colour does not rest, or
// that leads to fewer clashes than ever; one by lot of those as good.
func (m *mender) move(now, best int) (vertex, colour int) {
	vertex, colour = m.clashing[0], m.of[m.clashing[0]]
	least, ties := 1<<30, 0
	for _, v := range m.clashing {
		for may := m.may[v] &^ (1 << m.of[v]); may != 0; may &= may - 1 {
			c := bits.TrailingZeros64(may)
			change := int(m.sees[v*m.count+c]) - m.clashes(v)
			if m.rest[v*m.count+c] >= now && m.total+change >= best {
				continue
			}
			switch {
			case change < least:
				vertex, colour, least, ties = v, c, change, 1
			case change == least:
				ties++
				if m.rng.IntN(ties) == 0 {
					vertex, colour = v, c
				}
			}
		}
	}
	return vertex, colour
}

func (m *mender) recolour(v, c int) {
	was := m.of[v]
	m.total += int(m.sees[v*m.count+c]) - m.clashes(v)
	m.of[v] = c
	m.tell(v, was, -1)
	m.tell(v, c, 1)
	m.note(v)
	for _, u := range m.adj[v] {
		m.note(u)
	}
}
