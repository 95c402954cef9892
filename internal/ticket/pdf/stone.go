package pdf

import (
	"math"

	"codeberg.org/go-pdf/fpdf"
	"github.com/lucasb-eyer/go-colorful"

	"brushfall/internal/ticket"
)

// flock is the colour of a template on paper.
var flock = colour{52, 60, 72}

// film are the colours of an iridescent stone round its table.
var film = []string{"#f4c6dd", "#cfd3f7", "#bfe6f2", "#c9f0d4", "#f6f0bd", "#f7d3bf", "#e6c9f2", "#c4e3f7"}

// rgb reads "#rrggbb"; what cannot be read prints as a middle grey.
func rgb(hex string) colour {
	c, err := colorful.Hex(hex)
	if err != nil {
		return grey
	}
	r, g, b := c.RGB255()
	return colour{int(r), int(g), int(b)}
}

// toward mixes c with d by the share t.
func (c colour) toward(d colour, t float64) colour {
	for i := range c {
		c[i] = int(math.Round(float64(c[i])*(1-t) + float64(d[i])*t))
	}
	return c
}

// stone draws a swatch as a cut stone: eight facets round a table, lit from the
// upper left, with an outline that holds pale colours on white paper.
func (p *page) stone(x, y, r float64, s ticket.Swatch) {
	const facets = 8
	body := rgb(s.Hex)
	corner := func(radius float64, i int) fpdf.PointType {
		a := (float64(i) + 0.5) * 2 * math.Pi / facets
		return fpdf.PointType{X: x + radius*math.Cos(a), Y: y + radius*math.Sin(a)}
	}
	p.fill(body)
	p.f.Circle(x, y, r, "F")
	for i := range facets {
		middle := float64(i+1) * 2 * math.Pi / facets
		lit := math.Cos(middle - 1.25*math.Pi)
		c := body.toward(white, 0.5*math.Max(0, lit)).toward(ink, 0.35*math.Max(0, -lit))
		if s.AB {
			c = rgb(film[i]).toward(ink, 0.12*math.Max(0, -lit))
		}
		p.fill(c)
		p.f.Polygon([]fpdf.PointType{corner(r*0.55, i), corner(r*0.96, i), corner(r*0.96, i+1), corner(r*0.55, i+1)}, "F")
	}
	var table []fpdf.PointType
	for i := range facets {
		table = append(table, corner(r*0.55, i))
	}
	p.fill(body.toward(white, 0.25))
	p.f.Polygon(table, "F")
	p.draw(body.toward(ink, 0.55), 0.15)
	p.f.Circle(x, y, r, "D")
}
