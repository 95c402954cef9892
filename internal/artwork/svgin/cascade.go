package svgin

import (
	"cmp"
	"slices"
	"strings"

	"golang.org/x/net/html"

	"brushfall/internal/fault"
)

// properties are the CSS properties that the reader acts on or warns of. Those
// marked true may be written as attributes too (SVG 1.1 §6.1, SVG 2 §6.6).
var properties = map[string]bool{
	"clip-path": true, "clip-rule": true, "color": true, "display": true,
	"fill": true, "fill-opacity": true, "fill-rule": true, "filter": true, "font-size": true,
	"marker-end": true, "marker-mid": true, "marker-start": true, "mask": true,
	"opacity": true, "overflow": true, "paint-order": true,
	"stop-color": true, "stop-opacity": true,
	"stroke": true, "stroke-dasharray": true, "stroke-dashoffset": true, "stroke-linecap": true,
	"stroke-linejoin": true, "stroke-miterlimit": true, "stroke-opacity": true, "stroke-width": true,
	"transform": true, "transform-origin": true, "vector-effect": true, "visibility": true,
	"marker": false, "font": false, "mix-blend-mode": false,
	"cx": true, "cy": true, "r": true, "rx": true, "ry": true,
	"x": true, "y": true, "width": true, "height": true, "d": true,
}

// weighed is a declaration with its place in the cascade: origin 0 an attribute,
// 1 a sheet, 2 the style attribute; important ones come after all others.
type weighed struct {
	declaration
	origin int
	spec   [3]int
	order  int
}

// cascade gives every element its properties (CSS 2.1 §6.4.1).
type cascade struct {
	doc   *document
	byKey map[string][]int // rules whose selector is one class, id or type
	other []int            // the rest
	rules []rule
	cost  []int
	left  int // of Options.MaxSheetWork
	limit int
	html  map[*node]*html.Node
}

// applyStyles reads all sheets and fills props of every node.
func applyStyles(doc *document, opt Options) error {
	var sheets sheetReader
	for _, n := range doc.styles {
		if kind, ok := n.attr("type"); ok && kind != "" && !strings.EqualFold(strings.TrimSpace(kind), "text/css") {
			doc.notes = append(doc.notes, note{"css", n.where(), "a style sheet of the type " + kind + " is not read: save the drawing with CSS styles"})
			continue
		}
		sheets.readSheet(string(n.text), n.where())
	}
	doc.notes = append(doc.notes, sheets.notes...)
	c := &cascade{doc: doc, rules: sheets.rules, byKey: map[string][]int{}, left: opt.MaxSheetWork, limit: opt.MaxSheetWork}
	c.index()
	return c.visit(doc.root)
}

// index sorts the rules by what they can match, and counts what a match costs.
func (c *cascade) index() {
	c.cost = make([]int, len(c.rules))
	for i, r := range c.rules {
		if key := simpleKey(r.text); key != "" {
			c.byKey[key] = append(c.byKey[key], i)
			continue
		}
		c.other = append(c.other, i)
		c.cost[i] = selectorCost(r.text, c.doc)
	}
	if len(c.other) > 0 {
		c.html = map[*node]*html.Node{}
		c.mirror(c.doc.root, nil)
	}
}

// simpleKey gives ".name", "#name" or "name" for a selector of that one part.
func simpleKey(text string) string {
	rest := text
	if rest[0] == '.' || rest[0] == '#' {
		rest = rest[1:]
	}
	s := scanner{s: rest}
	if s.word() == "" || !s.done() {
		return ""
	}
	if len(rest) == len(text) {
		return strings.ToLower(text) // type selectors are matched in lower case
	}
	return text
}

// selectorCost bounds the steps of one match: each step between compound parts
// may try every ancestor or sibling again.
func selectorCost(text string, doc *document) int {
	const most = 1 << 30
	cost := 1
	for _, b := range strings.Join(strings.Fields(text), " ") {
		switch b {
		case ' ':
			cost *= doc.depth
		case '~', '+':
			cost *= doc.siblings
		case ':':
			cost *= 1 + doc.siblings
		}
		if cost > most {
			return most
		}
	}
	return cost
}

