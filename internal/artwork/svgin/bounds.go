package svgin

import (
	"strings"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// bounds gives the bounding box of the outlines of an element, without strokes
// and clips, in the units that s.m maps to (SVG 1.1 §7.11). s is the state inside
// the element.
func (r *reader) bounds(n *node, s state) (geom.Box, error) {
	b := geom.EmptyBox()
	if r.tests++; r.tests > r.opt.MaxElements {
		return b, fault.New("svg-too-many-elements", n.where(), "measuring the clipped groups takes more than %d elements: ungroup the drawing", r.opt.MaxElements)
	}
	if s.depth > r.opt.MaxDepth {
		return b, fault.New("svg-too-deep", n.where(), "more than %d elements lie inside each other: ungroup the drawing and save it again", r.opt.MaxDepth)
	}
	switch {
	case shapeNames[n.name]:
		k := s.m.MaxScale()
		if k == 0 {
			return b, nil
		}
		subs, err := r.polylines(n, s, boundsTolerance/k)
		if err != nil {
			return b, err
		}
		for _, sub := range subs {
			for _, p := range sub.points {
				b = b.Extend(s.m.Apply(p))
			}
		}
		return b, nil
	case n.name == "use":
		return r.boundsOfUse(n, s)
	case n.name == "svg" || n.name == "symbol":
		port, ok := r.port(n, s.user, s)
		if !ok {
			return b, nil
		}
		s = r.innerState(n, port, s)
	case n.name != "g" && n.name != "a" && n.name != "switch":
		return b, nil
	}
	s.user = nil
	for _, child := range n.children {
		box, err := r.boundsOfChild(child, s)
		if err != nil {
			return b, err
		}
		b = b.Join(box)
	}
	return b, nil
}

// boundsTolerance is how far, in the units it is measured in, a bounding box may be off.
const boundsTolerance = 0.001

func (r *reader) boundsOfChild(n *node, s state) (geom.Box, error) {
	if silent[n.name] && !(n.name == "symbol" && s.user != nil) || strings.EqualFold(n.props["display"], "none") || !r.conditions(n) {
		return geom.EmptyBox(), nil
	}
	in, ok := r.enter(n, s)
	if !ok {
		return geom.EmptyBox(), nil
	}
	return r.bounds(n, in)
}

func (r *reader) boundsOfUse(n *node, s state) (geom.Box, error) {
	target := r.referenced(n)
	if target == nil {
		return geom.EmptyBox(), nil
	}
	s.m = s.m.Mul(geom.Translate(r.number(n, "x", s.frame, across), r.number(n, "y", s.frame, down)))
	s.user = n
	return r.boundsOfChild(target, s)
}
