package job

import (
	"context"
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
// height of a capital the eye opens, for which it lays the letter larger.
func eyeNotes(ctx context.Context, d artwork.Drawing, req layout.Request, stones []design.Stone, sets []lettering.Set) ([]layout.Note, error) {
	if len(sets) == 0 {
		return nil, nil
	}
	of := map[string][]geom.Point{}
	for _, s := range stones {
		of[s.Region] = append(of[s.Region], geom.Point{X: s.X, Y: s.Y})
	}
	asked := map[string]layout.Region{}
	for _, r := range req.Regions {
		asked[r.ID] = r
	}
	var out []layout.Note
	for _, r := range d.Regions {
		set, ok := setOf(r, sets)
		how, known := asked[r.ID]
		if !ok || !known || len(of[r.ID]) == 0 {
			continue
		}
		if times := opening(how, of[r.ID]); times > 0 {
			height, err := opensAt(ctx, how, set.Capital, times, req.Repeats)
			if err != nil {
				return nil, err
			}
			what := strings.TrimPrefix(r.Where, "lettering "+set.ID+", ")
			out = append(out, layout.Note{Code: "eye-shut", Region: r.ID, Message: fmt.Sprintf(
				"an eye of %s looks shut among %s stones at capitals of %.0f mm: %s", what, how.Size, set.Capital, height)})
		}
	}
	return out, nil
}

// The search for the height that opens an eye: from where its widest place allows it,
// in strides that are small to the eye, to four times that and no further.
const (
	eyeStride  = 1.06
	eyeStrides = 24
	eyeSure    = 3
)

// opensAt says at what height of a capital, in whole mm, the eyes of a letter are open,
// found by laying it in the quick way; times is where to begin.
func opensAt(ctx context.Context, r layout.Region, capital, times float64, repeats *layout.Repeats) (string, error) {
	box := r.Shape.Bounds()
	r.Shape = r.Shape.Shift(geom.Snap(geom.Point{X: -box.MinX, Y: -box.MinY})) // the answer is the same wherever it stands
	open := 0                                                                  // strides in a row: a whole stone's jump may open one height alone
	for range eyeStrides {
		height := math.Ceil(times * capital)
		if height > capital {
			k := height / capital
			larger := r
			larger.Shape = r.Shape.Transform(geom.Scale(k, k))
			laid, err := layout.Run(ctx, layout.Request{Effort: layout.Live, Regions: []layout.Region{larger}, Repeats: repeats}, nil)
			if err != nil {
				return "", err
			}
			var at []geom.Point
			for _, s := range laid.Stones {
				at = append(at, geom.Point{X: s.X, Y: s.Y})
			}
			if open++; len(at) == 0 || opening(larger, at) > 0 {
				open = 0
			}
			if open == eyeSure {
				return fmt.Sprintf("it opens from about %.0f mm, or take smaller stones", height), nil
			}
		}
		times = math.Max(times, 1) * eyeStride
	}
	return "take smaller stones", nil
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
const leastEye = 0.1

// opening gives how many times larger a letter must be at least for its narrowest eye
// to be open, its widest place being what it is and its stones standing over its edge
// as they do; 0 if all are open.
func opening(r layout.Region, stones []geom.Point) float64 {
	void := 2*r.Pitch()/math.Sqrt(3) - r.Diameter
	times := 0.0
	for _, ring := range r.Shape.Rings {
		if ring.Area() >= 0 {
			continue
		}
		middle, radius := widest(ring)
		if 2*radius < leastEye*r.Diameter {
			continue
		}
		clear := math.Inf(1)
		for _, p := range stones {
			clear = math.Min(clear, 2*p.Dist(middle)-r.Diameter)
		}
		if clear > void {
			continue
		}
		times = math.Max(times, void/(2*radius))
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
