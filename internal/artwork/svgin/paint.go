package svgin

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// solid gives the flat colour that a paint stands for, its alpha the paint's
// own; false if it paints nothing. It warns of what a flat colour leaves out.
func (r *reader) solid(p paint, n *node, st style) (rgba, bool) {
	switch p.kind {
	case paintColour:
		return p.colour, p.colour.a > 0
	case paintCurrent:
		return st.color, st.color.a > 0
	case paintServer:
		return r.server(p, n, st)
	}
	return rgba{}, false
}

// patternGrey stands in for a pattern that names no fallback colour.
var patternGrey = rgba{0x80, 0x80, 0x80, 1}

func (r *reader) server(p paint, n *node, st style) (rgba, bool) {
	id, local := strings.CutPrefix(p.url, "#")
	server := r.doc.ids[id]
	fallback := func() (rgba, bool) {
		if p.fallback == nil {
			return rgba{}, false
		}
		return r.solid(*p.fallback, n, st)
	}
	switch {
	case !local:
		r.warn("external-reference", n, fmt.Sprintf("the paint %q lies outside the file and is not fetched: choose a flat colour", short(p.url)))
		return fallback()
	case server != nil && (server.name == "linearGradient" || server.name == "radialGradient"):
		return r.gradient(server, n, id)
	case server != nil && server.name == "pattern":
		c, ok := fallback()
		if p.fallback == nil {
			c, ok = patternGrey, true
		}
		r.warn("pattern", n, fmt.Sprintf("the pattern %q is read as the flat colour %s: choose a flat colour, or draw what it shows as paths", id, c))
		return c, ok
	}
	c, ok := fallback()
	r.warn("reference-missing", n, fmt.Sprintf("there is no paint %q: choose a flat colour", short(p.url)))
	return c, ok
}

// stop is one stop of a gradient.
type stop struct {
	at float64
	c  rgba
}

// gradient gives the mean colour of a gradient. One stop is a flat colour and
// needs no warning: drawing programs keep swatches so.
func (r *reader) gradient(server, n *node, id string) (rgba, bool) {
	stops := r.stops(server)
	if len(stops) == 0 {
		r.warn("gradient", n, fmt.Sprintf("the gradient %q has no colours and paints nothing: choose a flat colour", id))
		return rgba{}, false
	}
	c := mean(stops)
	if flat := !slices.ContainsFunc(stops, func(s stop) bool { return s.c != stops[0].c }); !flat {
		r.warn("gradient", n, fmt.Sprintf("the gradient %q is read as its mean colour %s: choose a flat colour, or split the shape into flat parts", id, c))
	}
	return c, c.a > 0
}

// stops finds the stops of a gradient, its own or those of one it refers to.
func (r *reader) stops(server *node) []stop {
	seen := map[*node]bool{}
	for server != nil && !seen[server] {
		seen[server] = true
		var list []stop
		last := 0.0
		for _, child := range server.children {
			if child.name == "stop" {
				s := r.stop(child)
				s.at = max(s.at, last)
				last = s.at
				list = append(list, s)
			}
		}
		if len(list) > 0 {
			return list
		}
		id, _ := strings.CutPrefix(server.target(), "#")
		server = r.doc.ids[id]
	}
	return nil
}

func (r *reader) stop(n *node) stop {
	s := stop{c: rgba{a: 1}}
	at, _ := n.attr("offset")
	setShare(&s.at, strings.TrimSpace(at))
	switch value := n.props["stop-color"]; {
	case strings.EqualFold(value, "currentcolor"):
		s.c = r.ownStyle(n).color
	default:
		if c, ok := parseColour(value); ok {
			s.c = c
		}
	}
	opacity := 1.0
	setShare(&opacity, n.props["stop-opacity"])
	s.c.a *= opacity
	return s
}

// mean gives the mean over the gradient's length from 0 to 1, in sRGB, where
// gradients are mixed.
func mean(stops []stop) rgba {
	first, last := stops[0], stops[len(stops)-1]
	ends := slices.Concat([]stop{{0, first.c}}, stops, []stop{{1, last.c}})
	slices.SortStableFunc(ends, func(a, b stop) int { return cmp.Compare(a.at, b.at) })
	var sum [4]float64
	for i := 1; i < len(ends); i++ {
		a, b := ends[i-1], ends[i]
		half := (b.at - a.at) / 2
		for k, v := range [4]float64{
			float64(a.c.r) + float64(b.c.r), float64(a.c.g) + float64(b.c.g),
			float64(a.c.b) + float64(b.c.b), a.c.a + b.c.a,
		} {
			sum[k] += half * v
		}
	}
	channel := func(v float64) uint8 { return uint8(min(255, math.Round(v))) }
	return rgba{channel(sum[0]), channel(sum[1]), channel(sum[2]), sum[3]}
}
