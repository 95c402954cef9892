package svgin

import (
	"strings"

	"brushfall/internal/geom"
)

// paintKind says what a fill or a stroke is painted with.
type paintKind int

const (
	paintNone paintKind = iota
	paintColour
	paintCurrent // currentColor
	paintServer  // url(…), with a fallback
)

// paint is the value of fill or stroke.
type paint struct {
	kind     paintKind
	colour   rgba
	url      string
	fallback *paint
}

// style holds the inherited properties with computed values.
type style struct {
	fill, stroke               paint
	fillOpacity, strokeOpacity float64
	color                      rgba
	fillRule, clipRule         geom.FillRule
	width, dashOffset          length
	dashes                     []length
	cap                        geom.Cap
	join                       geom.Join
	miterLimit                 float64
	font                       float64 // font size in px
	visible                    bool
	strokeFirst                bool // paint-order
	markers                    bool
}

// initial gives the initial values of SVG 1.1.
func initial() style {
	black := rgba{a: 1}
	return style{
		fill: paint{kind: paintColour, colour: black}, color: black,
		fillOpacity: 1, strokeOpacity: 1, width: length{1, px}, miterLimit: 4,
		font: defaultFont, visible: true,
	}
}

// inherited lists the properties of style in the order they are computed: the
// font size first, since em depends on it.
var inherited = []string{
	"font-size", "color", "fill", "fill-opacity", "fill-rule", "clip-rule",
	"stroke", "stroke-opacity", "stroke-width", "stroke-linecap", "stroke-linejoin",
	"stroke-miterlimit", "stroke-dasharray", "stroke-dashoffset", "visibility",
	"paint-order", "marker-start", "marker-mid", "marker-end",
}

// derive gives the style of an element whose parent has the style s, and the
// properties whose values mean nothing; those count as not declared.
func (s style) derive(n *node, root float64) (style, []string) {
	child := s
	child.markers = false
	var bad []string
	for _, name := range inherited {
		value, ok := n.props[name]
		if !ok || value == "" {
			child.markers = child.markers || strings.HasPrefix(name, "marker") && s.markers
			continue
		}
		switch strings.ToLower(value) {
		case "inherit", "unset":
			child.markers = child.markers || strings.HasPrefix(name, "marker") && s.markers
			continue
		case "initial":
			child.reset(name)
			continue
		}
		if !child.set(name, value, s, root) {
			bad = append(bad, name)
		}
	}
	return child, bad
}

// reset puts one property back to its initial value.
func (s *style) reset(name string) {
	first := initial()
	switch name {
	case "font-size":
		s.font = first.font
	case "color":
		s.color = first.color
	case "fill":
		s.fill = first.fill
	case "stroke":
		s.stroke = first.stroke
	case "fill-opacity":
		s.fillOpacity = 1
	case "stroke-opacity":
		s.strokeOpacity = 1
	case "fill-rule":
		s.fillRule = first.fillRule
	case "clip-rule":
		s.clipRule = first.clipRule
	case "stroke-width":
		s.width = first.width
	case "stroke-dasharray":
		s.dashes = nil
	case "stroke-dashoffset":
		s.dashOffset = length{}
	case "stroke-linecap":
		s.cap = first.cap
	case "stroke-linejoin":
		s.join = first.join
	case "stroke-miterlimit":
		s.miterLimit = first.miterLimit
	case "visibility":
		s.visible = true
	case "paint-order":
		s.strokeFirst = false
	}
}

// set computes one property; false if the value is none of the property's.
func (s *style) set(name, value string, parent style, root float64) bool {
	word := strings.ToLower(value)
	switch name {
	case "font-size":
		return s.setFont(word, parent.font, root)
	case "color":
		return s.setColor(word)
	case "fill":
		return setPaint(&s.fill, value)
	case "stroke":
		return setPaint(&s.stroke, value)
	case "fill-opacity":
		return setShare(&s.fillOpacity, word)
	case "stroke-opacity":
		return setShare(&s.strokeOpacity, word)
	case "fill-rule":
		return setRule(&s.fillRule, word)
	case "clip-rule":
		return setRule(&s.clipRule, word)
	case "visibility":
		s.visible = word == "visible"
		return s.visible || word == "hidden" || word == "collapse"
	case "paint-order":
		s.strokeFirst = strokeBeforeFill(word)
		return true
	case "marker-start", "marker-mid", "marker-end":
		s.markers = s.markers || word != "none"
		return true
	}
	return s.setStroke(name, word, root)
}

func (s *style) setColor(word string) bool {
	if word == "currentcolor" {
		return true // inherited
	}
	c, ok := parseColour(word)
	if ok {
		s.color = c
	}
	return ok
}

