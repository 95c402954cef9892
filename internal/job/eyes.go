package job

import (
	"fmt"
	"math"
	"strings"

	"brushfall/internal/artwork"
	"brushfall/internal/artwork/lettering"
	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/layout"
)

// eyeNotes tells of every counter of a letter, the eye of an e or an A, that looks
// shut among its stones: what stays clear in it is no wider than the holes between the
// stones of a full bed, which are 2p/√3 − d across for a pitch p. It says at what
// height of a capital the eye opens: where its widest place, less what the stones
// round it stand over its edge now, is wider than those holes.
func eyeNotes(d artwork.Drawing, doc design.Document, sets []lettering.Set) []layout.Note {
	if len(sets) == 0 {
		return nil
	}
	stones := map[string][]geom.Point{}
	for _, s := range doc.Stones {
		stones[s.Region] = append(stones[s.Region], geom.Point{X: s.X, Y: s.Y})
	}
	diameters, pitches := map[string]float64{}, map[string]float64{}
	for _, k := range doc.Kinds {
		diameters[k.Size] = k.Diameter
	}
	sizes := map[string]string{}
	for _, r := range doc.Regions {
		pitches[r.ID], sizes[r.ID] = r.Pitch, r.Size
	}
	var out []layout.Note
	for _, r := range d.Regions {
		set, ok := setOf(r, sets)
		if !ok || len(stones[r.ID]) == 0 {
			continue
		}
		diameter := diameters[sizes[r.ID]]
		void := 2*pitches[r.ID]/math.Sqrt(3) - diameter
		if opens := opening(r.Shape, stones[r.ID], diameter, void); opens > 1 {
			out = append(out, layout.Note{Code: "eye-shut", Region: r.ID, Message: fmt.Sprintf(
				"an eye of %s looks shut among %s stones at capitals of %.0f mm: it opens from about %.0f mm, or take smaller stones",
				strings.TrimPrefix(r.Where, "lettering "+set.ID+", "), sizes[r.ID], set.Capital, math.Ceil(opens*set.Capital))})
		}
	}
	return out
}

// setOf gives the piece of lettering that a region is of; outlines have no eyes.
func setOf(r artwork.Region, sets []lettering.Set) (lettering.Set, bool) {
	for _, s := range sets {
		for _, g := range r.Groups {
			if g == s.ID+"-fill" {
				return s, true
			}
		}
	}
	return lettering.Set{}, false
}

// leastEye leaves out the slits between strokes that were never meant to be seen, as
// in the joins of a script: holes narrower than this share of the stones at their
// widest are not worth a larger design.
const leastEye = 0.25

// opening gives how many times larger a letter must be for its narrowest eye to be
// open, 1 or less if all are.
func opening(s geom.Shape, stones []geom.Point, diameter, void float64) float64 {
	times := 0.0
	for _, ring := range s.Rings {
		if ring.Area() >= 0 {
			continue
		}
		middle, radius := widest(ring)
		if 2*radius < leastEye*diameter {
			continue
		}
		clear := math.Inf(1)
		for _, p := range stones {
			clear = math.Min(clear, 2*p.Dist(middle)-diameter)
		}
		if clear > void {
			continue
		}
		over := math.Max(0, 2*radius-clear)
		times = math.Max(times, (void+over)/(2*radius))
	}
	return times
}

// widest gives the middle and the radius of the largest circle in a hole: the deepest
// of the points of a grid, then nearer about the best.
func widest(hole geom.Ring) (geom.Point, float64) {
	s := geom.Fill([]geom.Ring{hole}, geom.NonZero)
	outline := geom.NewBoundary(s)
	box := s.Bounds()
	best, depth := geom.Point{X: (box.MinX + box.MaxX) / 2, Y: (box.MinY + box.MaxY) / 2}, math.Inf(-1)
	step := math.Max(box.Width(), box.Height()) / 2
	for range 4 {
		about := best
		const half = 8
		for i := -half; i <= half; i++ {
			for k := -half; k <= half; k++ {
				p := about.Add(geom.Point{X: float64(i), Y: float64(k)}.Mul(step / half))
				if d := outline.Depth(p); d > depth {
					best, depth = p, d
				}
			}
		}
		step /= half / 2
	}
	return best, depth
}
