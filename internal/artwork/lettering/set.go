package lettering

import (
	"math"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// shapedText is the text of a piece as its face shapes it, line by line, in ems.
type shapedText struct {
	face  *Face
	lines [][]letter
	joins [][]bool // for each letter whether it joins the one after it
}

// shape shapes the lines of a piece; tol is the chord error in ems.
func (p Piece) shape(f *Face, tol float64, known []*Face) (shapedText, error) {
	out := shapedText{face: f}
	apart := p.Spacing.Set()
	for _, text := range p.Lines() {
		line, err := f.lettersOf(text, apart, tol, known)
		if err != nil {
			return out, fault.Placed(err, func(string) string { return "lettering " + p.ID })
		}
		joins := make([]bool, len(line))
		if p.Curve.bends() && !apart {
			for i := 1; i < len(line); i++ {
				joins[i-1] = overlap(line[i-1], line[i])
			}
		}
		out.lines = append(out.lines, line)
		out.joins = append(out.joins, joins)
	}
	return out, nil
}

// overlap says whether two letters share an area.
func overlap(a, b letter) bool {
	if !boundsOf(a.rings).Overlaps(boundsOf(b.rings)) {
		return false
	}
	return geom.Intersect(geom.Shape{Rings: a.rings}, geom.Shape{Rings: b.rings}).Area() > 0
}

// spread puts mm of space after each letter and gives the line in mm, em being the
// size, with its letters' feet on y.
func spread(line []letter, em, space, y float64) []letter {
	out := make([]letter, len(line))
	for i, l := range line {
		x := space * float64(i)
		out[i] = l.mapped(func(p geom.Point) geom.Point { return geom.Point{X: p.X*em + x, Y: p.Y*em + y} })
		out[i].from, out[i].advance = l.from*em+x, l.advance*em
	}
	return out
}

// shift gives how far a line is moved so that its ink stands as align has it about 0.
func shift(line []letter, align Align) float64 {
	b := geom.EmptyBox()
	for _, l := range line {
		b = b.Join(l.bounds())
	}
	switch {
	case b.MaxX < b.MinX:
		return 0
	case align == Left:
		return -b.MinX
	case align == Right:
		return -b.MaxX
	}
	return -(b.MinX + b.MaxX) / 2
}

// wordGap is the clear space between the end and the start of a text round a circle,
// in heights of a capital: a wide word space.
const wordGap = 0.8

// put sets the shaped text with capitals of a height in mm: the letters at their
// places, in mm about the origin of the piece.
func (p Piece) put(s shapedText, capital float64, path func(string) (geom.Line, float64, bool)) ([]letter, baseline, error) {
	if p.Monogram {
		letters, err := p.monogram(s, capital)
		return letters, straight{}, err
	}
	em := capital / s.face.capital
	space := p.Spacing.Of(capital)
	wide := 0.0
	var lines [][]letter
	for i, shaped := range s.lines {
		extra := space
		if n := float64(len(shaped)); p.Curve.Circle && n > 0 {
			natural := (shaped[len(shaped)-1].from + shaped[len(shaped)-1].advance) * em
			if natural += n * space; p.Curve.Radius == 0 {
				extra += wordGap * capital / n
			} else {
				extra += math.Max(0, 2*math.Pi*p.Curve.Radius-natural) / n
			}
			wide = math.Max(wide, natural+n*(extra-space))
		}
		line := spread(shaped, em, extra, float64(i)*p.Leading*capital)
		by := shift(line, p.Align)
		if !p.Curve.Circle {
			b := geom.EmptyBox()
			for _, l := range line {
				b = b.Join(l.bounds())
			}
			wide = math.Max(wide, b.Width())
		}
		for k := range line {
			line[k] = line[k].moved(by)
		}
		lines = append(lines, line)
	}
	on, err := p.baselineFor(wide, capital, path)
	if err != nil {
		return nil, nil, err
	}
	return p.ontoLine(lines, s.joins, on, capital), on, nil
}

// ontoLine slants the letters and puts them on the base line: those that join are
// bent with it, the others are turned whole.
func (p Piece) ontoLine(lines [][]letter, joins [][]bool, on baseline, capital float64) []letter {
	slant := math.Tan(p.Slant)
	var out []letter
	for i, line := range lines {
		foot := float64(i) * p.Leading * capital
		for k, l := range line {
			if slant != 0 {
				l = l.mapped(func(q geom.Point) geom.Point { return geom.Point{X: q.X - slant*(q.Y-foot), Y: q.Y} })
			}
			if _, plain := on.(straight); !plain {
				if joins[i][k] || (k > 0 && joins[i][k-1]) {
					l = l.subdivided(chord * capital).mapped(bent(on))
				} else {
					l = l.mapped(turned(on, l.middle()))
				}
			}
			out = append(out, l)
		}
	}
	return out
}

// The letters of a monogram: the outer two are this share of the middle one, and
// stand this share of its height away (chosen by eye).
const (
	monogramSide = 0.64
	monogramGap  = 0.14
)

// monogram sets three letters, the middle one large and the others centred beside it.
func (p Piece) monogram(s shapedText, capital float64) ([]letter, error) {
	var all []letter
	for _, line := range s.lines {
		for _, l := range line {
			if l.inked() {
				all = append(all, l)
			}
		}
	}
	if len(all) != 3 {
		return nil, fault.New("lettering", "lettering "+p.ID, "a monogram has three letters, %q has %d", p.Text, len(all))
	}
	sizes := [3]float64{monogramSide * capital, capital, monogramSide * capital}
	var out []letter
	x := 0.0
	slant := math.Tan(p.Slant)
	for i, l := range all {
		em := sizes[i] / s.face.capital
		foot := -(capital - sizes[i]) / 2
		l = l.mapped(func(q geom.Point) geom.Point { return geom.Point{X: q.X*em - slant*(q.Y*em+foot), Y: q.Y*em + foot} })
		b := l.bounds()
		at := x - b.MinX
		out = append(out, l.mapped(func(q geom.Point) geom.Point { return geom.Point{X: q.X + at, Y: q.Y} }))
		x += b.Width() + monogramGap*capital + p.Spacing.Of(capital)
	}
	return out, nil
}