// mirror builds the tree that the selector library reads; its type and
// attribute selectors are in lower case.
func (c *cascade) mirror(n *node, parent *html.Node) {
	h := &html.Node{Type: html.ElementNode, Data: strings.ToLower(n.name)}
	for _, a := range n.attrs {
		h.Attr = append(h.Attr, html.Attribute{Key: strings.ToLower(a.name), Val: a.value})
	}
	if parent == nil {
		parent = &html.Node{Type: html.DocumentNode}
	}
	parent.AppendChild(h)
	c.html[n] = h
	for _, child := range n.children {
		c.mirror(child, h)
	}
}

func (c *cascade) visit(n *node) error {
	if err := c.resolve(n); err != nil {
		return err
	}
	for _, child := range n.children {
		if err := c.visit(child); err != nil {
			return err
		}
	}
	return nil
}

// resolve gathers the declarations of one element, weakest first.
func (c *cascade) resolve(n *node) error {
	matched, err := c.matching(n)
	if err != nil {
		return err
	}
	var list []weighed
	for _, i := range matched {
		r := c.rules[i]
		if err := c.spend(1+len(r.block), n); err != nil {
			return err
		}
		for _, d := range r.block {
			list = append(list, weighed{d, 1, r.spec, r.order})
		}
	}
	if text, ok := n.attr("style"); ok {
		own, whole := readStyleAttribute(text)
		if !whole {
			c.doc.notes = append(c.doc.notes, note{"css", n.where(), "part of the style attribute cannot be read: mend it in the drawing program"})
		}
		for _, d := range own {
			list = append(list, weighed{d, 2, [3]int{}, 0})
		}
	}
	slices.SortStableFunc(list, func(a, b weighed) int {
		if a.important != b.important {
			if a.important {
				return 1
			}
			return -1
		}
		return cmp.Or(a.origin-b.origin, slices.Compare(a.spec[:], b.spec[:]), a.order-b.order)
	})
	n.props = map[string]string{}
	for _, a := range n.attrs {
		if properties[a.name] {
			n.props[a.name] = strings.TrimSpace(a.value)
		}
	}
	for _, d := range list {
		n.set(d.name, d.value)
	}
	return nil
}

// set records a declared property, taking shorthands apart.
func (n *node) set(name, value string) {
	switch name {
	case "marker":
		for _, end := range []string{"marker-start", "marker-mid", "marker-end"} {
			n.props[end] = value
		}
		return
	case "font":
		if size, ok := fontSizeOf(value); ok {
			n.props["font-size"] = size
		}
		return
	}
	if _, known := properties[name]; known {
		n.props[name] = value
	}
}

// fontSizeOf finds the size in a font shorthand: the first part that is a length.
func fontSizeOf(value string) (string, bool) {
	for _, part := range strings.Fields(value) {
		size, _, _ := strings.Cut(part, "/")
		if l, ok := parseLength(size); ok && (l.u != px || strings.TrimLeft(size, "0123456789.") != "") {
			return size, true
		}
	}
	return "", false
}

// spend takes steps off what may be spent.
func (c *cascade) spend(steps int, n *node) error {
	if c.left -= steps; c.left < 0 {
		return fault.New("svg-sheet-too-heavy", n.where(),
			"matching the style rules takes more than %d steps: save the drawing with its styles as attributes", c.limit)
	}
	return nil
}

// matching gives the rules that match an element.
func (c *cascade) matching(n *node) ([]int, error) {
	if len(c.rules) == 0 {
		return nil, nil
	}
	list := slices.Clone(c.byKey[strings.ToLower(n.name)])
	if n.id != "" {
		list = append(list, c.byKey["#"+n.id]...)
	}
	named := map[string]bool{}
	for _, class := range n.classes {
		if !named[class] {
			named[class] = true
			list = append(list, c.byKey["."+class]...)
		}
	}
	for _, i := range c.other {
		if err := c.spend(c.cost[i], n); err != nil {
			return nil, err
		}
		if c.rules[i].sel.Match(c.html[n]) {
			list = append(list, i)
		}
	}
	return list, nil
}
