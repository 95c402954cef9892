package lettering

import (
	"math"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// Bounds of the height of a capital, in mm. Below the least no stone fits anywhere
// in it; the largest is beyond any sheet.
const (
	leastCapital = 1.0
	mostCapital  = 3000.0
)

// roughly is the chord error, in ems, that letters are measured with while their
// size is sought: 0.02 mm at a size of 100 mm.
const roughly = 2e-4

// fine is the chord error of letters as they are set, in mm: as that of artwork.
const fine = 0.01

// grown is how far the outline reaches beyond the letters, in mm.
func (o Outline) grown() float64 {
	if o.Width == 0 {
		return 0
	}
	return o.Width + o.Gap
}

// sizing is a piece with its shaped text and what its size is found from.
type sizing struct {
	piece Piece
	text  shapedText
	whole geom.Box // of the artwork, or a square of the unit that shares are of
	path  func(string) (geom.Line, float64, bool)
}

// box gives the ink of the piece, its outline counted in, at a height of a capital.
func (z sizing) box(capital float64) (geom.Box, error) {
	letters, _, err := z.piece.put(z.text, capital, z.path)
	b := geom.EmptyBox()
	for _, l := range letters {
		b = b.Join(l.bounds())
	}
	if err == nil && b.MaxX < b.MinX {
		err = fault.New("lettering-empty", "lettering "+z.piece.ID, "there is nothing to be seen of %q", z.piece.Text)
	}
	return b.Grow(z.piece.Outline.grown()), err
}

// capital gives the height of a capital, in mm. Fault "lettering-size" for a size
// that cannot be reached, and those of the base line.
func (z sizing) capital() (float64, error) {
	p := z.piece
	where := "lettering " + p.ID
	if p.Height.Set() && !p.Fit {
		c := p.Height.Of(z.whole.Height())
		if !(c >= leastCapital && c <= mostCapital) {
			return 0, fault.New("lettering-size", where, "capitals of %.1f mm cannot be: they may be from %g mm to %g mm", c, leastCapital, mostCapital)
		}
		_, err := z.box(c)
		return c, err
	}
	wide, high := math.Inf(1), math.Inf(1)
	if p.Width.Set() {
		wide = p.Width.Of(z.whole.Width())
	}
	if p.Height.Set() {
		high = p.Height.Of(z.whole.Height())
	}
	fits := func(c float64) (bool, error) {
		b, err := z.box(c)
		return err == nil && b.Width() <= wide && b.Height() <= high, err
	}
	lo, hi := leastCapital, mostCapital
	if ok, err := fits(lo); !ok {
		if err != nil {
			return 0, err
		}
		return 0, fault.New("lettering-size", where, "%q does not fit: even capitals of %g mm are too large for it", p.Text, leastCapital)
	}
	for range 60 { // by halves, to the precision of the numbers
		c := (lo + hi) / 2
		if ok, _ := fits(c); ok {
			lo = c
		} else {
			hi = c
		}
	}
	return lo, nil
}
