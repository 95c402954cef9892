package svgin

import (
	"fmt"
	"math"
	"strings"

	"brushfall/internal/artwork"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// clip cuts the regions from the index on by the clip-path of an element.
func (r *reader) clip(n *node, s state, from int) error {
	shape, ok, err := r.clipOf(n, s)
	if ok {
		r.cut(from, shape)
	}
	return err
}

// clipOf gives the area that the clip-path of an element leaves, in mm; false
// if it has none.
func (r *reader) clipOf(n *node, s state) (geom.Shape, bool, error) {
	value := n.props["clip-path"]
	if !used(value) {
		return geom.Shape{}, false, nil
	}
	url, _, ok := parseURL(value)
	if !ok {
		r.warn("clip-path", n, fmt.Sprintf("clip-path: %s is not understood and has no effect: cut the shape in the drawing program", short(value)))
		return geom.Shape{}, false, nil
	}
	id, local := strings.CutPrefix(url, "#")
	path := r.doc.ids[id]
	if !local || path == nil || path.name != "clipPath" {
		r.warn("reference-missing", n, fmt.Sprintf("there is no clip path %q, the shape is not cut: put it back in the drawing program", url))
		return geom.Shape{}, false, nil
	}
	shape, err := r.clipPath(path, n, s)
	return shape, true, err
}

// clipPath gives the area of a clipPath element as the element n uses it.
func (r *reader) clipPath(path, n *node, s state) (geom.Shape, error) {
	if r.active[path] {
		return geom.Shape{}, fault.New("svg-clip-cycle", n.where(), "the clip path leads back to itself through %s: take it out in the drawing program", path.where())
	}
	r.active[path] = true
	defer delete(r.active, path)
	m, _ := r.transform(path)
	in := s
	in.m = s.m.Mul(m)
	if units, _ := path.attr("clipPathUnits"); units == "objectBoundingBox" {
		own := s
		own.m = geom.Identity()
		b, err := r.bounds(n, own)
		if err != nil {
			return geom.Shape{}, err
		}
		if !(b.Width() > 0 && b.Height() > 0) {
			return geom.Shape{}, nil
		}
		in.m = in.m.Mul(geom.Affine{A: b.Width(), D: b.Height(), E: b.MinX, F: b.MinY})
		in.frame = withSize(s.frame, 1, 1)
	}
	in.style = r.ownStyle(path)
	in.depth++
	var parts []geom.Shape
	for _, child := range path.children {
		part, err := r.clipPart(child, in, false)
		if err != nil {
			return geom.Shape{}, err
		}
		parts = append(parts, part)
	}
	shape := geom.Union(parts...)
	own, ok, err := r.clipOf(path, in)
	if ok {
		shape = geom.Intersect(shape, own)
	}
	return shape, err
}

// ownStyle gives the style of an element in its own place in the file, which is
// what the content of a clip path inherits from.
func (r *reader) ownStyle(n *node) style {
	if s, ok := r.styles[n]; ok {
		return s
	}
	parent := initial()
	if n.parent != nil {
		parent = r.ownStyle(n.parent)
	}
	s, _ := parent.derive(n, r.root)
	r.styles[n] = s
	return s
}

// clipPart gives the area of one child of a clip path: a shape, or a use of one.
func (r *reader) clipPart(n *node, s state, viaUse bool) (geom.Shape, error) {
	if err := r.count(n, s); err != nil {
		return geom.Shape{}, err
	}
	if strings.EqualFold(n.props["display"], "none") || !r.conditions(n) {
		return geom.Shape{}, nil
	}
	in, ok := r.enter(n, s)
	if !ok {
		return geom.Shape{}, nil
	}
	var shape geom.Shape
	var err error
	switch {
	case shapeNames[n.name]:
		if in.style.visible {
			shape, err = r.area(n, in, in.style.clipRule)
		}
	case n.name == "use" && !viaUse:
		shape, err = r.clipUse(n, in)
	case n.name == "text":
		r.warn("text", n, "text in a clip path is not read: turn it into paths in the drawing program")
	}
	if err != nil || shape.Empty() {
		return shape, err
	}
	own, ok, err := r.clipOf(n, in)
	if ok {
		shape = geom.Intersect(shape, own)
	}
	return shape, err
}

func (r *reader) clipUse(n *node, s state) (geom.Shape, error) {
	target := r.referenced(n)
	if target == nil {
		return geom.Shape{}, nil
	}
	if r.uses++; r.uses > r.opt.MaxUses {
		return geom.Shape{}, fault.New("svg-too-many-uses", n.where(), "the drawing expands more than %d use elements: turn clones into plain shapes, or take the drawing apart", r.opt.MaxUses)
	}
	s.m = s.m.Mul(geom.Translate(r.number(n, "x", s.frame, across), r.number(n, "y", s.frame, down)))
	return r.clipPart(target, s, true)
}

// cut keeps of the regions from the index on what lies in the shape.
func (r *reader) cut(from int, shape geom.Shape) {
	kept := r.out[:from]
	for _, region := range r.out[from:] {
		if region = cutRegion(region, shape); !region.Shape.Empty() || region.Open() {
			kept = append(kept, region)
		}
	}
	r.out = kept
}

// cutRegion gives the part of a region in the shape; the whole, unchanged, if a
// rectangle holds it.
func cutRegion(region artwork.Region, shape geom.Shape) artwork.Region {
	outer := shape.Bounds()
	b := region.Bounds()
	if isRectangle(shape) && b.MinX >= outer.MinX && b.MinY >= outer.MinY && b.MaxX <= outer.MaxX && b.MaxY <= outer.MaxY {
		return region
	}
	if !b.Overlaps(outer) {
		region.Shape, region.Lines = geom.Shape{}, nil
		return region
	}
	if region.Open() {
		region.Lines = artwork.CutLines(region.Lines, shape, true)
	} else {
		region.Shape = geom.Intersect(region.Shape, shape)
	}
	return region
}

// isRectangle says whether a shape is one axis-parallel rectangle.
func isRectangle(s geom.Shape) bool {
	if len(s.Rings) != 1 || len(s.Rings[0]) != 4 {
		return false
	}
	for i, p := range s.Rings[0] {
		q := s.Rings[0][(i+1)%4]
		if p.X != q.X && p.Y != q.Y {
			return false
		}
	}
	return true
}

// cutAtPage takes away what lies off the page, and says so unless it is less
// than the eye sees.
func (r *reader) cutAtPage(w, h float64) {
	page := rectangle(box{0, 0, w, h}, geom.Identity())
	slack := r.opt.Tolerance * unseenTolerances
	kept := r.out[:0]
	for _, region := range r.out {
		over := region.Bounds()
		overhang := max(-over.MinX, -over.MinY, over.MaxX-w, over.MaxY-h)
		cut := cutRegion(region, page)
		gone := cut.Shape.Empty() && !cut.Open()
		switch {
		case gone:
			r.note(note{"off-page", region.Where, "the element lies off the page and is not drawn: make the page fit the drawing if it is wanted"})
		case overhang > slack && !math.IsInf(overhang, 0):
			r.note(note{"cut-at-page", region.Where, "the element is cut at the edge of the page: make the page fit the drawing if the rest is wanted"})
		}
		if !gone {
			kept = append(kept, cut)
		}
	}
	r.out = kept
}

// unseenTolerances is how many tolerances may be cut at the page's edge unsaid.
const unseenTolerances = 10
