package trial

import (
	"context"
	"fmt"
	"io"
	"math"
	"slices"
	"text/tabwriter"

	"brushfall/internal/geom"
	"brushfall/internal/layout"
)

// Change is how long a large design takes after a change to one of its regions:
// each region's gap is changed in turn. Times are seconds, medians and the longest
// over the regions; Whole is that of laying all of it anew.
type Change struct {
	Stones  int     `json:"stones"`
	Regions int     `json:"regions"`
	Whole   float64 `json:"whole_seconds"`
	Median  float64 `json:"median_seconds"`
	Longest float64 `json:"longest_seconds"`
	Laid    int     `json:"laid_again_median"`
	Most    int     `json:"laid_again_most"`
	Slowest string  `json:"slowest"`
	Target  float64 `json:"target_seconds"`
}

// QuiltRegions is the number of regions of the design that changes are made to.
const QuiltRegions = quiltColumns * quiltRows

// That design, and the target on two cores.
const (
	quiltColumns = 7
	quiltRows    = 4
	quiltStones  = 6300 // that a full honeycomb would have: about 5,000 in strokes and rims
	quiltNear    = 0.93 // the step from outline to outline, in their longer sides: some overlap
	gapStep      = 0.1  // by how much a gap is changed, in mm
	changeTarget = 0.05 // seconds
)

// Quilt is a design of many of the standard outlines side by side, the corners of
// some over those of others, as large as so many stones of SS10 in
// honeycombs.
func Quilt(shapes []Shape, stones int) layout.Request {
	const diameter, gap = 2.9, 0.9
	var picked [QuiltRegions]geom.Shape
	area := 0.0
	for i := range picked {
		s := shapes[i*len(shapes)/QuiltRegions].Area
		picked[i] = stand(s, 1/longest(s))
		area += picked[i].Area()
	}
	side := math.Sqrt(float64(stones) * (diameter + gap) * (diameter + gap) * math.Sqrt(3) / 2 / area)
	req := layout.Request{Effort: layout.Live}
	for i, s := range picked {
		x, y := float64(i%quiltColumns), float64(i/quiltColumns)
		at := geom.Translate(quiltNear*side*x, quiltNear*side*y).Mul(geom.Scale(side, side))
		req.Regions = append(req.Regions, layout.Region{
			ID: fmt.Sprintf("%d, %s", i+1, shapes[i*len(shapes)/QuiltRegions].Name), Shape: s.Transform(at),
			Size: "SS10", Colour: colour, Diameter: diameter, Gap: gap,
		})
	}
	return req
}

// TimeChange measures how long a change takes.
func TimeChange(ctx context.Context, shapes []Shape, clock func() float64, progress func()) (*Change, error) {
	req := Quilt(shapes, quiltStones)
	out := &Change{Regions: len(req.Regions), Target: changeTarget}
	timed := func() (float64, error) {
		start := clock()
		res, err := layout.Run(ctx, req, nil)
		out.Stones = len(res.Stones)
		return clock() - start, err
	}
	var whole, took []float64
	for range timings(quiltStones) {
		t, err := timed()
		if err != nil {
			return nil, err
		}
		whole = append(whole, t)
	}
	var laid []int
	req.Memory = &layout.Memory{}
	for i := range req.Regions {
		if _, err := timed(); err != nil {
			return nil, err
		}
		was := req.Regions[i].Gap
		req.Regions[i].Gap = was + gapStep
		t, err := timed()
		if err != nil {
			return nil, err
		}
		req.Regions[i].Gap = was
		took, laid = append(took, t), append(laid, req.Memory.Fresh())
		if t > out.Longest {
			out.Longest, out.Slowest = t, req.Regions[i].ID
		}
		if progress != nil {
			progress()
		}
	}
	slices.Sort(whole)
	slices.Sort(took)
	slices.Sort(laid)
	out.Whole, out.Median = whole[len(whole)/2], took[len(took)/2]
	out.Laid, out.Most = laid[len(laid)/2], laid[len(laid)-1]
	return out, nil
}

func (r Report) printChange(w io.Writer) error {
	if r.Change == nil {
		return nil
	}
	l := *r.Change
	fmt.Fprintf(w, "\nTime for one changed gap in a design of %d stones in %d regions, live:\n\n", l.Stones, l.Regions)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "all laid anew\t%.3f s\n", l.Whole)
	fmt.Fprintf(t, "with memory, median\t%.3f s\t\t\t%d laid again\n", l.Median, l.Laid)
	fmt.Fprintf(t, "with memory, longest\t%.3f s\t≤ %.2f s\t%s\t%d laid again at most; longest for %s\n", l.Longest, l.Target, verdict(l.Longest <= l.Target), l.Most, l.Slowest)
	return t.Flush()
}
