package lettering

import (
	"fmt"
	"slices"
	"strings"

	"brushfall/internal/artwork"
	"brushfall/internal/geom"
)

// What letters and outlines are painted with in the drawing, for rules that go by it.
const (
	FillPaint    = "#000000"
	OutlinePaint = "#ffffff"
)

// draw gives the regions of a piece: one for each letter, or for several that join,
// then those of its outline.
func (c *composer) draw(i int, p placed) ([]artwork.Region, error) {
	text, err := p.piece.shape(c.faces[i], fine*c.faces[i].capital/p.capital, c.known)
	if err != nil {
		return nil, err
	}
	letters, _, err := p.piece.put(text, p.capital, c.path)
	if err != nil {
		return nil, err
	}
	for k, l := range letters {
		letters[k] = l.mapped(func(q geom.Point) geom.Point { return q.Add(p.by) })
	}
	var out []artwork.Region
	for n, g := range grouped(letters) {
		r := p.piece.region("fill", n+1, FillPaint)
		r.Where = fmt.Sprintf("lettering %s, %q", p.piece.ID, g.text)
		r.Shape, r.Lines = g.shape, g.lines
		out = append(out, r)
	}
	return append(out, p.piece.ring(out)...), nil
}

// region makes a region of a piece, without its area.
func (p Piece) region(part string, n int, paint string) artwork.Region {
	return artwork.Region{
		ID: fmt.Sprintf("%s-%s-%d", p.ID, part, n), Element: fmt.Sprintf("%s-%s", p.ID, part),
		Groups: []string{p.ID, p.ID + "-" + part}, Classes: []string{"lettering", part},
		Paint: paint, Where: "lettering " + p.ID,
	}
}

// group is a letter, or letters that overlap, as one area.
type group struct {
	text  string
	shape geom.Shape
	lines []geom.Line
}

// grouped joins letters that share an area, directly or through others, in the order
// of the first of each; letters without ink are left out.
func grouped(letters []letter) []group {
	of := make([]int, len(letters)) // the first letter of its group
	for i, l := range letters {
		of[i] = i
		for k := range i {
			if of[k] != of[i] && overlap(letters[k], l) {
				from, to := max(of[i], of[k]), min(of[i], of[k])
				for m := range i + 1 {
					if of[m] == from {
						of[m] = to
					}
				}
			}
		}
	}
	var out []group
	for i, l := range letters {
		if of[i] != i || !l.inked() {
			continue
		}
		g := group{lines: l.lines}
		var shapes []geom.Shape
		for k := range letters {
			if of[k] == i {
				g.text += letters[k].text
				shapes = append(shapes, geom.Shape{Rings: letters[k].rings})
			}
		}
		g.shape = united(shapes)
		out = append(out, g)
	}
	return slices.DeleteFunc(out, func(g group) bool { return g.shape.Empty() && len(g.lines) == 0 })
}

// united joins the letters of a group, as a shape on the grid of normalised ones. It
// does so where the group's box begins, so that a letter comes out the same, to the
// last bit, wherever it stands in a word.
func united(shapes []geom.Shape) geom.Shape {
	box := geom.EmptyBox()
	for _, s := range shapes {
		box = box.Join(s.Bounds())
	}
	if box.MaxX < box.MinX {
		return geom.Shape{}
	}
	there := make([]geom.Shape, len(shapes))
	for i, s := range shapes {
		there[i] = s.Transform(geom.Translate(-box.MinX, -box.MinY))
	}
	return geom.Union(there...).Shift(geom.Snap(geom.Point{X: box.MinX, Y: box.MinY}))
}

// ring gives the regions of the outline round the letters: a band, one region for
// each part of it that hangs together.
func (p Piece) ring(fill []artwork.Region) []artwork.Region {
	if p.Outline.Width == 0 {
		return nil
	}
	var shapes []geom.Shape
	for _, r := range fill {
		shapes = append(shapes, r.Shape)
	}
	all := geom.Union(shapes...)
	band := geom.Subtract(geom.Inset(all, -p.Outline.grown(), fine), geom.Inset(all, -p.Outline.Gap, fine))
	var out []artwork.Region
	for n, part := range band.Components() {
		r := p.region("outline", n+1, OutlinePaint)
		r.Where += ", outline"
		r.Shape = part
		out = append(out, r)
	}
	return out
}

// cleared cuts away what lies under letters or nearer to them than clear, in mm, and the
// islands that are then left inside and between them.
func cleared(regions, letters []artwork.Region, clear, capital float64) []artwork.Region {
	var cover []geom.Shape
	for _, r := range letters {
		if r.Open() {
			cover = append(cover, geom.Stroke(r.Lines, nil, geom.StrokeStyle{Width: 2 * max(clear, artwork.Sliver), Cap: geom.RoundCap, Join: geom.RoundJoin}, fine))
		} else {
			cover = append(cover, geom.Inset(r.Shape, -clear, fine))
		}
	}
	area := geom.Union(cover...)
	var out []artwork.Region
	for _, r := range regions {
		if r.Bounds().Overlaps(area.Bounds()) {
			if r.Open() {
				r.Lines = artwork.CutLines(r.Lines, area, false)
			} else {
				r.Shape = withoutIslands(r.Shape, geom.Subtract(r.Shape, area), leastIsland*capital*capital)
			}
		}
		if r.Open() || !r.Shape.Empty() {
			out = append(out, r)
		}
	}
	return out
}

// leastIsland is the area, in squares of the height of a capital, below which what is
// left of the artwork in the eye of a letter or between two has no stones: a few of
// another colour there make the letter harder to read (chosen by eye).
const leastIsland = 0.25

// withoutIslands leaves out the parts of a shape smaller than an area that cutting has
// made; parts that were there before stay.
func withoutIslands(before, after geom.Shape, least float64) geom.Shape {
	was := map[geom.Box]bool{}
	for _, part := range before.Components() {
		was[part.Bounds()] = true
	}
	var out geom.Shape
	for _, part := range after.Components() {
		if part.Area() >= least || was[part.Bounds()] {
			out.Rings = append(out.Rings, part.Rings...)
		}
	}
	return out
}

// named gives regions ids that none of the others has.
func (c *composer) named(others, regions []artwork.Region) []artwork.Region {
	taken := map[string]bool{}
	for _, list := range [][]artwork.Region{c.art.Regions, others} {
		for _, r := range list {
			taken[r.ID] = true
		}
	}
	for i := range regions {
		for taken[regions[i].ID] {
			regions[i].ID = strings.TrimSpace(regions[i].ID + "-letter")
		}
		taken[regions[i].ID] = true
	}
	return regions
}
