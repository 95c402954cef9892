package job

import (
	"math"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/artwork/lettering"
	"brushfall/internal/fault"
	"brushfall/internal/unit"
)

// usualBend is the angle of an arc that says none: a third of a circle, chosen by eye.
const usualBend = 2 * math.Pi / 3

// plainOr reads a scalar with parse, or a mapping with the fields.
func plainOr[T, V any](s source, n ast.Node, what string, into *T, at *V, parse func(string) (V, error), fields []field[T]) (err error) {
	if _, ok := mappingValues(n); ok {
		return fill(s, n, what, into, fields)
	}
	*at, err = read(s, n, what, parse)
	return err
}

// readFit reads the box that a piece is fitted into.
func readFit(s source, n ast.Node, p *lettering.Piece) error {
	if p.Height.Set() || p.Width.Set() {
		return s.fail(n, "lettering", "fit stands beside height or width; keep one of them")
	}
	p.Fit = true
	return fill(s, n, "fit", p, []field[lettering.Piece]{
		set("width", parseSize, func(p *lettering.Piece) *lettering.Measure { return &p.Width }),
		set("height", parseSize, func(p *lettering.Piece) *lettering.Measure { return &p.Height }),
	})
}

// readArc reads "above" or "below", or those with the bend or the radius.
func readArc(s source, n ast.Node, p *lettering.Piece) error {
	c := &p.Curve
	c.Arc = lettering.Above
	fields := []field[lettering.Curve]{
		set("side", parseRise, func(c *lettering.Curve) *lettering.Side { return &c.Arc }),
		set("bend", parseBend, func(c *lettering.Curve) *float64 { return &c.Bend }),
		set("radius", parseRadius, func(c *lettering.Curve) *float64 { return &c.Radius }),
	}
	if err := plainOr(s, n, "arc", c, &c.Arc, parseRise, fields); err != nil {
		return err
	}
	if c.Bend != 0 && c.Radius != 0 {
		return s.fail(n, "lettering", "an arc takes bend or radius, not both")
	}
	if c.Bend == 0 && c.Radius == 0 {
		c.Bend = usualBend
	}
	return nil
}

// parseBend reads the angle that an arc spans, up to a full circle.
func parseBend(text string) (float64, error) {
	v, err := parseAngle(text)
	if err != nil || !(v >= math.Pi/180 && v <= 2*math.Pi) {
		err = fault.New("lettering", "", "%q is no bend; write the angle that the text spans, from 1 deg to 360 deg", text)
	}
	return v, err
}

func parseRadius(text string) (float64, error) {
	l, err := unit.ParseLength(text)
	return l.MM(), err
}

// readCircle reads "yes", or the radius and the side that the letters stand to.
func readCircle(s source, n ast.Node, p *lettering.Piece) error {
	c := &p.Curve
	side := lettering.Above
	c.Circle = true
	if _, ok := mappingValues(n); !ok {
		var err error
		c.Circle, err = read(s, n, "circle", parseYes)
		return err
	}
	if err := fill(s, n, "circle", c, []field[lettering.Curve]{
		set("radius", parseRadius, func(c *lettering.Curve) *float64 { return &c.Radius }),
		set("letters", func(text string) (lettering.Side, error) {
			word, err := choose("side of a circle", text, []string{"outside", "inside"})
			if word == "inside" {
				side = lettering.Below
			}
			return side, err
		}, func(*lettering.Curve) *lettering.Side { return &side }),
	}); err != nil {
		return err
	}
	c.Sag = side == lettering.Below
	return nil
}

// readPath reads the id of a region of the artwork, or it with where and how.
func readPath(s source, n ast.Node, p *lettering.Piece) error {
	type curve = lettering.Curve
	c := &p.Curve
	fields := []field[curve]{
		set("id", parseWord, func(c *curve) *string { return &c.Path }),
		set("from", func(text string) (float64, error) {
			v, ok := share(text)
			if !ok || v < 0 || v > 1 {
				return 0, fault.New("lettering", "", "%q is no place on a path; write a share of its length, from 0%% to 100%%", text)
			}
			return v, nil
		}, func(c *curve) *float64 { return &c.From }),
		set("turn", parseYes, func(c *curve) *bool { return &c.Turn }),
		set("lift", parseSpacing, func(c *curve) *lettering.Measure { return &c.Lift }),
	}
	if err := plainOr(s, n, "path", c, &c.Path, parseWord, fields); err != nil {
		return err
	}
	if c.Path == "" {
		return s.fail(n, "lettering", "the path has no id; write path: {id: river}")
	}
	return nil
}

// readOutline reads the width of the band, or it with its gap.
func readOutline(s source, n ast.Node, p *lettering.Piece) error {
	type outline = lettering.Outline
	o := &p.Outline
	o.Gap = lettering.DefaultRing
	return plainOr(s, n, "outline", o, &o.Width, parseBand, []field[outline]{
		set("width", parseBand, func(o *outline) *float64 { return &o.Width }),
		set("gap", parseApart, func(o *outline) *float64 { return &o.Gap }),
	})
}

func parseBand(text string) (float64, error) {
	mm, err := parseApart(text)
	if err == nil && mm == 0 {
		err = fault.New("lettering", "", "an outline of 0 mm is none: leave it out")
	}
	return mm, err
}

// readPlace reads a side, or where a piece stands in full.
func readPlace(s source, n ast.Node, p *lettering.Piece) error {
	type place = lettering.Place
	return plainOr(s, n, "at", &p.At, &p.At.Side, parseSide, []field[place]{
		set("side", parseSide, func(a *place) *lettering.Side { return &a.Side }),
		set("of", parseWord, func(a *place) *string { return &a.Of }),
		set("gap", parseSpacing, func(a *place) *lettering.Measure { return &a.Gap }),
		set("right", parseSigned, func(a *place) *float64 { return &a.Right }),
		set("down", parseSigned, func(a *place) *float64 { return &a.Down }),
	})
}
