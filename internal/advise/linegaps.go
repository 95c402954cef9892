package advise

import (
	"brushfall/internal/artwork"
	"brushfall/internal/geom"
)

// hair is how wide open lines are drawn, in mm, to find the gaps between them: they
// have no width, and their stones stand on them.
const hair = 0.1

// leastEye leaves out slits that were never meant to be seen, as where the pen of a
// script goes back beside its own stroke: gaps narrower than this share of the height of
// the lines on both sides. The eye of an e is a quarter of its height.
const leastEye = 0.1

// lineGaps gives the gaps between open lines, and between two stretches of one, as in
// the eye of an e that is a single line. Stones on both sides close them as they close
// gaps between areas.
func lineGaps(d artwork.Drawing) []gap {
	var hairs artwork.Drawing
	for _, r := range d.Regions {
		if r.Open() {
			style := geom.StrokeStyle{Width: hair, Cap: geom.ButtCap, Join: geom.RoundJoin}
			r.Shape, r.Lines = geom.Stroke(r.Lines, nil, style, seamError), nil
			hairs.Regions = append(hairs.Regions, r)
		}
	}
	if len(hairs.Regions) == 0 {
		return nil
	}
	high := map[string]float64{}
	for _, r := range d.Regions {
		high[r.ID] = r.Bounds().Height()
	}
	var out []gap
	for _, g := range gapsOf(hairs, newSides(hairs)) {
		if g.Width += hair; g.Width >= leastEye*min(high[g.Region], high[g.Other]) {
			out = append(out, g)
		}
	}
	return out
}
