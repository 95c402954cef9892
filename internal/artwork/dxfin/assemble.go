package dxfin

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"unicode"

	"brushfall/internal/artwork"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// found is a region with its place in the drawing.
type found struct {
	artwork.Region
	order int
}

// assemble makes the drawing: its extent is moved to the origin, and each
// layer's colours become regions.
func assemble(paths []path, tolerance float64, notes *notes) (artwork.Drawing, error) {
	if len(paths) == 0 {
		return artwork.Drawing{}, nothing(notes)
	}
	box := toOrigin(paths)
	var regions []found
	for _, group := range byLayerAndColour(paths) {
		if err := checkTangle(group); err != nil {
			return artwork.Drawing{}, err
		}
		closed, open := join(group, tolerance, notes)
		regions = append(regions, areas(singleOutlines(closed, notes), notes)...)
		for _, p := range open {
			r := region(p)
			r.Stroke = true
			r.Lines = []geom.Line{p.points}
			regions = append(regions, r)
		}
	}
	if len(regions) == 0 {
		return artwork.Drawing{}, nothing(notes)
	}
	sort.SliceStable(regions, func(i, j int) bool { return regions[i].order < regions[j].order })
	d := artwork.Drawing{Width: box.Width(), Height: box.Height(), Warnings: notes.warnings()}
	counts := map[string]int{}
	for _, r := range regions {
		name := slug(r.Layer)
		counts[name]++
		r.ID = fmt.Sprintf("%s-%d", name, counts[name])
		d.Regions = append(d.Regions, r.Region)
	}
	return d, nil
}

// nothing is the fault for a drawing without a single outline.
func nothing(notes *notes) error {
	why := ""
	if w := notes.warnings(); len(w) > 0 {
		last := w[len(w)-1]
		why = ". " + last.Message
		if last.Where != "" {
			why = ". " + last.Where + ": " + last.Message
		}
	}
	return fault.New("dxf-empty", "", "nothing in the drawing can become stones: it needs lines, arcs, circles, polylines or splines in the model space%s", why)
}

// toOrigin moves all paths so that their extent begins at the origin.
func toOrigin(paths []path) geom.Box {
	box := geom.EmptyBox()
	for _, p := range paths {
		box = box.Join(geom.Bounds(p.points))
	}
	corner := geom.Point{X: box.MinX, Y: box.MinY}
	for _, p := range paths {
		for i := range p.points {
			p.points[i] = p.points[i].Sub(corner)
		}
	}
	return box
}

// byLayerAndColour groups paths in the order of the groups' first ones.
func byLayerAndColour(paths []path) [][]path {
	place := map[[2]string]int{}
	var groups [][]path
	for _, p := range paths {
		k := [2]string{fold(p.layer), p.paint}
		i, ok := place[k]
		if !ok {
			i = len(groups)
			place[k] = i
			groups = append(groups, nil)
		}
		groups[i] = append(groups[i], p)
	}
	return groups
}

// areas reads the outlines even-odd together and gives the connected areas.
func areas(outlines []path, notes *notes) []found {
	rings := make([]geom.Ring, len(outlines))
	for i, p := range outlines {
		rings[i] = p.points
	}
	shape := geom.Fill(rings, geom.EvenOdd)
	if shape.Empty() {
		for _, p := range outlines {
			notes.add("dxf-nothing", p.from.where(), "it encloses nothing and was left out")
		}
		return nil
	}
	owners := ownersOf(outlines)
	var out []found
	for _, part := range shape.Components() {
		r := region(outlines[owner(part.Rings[0], owners)])
		r.Shape = part
		out = append(out, r)
	}
	return out
}

// gridPoint is a point in the steps of 1e-5 mm that geom.Fill rounds to.
type gridPoint [2]int64

func onGrid(p geom.Point) gridPoint {
	return gridPoint{int64(math.Round(p.X * 1e5)), int64(math.Round(p.Y * 1e5))}
}

// ownersOf says which outline each vertex comes from, the first one if several.
func ownersOf(outlines []path) map[gridPoint]int {
	owners := map[gridPoint]int{}
	for i, p := range outlines {
		for _, q := range p.points {
			if _, taken := owners[onGrid(q)]; !taken {
				owners[onGrid(q)] = i
			}
		}
	}
	return owners
}

// owner gives the outline that a ring's first known vertex comes from; a ring
// that is made of crossings only counts as the first outline's.
func owner(r geom.Ring, owners map[gridPoint]int) int {
	for _, p := range r {
		if i, ok := owners[onGrid(p)]; ok {
			return i
		}
	}
	return 0
}

func region(p path) found {
	return found{order: p.order, Region: artwork.Region{
		Element: p.from.handle,
		Groups:  p.groups,
		Layer:   p.layer,
		Paint:   p.paint,
		Where:   p.from.where(),
	}}
}

// slug makes a layer's name fit for an id.
func slug(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '-' || r == '_' {
			return unicode.ToLower(r)
		}
		return '-'
	}, name)
}
