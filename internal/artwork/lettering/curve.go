package lettering

import (
	"math"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// baseline is the line that letters stand on, in mm. at gives the place of a point
// s along the line and y below it, and the direction of travel there.
type baseline interface {
	at(s, y float64) (geom.Point, geom.Point)
}

type straight struct{}

func (straight) at(s, y float64) (geom.Point, geom.Point) {
	return geom.Point{X: s, Y: y}, geom.Point{X: 1}
}

// arc is a circle about its centre, the base line crossing the origin: letters that
// rise over the centre, or hang under it for those that sag.
type arc struct {
	radius float64
	sag    bool
}

func (a arc) at(s, y float64) (geom.Point, geom.Point) {
	if a.sag {
		r := a.radius + y // lower lines lie further out
		sin, cos := math.Sincos(s / a.radius)
		return geom.Point{X: r * sin, Y: r*cos - a.radius}, geom.Point{X: cos, Y: -sin}
	}
	r := a.radius - y
	sin, cos := math.Sincos(s / a.radius)
	return geom.Point{X: r * sin, Y: a.radius - r*cos}, geom.Point{X: cos, Y: sin}
}

// track is a path of the artwork; s counts from the place that text is aligned to.
type track struct {
	path  *geom.Path
	start float64
	lift  float64
}

func (t track) at(s, y float64) (geom.Point, geom.Point) {
	d := t.path.Tangent(t.start + s)
	return t.path.At(t.start + s).Add(d.Perp().Mul(y - t.lift)), d
}

// turned puts a whole letter on the line, turned about its middle.
func turned(on baseline, middle float64) func(geom.Point) geom.Point {
	return func(p geom.Point) geom.Point {
		at, d := on.at(middle, p.Y)
		return at.Add(d.Mul(p.X - middle))
	}
}

// bent puts every point of a letter on the line, for letters that join.
func bent(on baseline) func(geom.Point) geom.Point {
	return func(p geom.Point) geom.Point {
		at, _ := on.at(p.X, p.Y)
		return at
	}
}

// chord is how long, in heights of the letters, a straight piece of an outline may
// be before it is bent.
const chord = 0.02

// subdivided gives a letter with points added so that it bends smoothly.
func (l letter) subdivided(step float64) letter {
	cut := func(p, q geom.Point, dst []geom.Point) []geom.Point {
		n := int(math.Ceil(p.Dist(q) / step))
		for i := 1; i < n; i++ {
			dst = append(dst, p.Lerp(q, float64(i)/float64(n)))
		}
		return dst
	}
	out := l
	out.rings, out.lines = nil, nil
	for _, r := range l.rings {
		var fine geom.Ring
		for i, p := range r {
			fine = cut(p, r[(i+1)%len(r)], append(fine, p))
		}
		out.rings = append(out.rings, fine)
	}
	for _, r := range l.lines {
		fine := geom.Line{r[0]}
		for i := 1; i < len(r); i++ {
			fine = append(cut(r[i-1], r[i], fine), r[i])
		}
		out.lines = append(out.lines, fine)
	}
	return out
}

// least is the smallest radius of an arc, in heights of a capital: on a tighter one
// the feet of the letters run into each other.
const least = 0.5

// baselineFor gives the line for a text that is wide mm, its capitals capital mm high.
func (p Piece) baselineFor(wide, capital float64, path func(id string) (geom.Line, float64, bool)) (baseline, error) {
	c := p.Curve
	where := "lettering " + p.ID
	switch {
	case c.Path != "":
		line, half, ok := path(c.Path)
		if !ok {
			return nil, fault.New("lettering-path", where, "the artwork has no region %q with a line to set letters on", c.Path)
		}
		return p.trackOn(line, half, wide, capital)
	case c.Circle:
		r := c.Radius
		if r == 0 {
			r = wide / (2 * math.Pi)
		}
		if r < least*capital || wide > 2*math.Pi*r*(1+1e-9) {
			return nil, fault.New("lettering-too-long", where, "the text is %.0f mm long, a circle of %.0f mm radius has %.0f mm: make it larger or the letters smaller", wide, r, 2*math.Pi*r)
		}
		return arc{radius: r, sag: c.Sag}, nil
	case c.Arc != "":
		r := c.Radius
		if r == 0 {
			r = wide / c.Bend
		}
		if r < least*capital || wide > 2*math.Pi*r*(1+1e-9) {
			return nil, fault.New("lettering-too-long", where, "the text is %.0f mm long: an arc of %.0f mm radius is too tight for it", wide, r)
		}
		return arc{radius: r, sag: c.Arc == Below}, nil
	}
	return straight{}, nil
}

// trackOn makes the base line along a path of the artwork, which is drawn half mm wide
// on each side of its line.
func (p Piece) trackOn(line geom.Line, half, wide, capital float64) (baseline, error) {
	c := p.Curve
	closed := len(line) > 2 && line[0] == line[len(line)-1]
	if !closed && line[len(line)-1].X < line[0].X {
		line = reversed(line) // so that the letters stand upright
	}
	if c.Turn {
		line = reversed(line)
	}
	path := geom.NewPath(line, closed)
	length := path.Length()
	start := c.From * length
	from, to := start, start+wide
	switch p.Align {
	case Centre:
		from, to = start-wide/2, start+wide/2
	case Right:
		from, to = start-wide, start
	}
	if wide > length || (!closed && (from < -1e-9 || to > length+1e-9)) {
		return nil, fault.New("lettering-too-long", "lettering "+p.ID, "the text is %.0f mm long and runs over the end of %q, which is %.0f mm: make the letters smaller, or move it with from", wide, c.Path, length)
	}
	return track{path: path, start: start, lift: half + c.Lift.Of(capital)}, nil
}

func reversed(l geom.Line) geom.Line {
	out := make(geom.Line, len(l))
	for i, p := range l {
		out[len(l)-1-i] = p
	}
	return out
}
