package svgin

import (
	"fmt"
	"strings"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// use draws what a use element refers to, in its place (SVG 1.1 §5.6).
func (r *reader) use(n *node, s state) error {
	target := r.referenced(n)
	if target == nil {
		return nil
	}
	if r.active[target] {
		return fault.New("svg-use-cycle", n.where(), "the use element leads back to itself through %s: take it out in the drawing program", target.where())
	}
	if r.uses++; r.uses > r.opt.MaxUses {
		return fault.New("svg-too-many-uses", n.where(), "the drawing expands more than %d use elements: turn clones into plain shapes, or take the drawing apart", r.opt.MaxUses)
	}
	r.active[target] = true
	defer delete(r.active, target)
	s.m = s.m.Mul(geom.Translate(r.number(n, "x", s.frame, across), r.number(n, "y", s.frame, down)))
	s.user = n
	return r.element(target, s)
}

// referenced finds the target of a use element, or warns and gives nil.
func (r *reader) referenced(n *node) *node {
	ref := n.target()
	id, local := strings.CutPrefix(ref, "#")
	switch {
	case ref == "":
		return nil
	case !local:
		r.warn("external-reference", n, fmt.Sprintf("%q lies outside the file and is not fetched: save the drawing with it inside", short(ref)))
		return nil
	}
	target := r.doc.ids[id]
	if target == nil {
		r.warn("reference-missing", n, fmt.Sprintf("there is no element with the id %q: put it back in the drawing program", id))
	}
	return target
}

// viewport draws an svg or a symbol element: its size, the fit of its viewBox,
// and the cut at its border. user is the use element it stands in for, or nil.
func (r *reader) viewport(n, user *node, s state) error {
	port, ok := r.port(n, user, s)
	if !ok {
		return nil
	}
	from := len(r.out)
	inner := r.innerState(n, port, s)
	if err := r.children(n, inner); err != nil {
		return err
	}
	overflow := n.props["overflow"]
	if n.parent != nil && overflow != "visible" && overflow != "auto" {
		r.cut(from, rectangle(port, s.m))
	}
	return nil
}

// innerState gives the state for the children of an svg or symbol element whose
// viewport is port.
func (r *reader) innerState(n *node, port box, s state) state {
	outer := s.m
	s.m, s.frame = outer.Mul(geom.Translate(port.x, port.y)), withSize(s.frame, port.w, port.h)
	text, ok := n.attr("viewBox")
	if !ok {
		return s
	}
	view, good := parseViewBox(text)
	if !good {
		r.warn("attribute", n, fmt.Sprintf("viewBox=%q is not understood and has no effect: set it again in the drawing program", short(text)))
		return s
	}
	aspect, _ := n.attr("preserveAspectRatio")
	s.m, s.frame = outer.Mul(fitView(view, port, aspect)), withSize(s.frame, view.w, view.h)
	return s
}

func withSize(f frame, w, h float64) frame {
	f.w, f.h = w, h
	return f
}

// port gives the rectangle of a viewport in the units around it; false if it has
// no area and so draws nothing.
func (r *reader) port(n, user *node, s state) (box, bool) {
	if n.parent == nil && user == nil {
		return box{0, 0, s.frame.w, s.frame.h}, true
	}
	var b box
	if n.name == "svg" {
		b.x, b.y = r.number(n, "x", s.frame, across), r.number(n, "y", s.frame, down)
	}
	side := func(name string, of side, whole float64) float64 {
		if user != nil {
			if v, ok := r.declared(user, name, s.frame, of); ok {
				return v
			}
		}
		if v, ok := r.declared(n, name, s.frame, of); ok {
			return v
		}
		return whole
	}
	b.w, b.h = side("width", across, s.frame.w), side("height", down, s.frame.h)
	return b, b.w > 0 && b.h > 0
}

// rectangle gives a box under a map as a shape.
func rectangle(b box, m geom.Affine) geom.Shape {
	ring := geom.Ring{{X: b.x, Y: b.y}, {X: b.x + b.w, Y: b.y}, {X: b.x + b.w, Y: b.y + b.h}, {X: b.x, Y: b.y + b.h}}
	return geom.Shape{Rings: []geom.Ring{ring}}.Transform(m)
}
