package lettering

import (
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// ArtworkName is what the artwork is called where a piece says beside what it stands.
const ArtworkName = "artwork"

// placed is a piece at its size and place.
type placed struct {
	piece   Piece
	capital float64
	by      geom.Point // from the piece's own origin to the design's
	box     geom.Box   // its ink in the design, outline counted in
}

// anchor gives the box of a piece that is placed by: round a circle or on an arc that
// is centred on something, that of the whole circle.
func anchor(p Piece, on baseline, ink geom.Box, capital float64) geom.Box {
	a, round := on.(arc)
	if !round || !(p.Curve.Circle || p.At.Side == Middle) {
		return ink
	}
	centre := geom.Point{Y: a.radius}
	if a.sag {
		centre.Y = -a.radius
	}
	return geom.Box{MinX: centre.X, MinY: centre.Y, MaxX: centre.X, MaxY: centre.Y}.Grow(a.radius + capital)
}

// place finds where the pieces stand, unit being what shares are of where there is
// no artwork.
func place(pieces []Piece, texts []shapedText, art geom.Box, unit float64, path func(string) (geom.Line, float64, bool)) ([]placed, error) {
	whole := art
	if art.MaxX < art.MinX {
		whole = geom.Box{MaxX: unit, MaxY: unit}
	}
	var out []placed
	before := art
	for i, p := range pieces {
		z := sizing{p, texts[i], whole, path}
		capital, err := z.capital()
		if err != nil {
			return nil, err
		}
		ink, err := z.box(capital)
		if err != nil {
			return nil, err
		}
		_, on, err := p.put(texts[i], capital, path)
		if err != nil {
			return nil, err
		}
		to := geom.Point{X: p.At.Right, Y: p.At.Down}
		if p.Curve.Path == "" {
			ref, err := reference(p, before, art, out)
			if err != nil {
				return nil, err
			}
			to = to.Add(beside(p.At, ref, anchor(p, on, ink, capital), p.At.Gap.Of(capital)))
		}
		box := geom.Box{MinX: ink.MinX + to.X, MinY: ink.MinY + to.Y, MaxX: ink.MaxX + to.X, MaxY: ink.MaxY + to.Y}
		out = append(out, placed{p, capital, to, box})
		before = before.Join(box)
	}
	return out, nil
}

// reference gives the box that a piece stands beside.
func reference(p Piece, before, art geom.Box, done []placed) (geom.Box, error) {
	if p.At.Of == "" {
		return before, nil
	}
	if p.At.Of == ArtworkName {
		if art.MaxX < art.MinX {
			return art, fault.New("lettering-place", "lettering "+p.ID, "there is no artwork to stand beside: leave of out, or name the artwork")
		}
		return art, nil
	}
	for _, d := range done {
		if d.piece.ID == p.At.Of {
			return d.box, nil
		}
	}
	return art, fault.New("lettering-place", "lettering "+p.ID, "there is no piece %q before it to stand beside: give that one the id, and put it first", p.At.Of)
}

// beside gives how far a box is moved to stand at a side of another.
func beside(at Place, ref, box geom.Box, gap float64) geom.Point {
	if ref.MaxX < ref.MinX {
		return geom.Point{}
	}
	mid := func(b geom.Box) geom.Point { return geom.Point{X: (b.MinX + b.MaxX) / 2, Y: (b.MinY + b.MaxY) / 2} }
	to := mid(ref).Sub(mid(box))
	switch at.Side {
	case Above:
		to.Y = ref.MinY - gap - box.MaxY
	case Below:
		to.Y = ref.MaxY + gap - box.MinY
	case LeftOf:
		to.X = ref.MinX - gap - box.MaxX
	case RightO:
		to.X = ref.MaxX + gap - box.MinX
	}
	return to
}

func extent(list []placed, art geom.Box) geom.Box {
	b := art
	for _, p := range list {
		b = b.Join(p.box)
	}
	return b
}
