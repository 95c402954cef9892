package geom

import (
	"cmp"
	"math"
	"math/bits"
)

// gridPoint is a point on the snapping grid, 0 ≤ x, y < 2^29.
type gridPoint struct{ x, y int64 }

func (p gridPoint) compare(q gridPoint) int {
	if c := cmp.Compare(p.x, q.x); c != 0 {
		return c
	}
	return cmp.Compare(p.y, q.y)
}

// orient is positive when a, b, c turn in the sense of positive shoelace area,
// 0 when they lie on one line. Exact: the products stay within 60 bits.
func orient(a, b, c gridPoint) int64 {
	return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
}

// inCircleError bounds the rounding of inCircle in float64, as a share of the
// sum of the sizes of its terms: nine roundings of 2^-53, doubled for safety.
const inCircleError = 18.0 / (1 << 53)

// inCircle says whether d lies within the circle through a, b, c (which turn
// in the positive sense), not on it. Floats decide when the error bound lets
// them, 128-bit integers otherwise.
func inCircle(a, b, c, d gridPoint) bool {
	ax, ay, bx, by, cx, cy := a.x-d.x, a.y-d.y, b.x-d.x, b.y-d.y, c.x-d.x, c.y-d.y
	bc, ca, ab := bx*cy-by*cx, cx*ay-cy*ax, ax*by-ay*bx
	la, lb, lc := ax*ax+ay*ay, bx*bx+by*by, cx*cx+cy*cy
	fa, fb, fc := float64(la)*float64(bc), float64(lb)*float64(ca), float64(lc)*float64(ab)
	sum := fa + fb + fc
	if bound := inCircleError * (math.Abs(fa) + math.Abs(fb) + math.Abs(fc)); sum > bound || sum < -bound {
		return sum > 0
	}
	var t int128
	t = t.addProduct(la, bc).addProduct(lb, ca).addProduct(lc, ab)
	return t.hi > 0 || t.hi == 0 && t.lo > 0
}

// int128 is a signed integer in two's complement.
type int128 struct {
	hi int64
	lo uint64
}

// addProduct gives t + a·b.
func (t int128) addProduct(a, b int64) int128 {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	high := int64(hi)
	if a < 0 {
		high -= b
	}
	if b < 0 {
		high -= a
	}
	sum, carry := bits.Add64(t.lo, lo, 0)
	return int128{t.hi + high + int64(carry), sum}
}

// halfEdge is one direction of an edge; the other is at index e^1. next and
// prev are the neighbours around the origin, next in the positive sense. A
// removed edge has no origin. Small numbers, for the walk is bound by memory.
type halfEdge struct{ org, next, prev int32 }

// removed is the origin of a removed edge.
const removed = -1

// quadMesh is the edge structure of Guibas and Stolfi without its dual half,
// which a triangulation never asks for.
type quadMesh struct {
	at    []gridPoint
	edges []halfEdge
}

func (m *quadMesh) org(e int) int          { return int(m.edges[e].org) }
func (m *quadMesh) dest(e int) int         { return int(m.edges[e^1].org) }
func (m *quadMesh) onext(e int) int        { return int(m.edges[e].next) }
func (m *quadMesh) oprev(e int) int        { return int(m.edges[e].prev) }
func (m *quadMesh) lnext(e int) int        { return int(m.edges[e^1].prev) }
func (m *quadMesh) rprev(e int) int        { return int(m.edges[e^1].next) }
func (m *quadMesh) orgAt(e int) gridPoint  { return m.at[m.edges[e].org] }
func (m *quadMesh) destAt(e int) gridPoint { return m.at[m.edges[e^1].org] }

// edge makes an edge with nothing around it.
func (m *quadMesh) edge(a, b int) int {
	e := int32(len(m.edges))
	m.edges = append(m.edges, halfEdge{int32(a), e, e}, halfEdge{int32(b), e + 1, e + 1})
	return int(e)
}

// splice joins or parts the rings of edges around two origins.
func (m *quadMesh) splice(a, b int) {
	na, nb := m.edges[a].next, m.edges[b].next
	m.edges[a].next, m.edges[b].next = nb, na
	m.edges[nb].prev, m.edges[na].prev = int32(a), int32(b)
}

// connect makes an edge from the end of a to the start of b, with a, the new
// edge and b on one left face.
func (m *quadMesh) connect(a, b int) int {
	e := m.edge(m.dest(a), m.org(b))
	m.splice(e, m.lnext(a))
	m.splice(e^1, b)
	return e
}

func (m *quadMesh) remove(e int) {
	m.splice(e, m.oprev(e))
	m.splice(e^1, m.oprev(e^1))
	m.edges[e].org, m.edges[e^1].org = removed, removed
}

// left says whether p lies left of e, the side of its triangle.
func (m *quadMesh) left(p gridPoint, e int) bool { return orient(p, m.orgAt(e), m.destAt(e)) > 0 }

// right says whether p lies right of e.
func (m *quadMesh) right(p gridPoint, e int) bool { return orient(p, m.destAt(e), m.orgAt(e)) > 0 }

// divide triangulates places lo to hi, sorted by x then y, and gives the hull
// edges out of the leftmost place and out of the rightmost.
func (m *quadMesh) divide(lo, hi int) (int, int) {
	switch hi - lo {
	case 2:
		e := m.edge(lo, lo+1)
		return e, e ^ 1
	case 3:
		return m.three(lo)
	}
	mid := (lo + hi) / 2
	ldo, ldi := m.divide(lo, mid)
	rdi, rdo := m.divide(mid, hi)
	for {
		if m.left(m.orgAt(rdi), ldi) {
			ldi = m.lnext(ldi)
		} else if m.right(m.orgAt(ldi), rdi) {
			rdi = m.rprev(rdi)
		} else {
			break
		}
	}
	base := m.connect(rdi^1, ldi)
	if m.org(ldi) == m.org(ldo) {
		ldo = base ^ 1
	}
	if m.org(rdi) == m.org(rdo) {
		rdo = base
	}
	m.zip(base)
	return ldo, rdo
}

func (m *quadMesh) three(lo int) (int, int) {
	a, b := m.edge(lo, lo+1), m.edge(lo+1, lo+2)
	m.splice(a^1, b)
	switch turn := orient(m.at[lo], m.at[lo+1], m.at[lo+2]); {
	case turn > 0:
		m.connect(b, a)
		return a, b ^ 1
	case turn < 0:
		c := m.connect(b, a)
		return c ^ 1, c
	}
	return a, b ^ 1
}

// zip sews the two halves together from the lower common tangent upwards.
func (m *quadMesh) zip(base int) {
	for {
		l := m.onext(base ^ 1)
		if m.right(m.destAt(l), base) {
			for inCircle(m.destAt(base), m.orgAt(base), m.destAt(l), m.destAt(m.onext(l))) {
				next := m.onext(l)
				m.remove(l)
				l = next
			}
		}
		r := m.oprev(base)
		if m.right(m.destAt(r), base) {
			for inCircle(m.destAt(base), m.orgAt(base), m.destAt(r), m.destAt(m.oprev(r))) {
				next := m.oprev(r)
				m.remove(r)
				r = next
			}
		}
		okL, okR := m.right(m.destAt(l), base), m.right(m.destAt(r), base)
		switch {
		case !okL && !okR:
			return
		case !okL || okR && inCircle(m.destAt(l), m.orgAt(l), m.orgAt(r), m.destAt(r)):
			base = m.connect(r, base^1)
		default:
			base = m.connect(base^1, l^1)
		}
	}
}
