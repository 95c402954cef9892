package lettering

import (
	"fmt"
	"slices"
	"strings"

	"brushfall/internal/artwork"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// Sheet is the lettering of a design: the pieces in their order, the faces besides
// the shipped ones, and, where there is no artwork, the width or height in mm that
// the design is brought to, 0 for neither.
type Sheet struct {
	Pieces        []Piece
	Faces         []*Face
	Width, Height float64
}

// Set is what became of a piece: its id, its text, the height of its capitals in mm.
type Set struct {
	ID, Text, Face string
	Capital        float64
}

// known gives every face at hand.
func (s Sheet) known() []*Face { return append(Shipped(), s.Faces...) }

// Find gives the face of a name, in any case; an empty name is the first shipped one.
// Fault "face-unknown" lists those at hand.
func (s Sheet) Find(name string) (*Face, error) {
	all := s.known()
	if strings.TrimSpace(name) == "" {
		return all[0], nil
	}
	var names []string
	for _, f := range slices.Backward(all) { // the shop's own go before the shipped ones
		if strings.EqualFold(f.name, strings.TrimSpace(name)) {
			return f, nil
		}
	}
	for _, f := range all {
		names = append(names, f.name)
	}
	return nil, fault.New("face-unknown", "", "there is no face %q here; choose %s, one that is installed on this machine, or name a font file (.ttf, .otf, .woff)", name, strings.Join(names, ", "))
}

// Compose sets the lettering beside the artwork, which may be empty, and gives both as
// one drawing whose extent begins at the origin, and what became of each piece. The
// regions of a piece have its id and id-fill or id-outline among their groups. Faults
// name the piece: those of Piece.Check, "face-unknown", "letter-missing",
// "lettering-size", "-place", "-path", "-too-long".
func Compose(art artwork.Drawing, s Sheet) (artwork.Drawing, []Set, error) {
	c := composer{art: art, pieces: slices.Clone(s.Pieces), known: s.known()}
	if err := c.prepare(s); err != nil {
		return art, nil, err
	}
	list, err := c.arrange(s)
	if err != nil {
		return art, nil, err
	}
	out := artwork.Drawing{Warnings: art.Warnings, Regions: slices.Clone(art.Regions)}
	var sets []Set
	for i, p := range list {
		drawn, err := c.draw(i, p)
		if err != nil {
			return art, nil, err
		}
		out.Regions = append(cleared(out.Regions, drawn, p.piece.Clear, p.capital), c.named(out.Regions, drawn)...)
		sets = append(sets, Set{p.piece.ID, p.piece.Text, c.faces[i].name, p.capital})
	}
	return out.Scale(1), sets, nil
}

// composer holds what Compose works on.
type composer struct {
	art    artwork.Drawing
	pieces []Piece
	faces  []*Face
	texts  []shapedText
	known  []*Face
	paths  map[string]pathFound
}

// Identified gives the pieces with ids for those that have none, after their place:
// text for the first, text-2 for the second, and so on. Fault "lettering" for an id that stands twice or is that of the artwork.
func Identified(pieces []Piece) ([]Piece, error) {
	out := slices.Clone(pieces)
	taken := map[string]bool{ArtworkName: true}
	for i := range out {
		id := out[i].ID
		if id == "" {
			continue
		}
		if taken[id] {
			return nil, fault.New("lettering", "lettering "+id, "the id %q is taken: give each piece its own", id)
		}
		taken[id] = true
	}
	for i := range out {
		for n := i + 1; out[i].ID == ""; n++ {
			id := fmt.Sprintf("text-%d", n)
			if n == 1 {
				id = "text"
			}
			if !taken[id] {
				out[i].ID, taken[id] = id, true
			}
		}
	}
	return out, nil
}

func (c *composer) prepare(s Sheet) (err error) {
	if c.pieces, err = Identified(c.pieces); err != nil {
		return err
	}
	for i, p := range c.pieces {
		if err := p.Check(); err != nil {
			return err
		}
		f, err := s.Find(p.Face)
		if err == nil && f.Lined() && p.Outline.Width > 0 {
			err = fault.New("lettering", "", "%s has single lines, which have no outline: leave outline out", f.name)
		}
		if err != nil {
			return fault.Placed(err, func(string) string { return "lettering " + p.ID })
		}
		text, err := p.shape(f, roughly, c.known)
		if err != nil {
			return err
		}
		if !p.Height.Set() && !p.Width.Set() { // as wide as the artwork, or as large as the others
			if len(c.art.Regions) > 0 && p.Curve.Path == "" {
				c.pieces[i].Width = Measure{Share: 1}
			} else {
				c.pieces[i].Height = Measure{Share: 1}
			}
		}
		c.faces, c.texts = append(c.faces, f), append(c.texts, text)
	}
	return nil
}

// arrange sizes and places the pieces; without artwork so that the design has the
// width or the height asked for.
func (c *composer) arrange(s Sheet) ([]placed, error) {
	art := c.art.Extent()
	at := func(unit float64) ([]placed, error) { return place(c.pieces, c.texts, art, unit, c.path) }
	if len(c.art.Regions) > 0 || (s.Width == 0 && s.Height == 0) {
		for _, p := range c.pieces {
			if len(c.art.Regions) == 0 && (p.Height.Share != 0 || p.Width.Share != 0) {
				return nil, fault.New("width-missing", "lettering "+p.ID, "say how large it shall be: a height: of the capitals such as 2 in, or a width: of the piece or of the whole design")
			}
		}
		return at(0)
	}
	for _, p := range c.pieces {
		if p.Height.MM != 0 || p.Width.MM != 0 {
			return nil, fault.New("lettering-size", "lettering "+p.ID, "the design has a size of its own: give the pieces' sizes as shares such as 60%%, or leave out the width and height of the design")
		}
	}
	fits := func(unit float64) bool {
		list, err := at(unit)
		b := extent(list, art)
		return err == nil && (s.Width == 0 || b.Width() <= s.Width) && (s.Height == 0 || b.Height() <= s.Height)
	}
	lo, hi := leastCapital, mostCapital
	for _, p := range c.pieces { // the smallest share must be a height that can be
		for _, share := range []float64{p.Height.Share, p.Width.Share} {
			if share > 0 {
				lo = max(lo, leastCapital/share)
			}
		}
	}
	if !fits(lo) {
		if _, err := at(lo); err != nil {
			return nil, err
		}
		return nil, fault.New("lettering-size", "lettering "+c.pieces[0].ID, "the design is too small for its text")
	}
	for range 50 {
		if m := (lo + hi) / 2; fits(m) {
			lo = m
		} else {
			hi = m
		}
	}
	return at(lo)
}

// path gives the line of a region of the artwork: its first open line, the centre line
// of a stroke, with half the width of the stroke, or the largest outline, closed.
func (c *composer) path(id string) (geom.Line, float64, bool) {
	if c.paths == nil {
		c.paths = map[string]pathFound{}
	}
	found, known := c.paths[id]
	if !known { // asked for again at every size that is tried
		found.line, found.half, found.ok = c.findPath(id)
		c.paths[id] = found
	}
	return found.line, found.half, found.ok
}

// pathFound is a line that letters can stand on.
type pathFound struct {
	line geom.Line
	half float64
	ok   bool
}

func (c *composer) findPath(id string) (line geom.Line, half float64, ok bool) {
	for _, r := range c.art.Regions {
		if r.ID != id && r.Element != id && !slices.Contains(r.Groups, id) {
			continue
		}
		if r.Open() {
			return r.Lines[0], 0, true
		}
		if r.Stroke {
			if line, half, ok := alongStroke(r.Shape); ok {
				return line, half, true
			}
		}
		var best geom.Ring
		for _, ring := range r.Shape.Rings {
			if best == nil || ring.Area() > best.Area() {
				best = ring
			}
		}
		return append(append(geom.Line{}, best...), best[0]), 0, true
	}
	return nil, 0, false
}

// alongStroke gives the centre line of a stroke from end to end, and half its width;
// false for one that goes round or branches, whose outline is as good a line.
func alongStroke(s geom.Shape) (line geom.Line, half float64, ok bool) {
	if len(s.Rings) != 1 {
		return nil, 0, false
	}
	tree := geom.CentreLine(s, geom.CentreOptions{ExtendEnds: artwork.Sliver})
	if len(tree.Arcs) != 1 || tree.Arcs[0].Closed || len(tree.Arcs[0].Points) < 2 {
		return nil, 0, false
	}
	for _, r := range tree.Arcs[0].Radii {
		half = max(half, r)
	}
	return tree.Arcs[0].Points, half, true
}
