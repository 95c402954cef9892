package svgin

import (
	"fmt"
	"slices"
	"strings"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// silent lists elements that draw nothing by themselves.
var silent = map[string]bool{
	"defs": true, "title": true, "desc": true, "metadata": true, "style": true, "script": true,
	"symbol": true, "clipPath": true, "mask": true, "linearGradient": true, "radialGradient": true,
	"pattern": true, "filter": true, "marker": true, "view": true, "cursor": true, "font": true,
	"font-face": true, "color-profile": true, "stop": true, "solidColor": true,
}

// unreadable maps elements that cannot become stones to what to do about them.
var unreadable = map[string][2]string{
	"text":             {"text", "text is not drawn: turn it into paths in the drawing program"},
	"image":            {"picture", "an embedded picture is not drawn: trace it into paths, or read it as a picture"},
	"foreignObject":    {"foreign-object", "foreign content is not drawn: turn it into paths in the drawing program"},
	"flowRoot":         {"text", "flowed text is not drawn: turn it into paths in the drawing program"},
	"video":            {"picture", "a video is not drawn: remove it"},
	"audio":            {"picture", "a sound is not drawn: remove it"},
	"animate":          {"animation", "the animation is not played: the drawing is read as it stands"},
	"animateColor":     {"animation", "the animation is not played: the drawing is read as it stands"},
	"animateMotion":    {"animation", "the animation is not played: the drawing is read as it stands"},
	"animateTransform": {"animation", "the animation is not played: the drawing is read as it stands"},
	"set":              {"animation", "the animation is not played: the drawing is read as it stands"},
}

// element draws one element and what it holds.
func (r *reader) element(n *node, s state) error {
	if err := r.count(n, s); err != nil {
		return err
	}
	if silent[n.name] && !(n.name == "symbol" && s.user != nil) {
		return nil
	}
	if strings.EqualFold(n.props["display"], "none") || !r.conditions(n) {
		return nil
	}
	child, ok := r.enter(n, s)
	if !ok || child.alpha == 0 {
		return nil
	}
	from := len(r.out)
	if err := r.draw(n, child); err != nil {
		return err
	}
	if len(r.out) == from {
		return nil
	}
	if err := r.clip(n, child, from); err != nil {
		return err
	}
	r.effects(n, len(r.out) > from)
	return nil
}

// count holds the limits on what is drawn.
func (r *reader) count(n *node, s state) error {
	r.elements++
	if r.elements > r.opt.MaxElements {
		return fault.New("svg-too-many-elements", n.where(), "the drawing comes to more than %d elements: simplify it, or take it apart", r.opt.MaxElements)
	}
	if s.depth > r.opt.MaxDepth {
		return fault.New("svg-too-deep", n.where(), "more than %d elements lie inside each other: ungroup the drawing and save it again", r.opt.MaxDepth)
	}
	return nil
}

// enter gives the state inside an element; false if its transform collapses it.
func (r *reader) enter(n *node, s state) (state, bool) {
	st, bad := s.style.derive(n, r.root)
	for _, name := range bad {
		r.warn("css", n, fmt.Sprintf("%s: %s is not understood and has no effect: set it again in the drawing program", name, short(n.props[name])))
	}
	s.style = st
	s.frame.font = st.font
	if v, ok := n.props["opacity"]; ok {
		opacity := 1.0
		setShare(&opacity, v)
		s.alpha *= opacity
	}
	m, ok := r.transform(n)
	s.m = s.m.Mul(m)
	if len(n.classes) > 0 {
		s.classes = slices.Concat(s.classes, n.classes)
	}
	s.depth++
	return s, ok && s.m.Det() != 0
}

// transform reads the transform of an element.
func (r *reader) transform(n *node) (geom.Affine, bool) {
	text, ok := n.props["transform"]
	if !ok || text == "" {
		return geom.Identity(), true
	}
	m, good := parseTransform(text)
	if !good {
		r.warn("transform", n, fmt.Sprintf("the transform %q is not understood and has no effect: apply it in the drawing program", short(text)))
	}
	if _, ok := n.props["transform-origin"]; ok {
		r.warn("transform", n, "transform-origin is not read: apply the transform in the drawing program")
	}
	return m, true
}

// effects warns of what is left out of an element that is drawn.
func (r *reader) effects(n *node, drawn bool) {
	if !drawn {
		return
	}
	if v, ok := n.props["opacity"]; ok {
		opacity := 1.0
		if setShare(&opacity, v); opacity < 1 {
			r.warn("opacity", n, "stones are not see-through: the opacity is read as solid; set it to 100 %, or remove the element")
		}
	}
	if used(n.props["mask"]) {
		r.warn("mask", n, "the mask has no effect: cut the shape to what is seen in the drawing program")
	}
	if used(n.props["filter"]) {
		r.warn("filter", n, "the filter has no effect: remove it, or draw what it shows as paths")
	}
	if v := n.props["mix-blend-mode"]; used(v) && v != "normal" {
		r.warn("filter", n, "the blend mode has no effect: colour the shapes as they are seen")
	}
}

func used(value string) bool { return value != "" && value != "none" }

// draw draws the content of an element by its kind.
func (r *reader) draw(n *node, s state) error {
	user := s.user
	s.user = nil
	switch {
	case shapeNames[n.name]:
		return r.shape(n, s)
	case n.name == "g" || n.name == "a":
		return r.children(n, s.inside(n))
	case n.name == "svg" || n.name == "symbol":
		return r.viewport(n, user, s.inside(n))
	case n.name == "use":
		return r.use(n, s.inside(n))
	case n.name == "switch":
		return r.choose(n, s.inside(n))
	}
	if w, ok := unreadable[n.name]; ok {
		if ref := n.target(); n.name == "image" && ref != "" && !strings.HasPrefix(ref, "data:") {
			w = [2]string{"external-reference", "the picture lies outside the file and is not fetched: trace it into paths, or read it as a picture"}
		}
		if s.style.visible && (w[0] != "text" || n.worded) {
			r.warn(w[0], n, w[1])
		}
		return nil
	}
	r.warn("unknown-element", n, "this element is not known and not drawn: turn it into paths in the drawing program")
	return nil
}

// inside gives the state for the children of a group.
func (s state) inside(n *node) state {
	if n.id != "" {
		s.groups = append(slices.Clip(s.groups), n.id)
	}
	return s
}

func (r *reader) children(n *node, s state) error {
	for _, child := range n.children {
		if err := r.element(child, s); err != nil {
			return err
		}
	}
	return nil
}

// choose draws the first child of a switch that the conditions allow.
func (r *reader) choose(n *node, s state) error {
	for _, child := range n.children {
		if !silent[child.name] && r.conditions(child) {
			return r.element(child, s)
		}
	}
	return nil
}

// conditions tests requiredExtensions and systemLanguage (SVG 2 §5.10).
func (r *reader) conditions(n *node) bool {
	if v, ok := n.attr("requiredExtensions"); ok && strings.TrimSpace(v) != "" {
		return false
	}
	v, ok := n.attr("systemLanguage")
	if !ok {
		return true
	}
	for _, tag := range strings.Split(v, ",") {
		tag = strings.ToLower(strings.TrimSpace(tag))
		want := strings.ToLower(r.opt.Language)
		if tag != "" && (tag == want || strings.HasPrefix(tag, want+"-") || strings.HasPrefix(want, tag+"-")) {
			return true
		}
	}
	return false
}
