package svgin

import (
	"fmt"

	"brushfall/internal/artwork"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// shape draws a basic shape or a path: its fill and its stroke.
func (r *reader) shape(n *node, s state) error {
	if !s.style.visible {
		return nil
	}
	if s.style.markers && n.name != "rect" && n.name != "circle" && n.name != "ellipse" {
		r.warn("marker", n, "markers are not drawn: turn the stroke into a path in the drawing program")
	}
	fill, fills := r.solid(s.style.fill, n, s.style)
	fill.a *= s.style.fillOpacity
	stroke, strokes := r.solid(s.style.stroke, n, s.style)
	stroke.a *= s.style.strokeOpacity
	width := s.frame.px(s.style.width, diagonal)
	fills, strokes = fills && fill.a > 0, strokes && stroke.a > 0
	if strokes && width == 0 && !fills {
		r.warn("zero-stroke", n, "the stroke has no width and is not drawn: give it a width")
	}
	strokes = strokes && width > 0
	if !fills && !strokes {
		return nil
	}
	o, err := r.flattened(n, s)
	if err != nil || len(o.page) == 0 {
		return err
	}
	before, filled := len(r.out), false
	drawFill := func() {
		if fills {
			filled = r.fill(n, s, o, fill)
		}
	}
	if !s.style.strokeFirst {
		drawFill()
	}
	if strokes {
		if err := r.stroke(n, s, o, width, stroke, filled || s.style.strokeFirst && fills); err != nil {
			return err
		}
	}
	if s.style.strokeFirst {
		drawFill()
	}
	if len(r.out) == before {
		r.warn("no-area", n, "the outline encloses no area, so nothing is drawn: close it, or give it a stroke")
		return nil
	}
	if fills && fill.a < 1 || strokes && stroke.a < 1 {
		r.warn("opacity", n, "stones are not see-through: the opacity is read as solid; set it to 100 %, or remove the element")
	}
	return nil
}

// outlined is a flattened outline, in the user's units and placed on the page.
type outlined struct{ user, page []subpath }

// flattened flattens the outline of an element finely enough for the tolerance
// in mm. It is empty for one that is out of reach, with a warning.
func (r *reader) flattened(n *node, s state) (outlined, error) {
	subs, err := r.polylines(n, s, r.opt.Tolerance/s.m.MaxScale())
	if err != nil {
		return outlined{}, err
	}
	page, ok := mapped(subs, s.m, farthest)
	if !ok {
		r.warnFar(n)
		return outlined{}, nil
	}
	return outlined{subs, page}, nil
}

// polylines flattens the outline of an element in its own units, and counts the points.
func (r *reader) polylines(n *node, s state, tol float64) ([]subpath, error) {
	subs, ok := flatten(r.outline(n, s.frame), tol, r.opt.MaxPoints-r.points)
	if !ok {
		return nil, fault.New("svg-too-many-points", n.where(), "the outlines come to more than %d points: simplify the paths in the drawing program", r.opt.MaxPoints)
	}
	for _, sub := range subs {
		r.points += len(sub.points)
	}
	return subs, nil
}

func (r *reader) warnFar(n *node) {
	r.warn("too-far", n, "the outline reaches more than 1 km from the page and is not drawn: mend its coordinates")
}

// area gives the area of an element's outline by a fill rule, in mm.
func (r *reader) area(n *node, s state, rule geom.FillRule) (geom.Shape, error) {
	o, err := r.flattened(n, s)
	return geom.Fill(rings(o.page), rule), err
}

// fill draws a fill; false if it has no area.
func (r *reader) fill(n *node, s state, o outlined, c rgba) bool {
	region := r.region(n, s, c)
	region.Shape = geom.Fill(rings(o.page), s.style.fillRule)
	if region.Shape.Empty() {
		return false
	}
	r.add(region, n, false)
	return true
}

// region makes a region without its id and its area.
func (r *reader) region(n *node, s state, c rgba) artwork.Region {
	return artwork.Region{
		ID: n.id, Element: n.id, Classes: s.classes, Groups: s.groups, Paint: c.String(), Where: n.where(),
	}
}

// add names a region and lists it. second says that the element has another
// region, its fill, which gets the plain name.
func (r *reader) add(region artwork.Region, n *node, second bool) {
	if region.ID == "" {
		region.ID = fmt.Sprintf("%s-%d", n.name, n.ordinal)
	}
	if second {
		region.ID += "-stroke"
	}
	region.ID = r.unique(region.ID, region.ID != n.id)
	r.out = append(r.out, region)
}

// unique gives an id that no region has; a made-up one is no element's id either.
func (r *reader) unique(want string, made bool) string {
	id := want
	for {
		_, theirs := r.doc.ids[id]
		if !r.taken[id] && !(theirs && (made || id != want)) {
			r.taken[id] = true
			return id
		}
		r.numbered[want] = max(r.numbered[want]+1, 2)
		id = fmt.Sprintf("%s-%d", want, r.numbered[want])
	}
}
