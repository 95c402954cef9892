package layout

import (
	"sync"

	"brushfall/internal/geom"
)

// made keeps what was made of a region's outline, by a digest of all that it was made
// of: what a region that is laid again needs once more, for finding it takes longer
// than setting the stones. What is kept is shared and must not be changed. A nil made
// keeps nothing.
type made struct {
	mu        sync.Mutex
	last, now map[digest]any
}

// again gives an empty made that takes over what the region needs of this one.
func (m *made) again() *made {
	out := &made{now: map[digest]any{}}
	if m != nil {
		out.last = m.now
	}
	return out
}

// recalled gives what of is the digest of, made by the function if it is not kept yet.
func recalled[T any](m *made, of *digester, f func() T) T {
	key := of.sum()
	m.mu.Lock()
	v, known := m.now[key].(T)
	if !known {
		v, known = m.last[key].(T)
	}
	m.mu.Unlock()
	if !known {
		v = f()
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	m.now[key] = v
	return v
}

// What things are made by, so that those of one shape are told apart.
const (
	byBoundary = iota
	byInset
	bySubtract
	byCentreLine
	bySymmetry
)

func newMaking(by int, shapes ...geom.Shape) *digester {
	d := newDigester()
	d.count(by)
	for _, s := range shapes {
		d.rings(s)
	}
	return d
}

// boundary is geom.NewBoundary.
func (m *made) boundary(s geom.Shape) *geom.Boundary {
	if m == nil {
		return geom.NewBoundary(s)
	}
	return recalled(m, newMaking(byBoundary, s), func() *geom.Boundary { return geom.NewBoundary(s) })
}

// inset is geom.Inset.
func (m *made) inset(s geom.Shape, d, tol float64) geom.Shape {
	if m == nil {
		return geom.Inset(s, d, tol)
	}
	of := newMaking(byInset, s)
	of.lengths(d, tol)
	return recalled(m, of, func() geom.Shape { return geom.Inset(s, d, tol) })
}

// subtract is geom.Subtract.
func (m *made) subtract(a, b geom.Shape) geom.Shape {
	if m == nil {
		return geom.Subtract(a, b)
	}
	return recalled(m, newMaking(bySubtract, a, b), func() geom.Shape { return geom.Subtract(a, b) })
}

// centreLine is geom.CentreLine.
func (m *made) centreLine(s geom.Shape, opt geom.CentreOptions) geom.Skeleton {
	if m == nil {
		return geom.CentreLine(s, opt)
	}
	of := newMaking(byCentreLine, s)
	of.lengths(opt.Step, opt.Prune, opt.Merge, opt.ExtendEnds)
	return recalled(m, of, func() geom.Skeleton { return geom.CentreLine(s, opt) })
}

// symmetries is symmetriesOf, for the boundary of the shape.
func (m *made) symmetries(s geom.Shape, b *geom.Boundary) []*symmetry {
	if m == nil {
		return symmetriesOf(s, b)
	}
	return recalled(m, newMaking(bySymmetry, s), func() []*symmetry { return symmetriesOf(s, b) })
}
