package svgin

import (
	"fmt"
	"math"
	"strings"

	"brushfall/internal/geom"
)

// shapeNames are the elements that have an outline of their own.
var shapeNames = map[string]bool{
	"path": true, "rect": true, "circle": true, "ellipse": true,
	"line": true, "polyline": true, "polygon": true,
}

// outline gives the path of a basic shape or a path element in its user units,
// as SVG 1.1 §8 and §9 define them; nothing for one that draws nothing.
func (r *reader) outline(n *node, f frame) []segment {
	switch n.name {
	case "path":
		return r.pathOutline(n)
	case "rect":
		return r.rectOutline(n, f)
	case "circle":
		rad := r.number(n, "r", f, diagonal)
		return r.ellipse(n, f, rad, rad)
	case "ellipse":
		return r.ellipseOutline(n, f)
	case "line":
		from := geom.Point{X: r.number(n, "x1", f, across), Y: r.number(n, "y1", f, down)}
		to := geom.Point{X: r.number(n, "x2", f, across), Y: r.number(n, "y2", f, down)}
		return polyline([]geom.Point{from, to}, false)
	case "polyline", "polygon":
		return r.pointsOutline(n)
	}
	return nil
}

// declared gives a length attribute or property; false if it is missing, auto,
// or no length, of which it warns.
func (r *reader) declared(n *node, name string, f frame, s side) (float64, bool) {
	text, ok := n.props[name]
	if !ok {
		if text, ok = n.attr(name); !ok {
			return 0, false
		}
	}
	if text = strings.TrimSpace(text); text == "auto" || text == "" {
		return 0, false
	}
	l, ok := parseLength(text)
	if !ok {
		r.warn("attribute", n, fmt.Sprintf("%s=%q is no length and is read as if it were missing: mend it in the drawing program", name, short(text)))
		return 0, false
	}
	return f.px(l, s), true
}

// number gives a length, 0 if it is missing.
func (r *reader) number(n *node, name string, f frame, s side) float64 {
	v, _ := r.declared(n, name, f, s)
	return v
}

func (r *reader) pathOutline(n *node) []segment {
	d := n.props["d"]
	if inside, ok := strings.CutPrefix(d, "path("); ok { // the CSS property
		d = strings.Trim(strings.TrimSuffix(strings.TrimSpace(inside), ")"), `"'`)
	}
	if d == "none" {
		return nil
	}
	segs, fault := parsePath(d)
	if fault >= 0 {
		r.warn("path-data", n, fmt.Sprintf("the path data is wrong at character %d (%q): the path is drawn up to there; redraw what is missing", fault+1, short(d[min(fault, len(d)):])))
	}
	return segs
}

// short cuts text for a message.
func short(s string) string {
	const most = 20
	if runes := []rune(s); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return s
}

func (r *reader) pointsOutline(n *node) []segment {
	text, _ := n.attr("points")
	values, ok := numbers(text)
	if !ok || len(values)%2 == 1 {
		r.warn("path-data", n, "the list of points has a fault: it is drawn up to there; redraw what is missing")
	}
	points := make([]geom.Point, len(values)/2)
	for i := range points {
		points[i] = geom.Point{X: values[2*i], Y: values[2*i+1]}
	}
	return polyline(points, n.name == "polygon")
}

func polyline(points []geom.Point, closed bool) []segment {
	var segs []segment
	for i, p := range points {
		kind := lineTo
		if i == 0 {
			kind = moveTo
		}
		segs = append(segs, segment{op: kind, p: [3]geom.Point{p}})
	}
	if closed && len(segs) > 0 {
		segs = append(segs, segment{op: closePath})
	}
	return segs
}

func (r *reader) ellipseOutline(n *node, f frame) []segment {
	rx, okX := r.declared(n, "rx", f, across)
	ry, okY := r.declared(n, "ry", f, down)
	if !okX {
		rx = ry // auto, SVG 2 §10.4
	}
	if !okY {
		ry = rx
	}
	return r.ellipse(n, f, rx, ry)
}

func (r *reader) ellipse(n *node, f frame, rx, ry float64) []segment {
	if !(rx > 0 && ry > 0) {
		return nil
	}
	c := geom.Point{X: r.number(n, "cx", f, across), Y: r.number(n, "cy", f, down)}
	// From three o'clock, clockwise: dashes start there.
	at := []geom.Point{{X: c.X, Y: c.Y + ry}, {X: c.X - rx, Y: c.Y}, {X: c.X, Y: c.Y - ry}, {X: c.X + rx, Y: c.Y}}
	segs := []segment{{op: moveTo, p: [3]geom.Point{at[3]}}}
	for _, p := range at {
		segs = append(segs, segment{op: arcTo, p: [3]geom.Point{p}, rx: rx, ry: ry, sweep: true})
	}
	return append(segs, segment{op: closePath})
}

func (r *reader) rectOutline(n *node, f frame) []segment {
	x, y := r.number(n, "x", f, across), r.number(n, "y", f, down)
	w, h := r.number(n, "width", f, across), r.number(n, "height", f, down)
	if !(w > 0 && h > 0) {
		return nil
	}
	rx, okX := r.declared(n, "rx", f, across)
	ry, okY := r.declared(n, "ry", f, down)
	if okX = okX && rx >= 0; !okX {
		rx = ry
	}
	if okY = okY && ry >= 0; !okY {
		ry = rx
	}
	rx, ry = math.Max(0, math.Min(rx, w/2)), math.Max(0, math.Min(ry, h/2))
	if (!okX && !okY) || rx == 0 || ry == 0 {
		return polyline([]geom.Point{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}, true)
	}
	line := func(px, py float64) segment { return segment{op: lineTo, p: [3]geom.Point{{X: px, Y: py}}} }
	arc := func(px, py float64) segment {
		return segment{op: arcTo, p: [3]geom.Point{{X: px, Y: py}}, rx: rx, ry: ry, sweep: true}
	}
	return []segment{
		{op: moveTo, p: [3]geom.Point{{X: x + rx, Y: y}}},
		line(x+w-rx, y), arc(x+w, y+ry), line(x+w, y+h-ry), arc(x+w-rx, y+h),
		line(x+rx, y+h), arc(x, y+h-ry), line(x, y+ry), arc(x+rx, y),
		{op: closePath},
	}
}