func (s *style) setStroke(name, word string, root float64) bool {
	switch name {
	case "stroke-width":
		l, ok := s.fixedLength(word, root)
		if ok = ok && l.v >= 0; ok {
			s.width = l
		}
		return ok
	case "stroke-dashoffset":
		l, ok := s.fixedLength(word, root)
		if ok {
			s.dashOffset = l
		}
		return ok
	case "stroke-dasharray":
		return s.setDashes(word, root)
	case "stroke-linecap":
		caps := map[string]geom.Cap{"butt": geom.ButtCap, "round": geom.RoundCap, "square": geom.SquareCap}
		c, ok := caps[word]
		if ok {
			s.cap = c
		}
		return ok
	case "stroke-linejoin":
		joins := map[string]geom.Join{"miter": geom.MiterJoin, "miter-clip": geom.MiterJoin, "arcs": geom.MiterJoin, "round": geom.RoundJoin, "bevel": geom.BevelJoin}
		j, ok := joins[word]
		if ok {
			s.join = j
		}
		return ok
	case "stroke-miterlimit":
		l, ok := parseLength(word)
		if ok = ok && l.u == px && l.v >= 1; ok {
			s.miterLimit = l.v
		}
		return ok
	}
	return false
}

// fixedLength reads a length and turns font-relative units into px, which is
// what descendants inherit.
func (s *style) fixedLength(word string, root float64) (length, bool) {
	l, ok := parseLength(word)
	return s.fix(l, root), ok
}

func (s *style) fix(l length, root float64) length {
	if l.u == percent {
		return l
	}
	return length{frame{font: s.font, root: root}.px(l, diagonal), px}
}

func (s *style) setDashes(word string, root float64) bool {
	if word == "none" {
		s.dashes = nil
		return true
	}
	c := scanner{s: word}
	c.space()
	var list []length
	for !c.done() {
		l, ok := c.length()
		if !ok || l.v < 0 || len(list) == maxDashes {
			return false
		}
		list = append(list, s.fix(l, root))
		c.comma()
	}
	s.dashes = list
	return len(list) > 0
}

// maxDashes bounds a dash pattern; drawing programs offer six numbers.
const maxDashes = 64

// setFont computes the font size; the words are those of CSS 2.1 §15.7.
func (s *style) setFont(word string, parent, root float64) bool {
	words := map[string]float64{"xx-small": 9.0 / 16, "x-small": 10.0 / 16, "small": 13.0 / 16, "medium": 1, "large": 18.0 / 16, "x-large": 24.0 / 16, "xx-large": 2}
	if k, ok := words[word]; ok {
		s.font = defaultFont * k
		return true
	}
	switch word {
	case "larger":
		s.font = parent * 1.2
		return true
	case "smaller":
		s.font = parent / 1.2
		return true
	}
	l, ok := parseLength(word)
	if !ok || l.v < 0 {
		return false
	}
	if l.u == percent {
		l = length{l.v / 100, em}
	}
	s.font = frame{font: parent, root: root}.px(l, down)
	return true
}

func setShare(field *float64, word string) bool {
	l, ok := parseLength(word)
	if !ok || l.u != px && l.u != percent {
		return false
	}
	if l.u == percent {
		l.v /= 100
	}
	*field = min(1, max(0, l.v))
	return true
}

func setRule(field *geom.FillRule, word string) bool {
	switch word {
	case "nonzero":
		*field = geom.NonZero
	case "evenodd":
		*field = geom.EvenOdd
	default:
		return false
	}
	return true
}

// strokeBeforeFill says whether a paint-order puts the stroke under the fill.
func strokeBeforeFill(word string) bool {
	for _, part := range strings.Fields(word) {
		if part == "stroke" {
			return true
		}
		if part == "fill" {
			return false
		}
	}
	return false
}

// setPaint reads the value of fill or stroke (SVG 2 §13.2).
func setPaint(field *paint, value string) bool {
	p, ok := parsePaint(value)
	if ok {
		*field = p
	}
	return ok
}

func parsePaint(value string) (paint, bool) {
	word := strings.ToLower(strings.TrimSpace(value))
	switch word {
	case "none", "transparent":
		return paint{}, true
	case "currentcolor":
		return paint{kind: paintCurrent}, true
	}
	if strings.HasPrefix(word, "url(") {
		url, rest, ok := parseURL(value)
		if !ok {
			return paint{}, false
		}
		p := paint{kind: paintServer, url: url}
		if rest != "" && !strings.HasPrefix(strings.ToLower(rest), "url(") {
			if f, ok := parsePaint(rest); ok {
				p.fallback = &f
			}
		}
		return p, true
	}
	if colour, _, found := strings.Cut(word, " icc-color("); found {
		word = colour
	}
	c, ok := parseColour(word)
	return paint{kind: paintColour, colour: c}, ok
}

// parseURL reads url(…), with or without quotes, and gives what follows it.
func parseURL(value string) (url, rest string, ok bool) {
	value = strings.TrimSpace(value)
	if len(value) < 4 || !strings.EqualFold(value[:4], "url(") {
		return "", "", false
	}
	inside, rest, ok := strings.Cut(value[4:], ")")
	return strings.Trim(strings.TrimSpace(inside), `"'`), strings.TrimSpace(rest), ok
}
