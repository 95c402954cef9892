package svgin

import (
	"math"
	"strings"

	"brushfall/internal/geom"
)

// parseTransform reads a transform list (SVG 1.1 §7.6; with the units of CSS
// Transforms 1). A list with a fault is no transform at all.
func parseTransform(s string) (geom.Affine, bool) {
	m := geom.Identity()
	c := scanner{s: strings.TrimSpace(s)}
	if strings.EqualFold(c.s, "none") {
		return m, true
	}
	for !c.done() {
		name, inside, ok := c.call()
		if !ok {
			return geom.Identity(), false
		}
		args, ok := transformArguments(inside)
		if !ok {
			return geom.Identity(), false
		}
		step, ok := transformStep(name, args)
		if !ok {
			return geom.Identity(), false
		}
		m = m.Mul(step)
		c.comma()
	}
	return m, true
}

// transformArguments reads numbers, lengths in absolute units (as px) and angles
// (as degrees).
func transformArguments(s string) ([]float64, bool) {
	c := scanner{s: s}
	c.space()
	var list []float64
	for !c.done() {
		v, ok := c.number()
		if !ok || len(list) == 6 {
			return nil, false
		}
		switch unit := strings.ToLower(c.word()); unit {
		case "", "deg":
		case "rad":
			v *= 180 / math.Pi
		case "grad":
			v *= 0.9
		case "turn":
			v *= 360
		default:
			k, ok := pixels(unit)
			if !ok {
				return nil, false
			}
			v *= k
		}
		list = append(list, v)
		c.comma()
	}
	return list, true
}

func transformStep(name string, a []float64) (geom.Affine, bool) {
	const degree = math.Pi / 180
	n := len(a)
	switch {
	case name == "matrix" && n == 6:
		return geom.Affine{A: a[0], B: a[1], C: a[2], D: a[3], E: a[4], F: a[5]}, true
	case name == "translate" && n == 1:
		return geom.Translate(a[0], 0), true
	case name == "translate" && n == 2:
		return geom.Translate(a[0], a[1]), true
	case name == "translatex" && n == 1:
		return geom.Translate(a[0], 0), true
	case name == "translatey" && n == 1:
		return geom.Translate(0, a[0]), true
	case name == "scale" && n == 1:
		return geom.Scale(a[0], a[0]), true
	case name == "scale" && n == 2:
		return geom.Scale(a[0], a[1]), true
	case name == "scalex" && n == 1:
		return geom.Scale(a[0], 1), true
	case name == "scaley" && n == 1:
		return geom.Scale(1, a[0]), true
	case name == "rotate" && n == 1:
		return geom.Rotate(a[0] * degree), true
	case name == "rotate" && n == 3:
		return geom.Translate(a[1], a[2]).Mul(geom.Rotate(a[0] * degree)).Mul(geom.Translate(-a[1], -a[2])), true
	case name == "skewx" && n == 1:
		return geom.SkewX(a[0] * degree), true
	case name == "skewy" && n == 1:
		return geom.SkewY(a[0] * degree), true
	}
	return geom.Affine{}, false
}

// box is a rectangle by its corner and size.
type box struct{ x, y, w, h float64 }

// parseViewBox reads a viewBox; a width or height that is not positive is a fault.
func parseViewBox(s string) (box, bool) {
	v, ok := numbers(s)
	if !ok || len(v) != 4 || !(v[2] > 0 && v[3] > 0) {
		return box{}, false
	}
	return box{v[0], v[1], v[2], v[3]}, true
}

// fitView maps a viewBox onto a viewport by preserveAspectRatio (SVG 1.1 §7.8).
// An empty or unknown aspect is the initial one, xMidYMid meet.
func fitView(view, port box, aspect string) geom.Affine {
	kx, ky := port.w/view.w, port.h/view.h
	words := strings.Fields(aspect)
	if len(words) > 0 && words[0] == "defer" {
		words = words[1:]
	}
	align, slice := "xMidYMid", false
	if len(words) > 0 && (words[0] == "none" || aligned(words[0])) {
		align = words[0]
		slice = len(words) > 1 && words[1] == "slice"
	}
	if align == "none" {
		return geom.Translate(port.x, port.y).Mul(geom.Scale(kx, ky)).Mul(geom.Translate(-view.x, -view.y))
	}
	k := min(kx, ky)
	if slice {
		k = max(kx, ky)
	}
	shares := map[string]float64{"Min": 0, "Mid": 0.5, "Max": 1}
	dx := (port.w - view.w*k) * shares[align[1:4]]
	dy := (port.h - view.h*k) * shares[align[5:8]]
	return geom.Translate(port.x+dx, port.y+dy).Mul(geom.Scale(k, k)).Mul(geom.Translate(-view.x, -view.y))
}

func aligned(word string) bool {
	if len(word) != 8 || word[0] != 'x' || word[4] != 'Y' {
		return false
	}
	for _, part := range []string{word[1:4], word[5:8]} {
		if part != "Min" && part != "Mid" && part != "Max" {
			return false
		}
	}
	return true
}
