package trial

import (
	"context"
	"fmt"
	"math"
	"slices"

	"brushfall/internal/geom"
	"brushfall/internal/layout"
)

// Speed is how long one region of about Asked stones takes, in seconds: the
// median of some runs.
type Speed struct {
	Asked   int           `json:"asked"`
	Effort  layout.Effort `json:"-"`
	Stones  int           `json:"stones"`
	Seconds float64       `json:"seconds"`
	Target  float64       `json:"target_seconds"`
}

// speeds lists what is timed, and the targets on two cores.
func speeds() []Speed {
	return []Speed{
		{Asked: 1000, Effort: layout.Live, Target: 0.05},
		{Asked: 10_000, Effort: layout.Live, Target: 0.6},
		{Asked: 100_000, Effort: layout.Live, Target: 8},
		{Asked: 1000, Effort: layout.Final, Target: 5},
	}
}

// timings is how many runs a median is taken of: more where they are short.
func timings(asked int) int {
	if asked > 10_000 {
		return 3
	}
	return 5
}

// Time measures how long regions of SS10 take, without a treatment asked for.
func Time(ctx context.Context, clock func() float64, progress func()) ([]Speed, error) {
	const diameter, gap = 2.9, 0.9
	out := speeds()
	for i := range out {
		c := Case{Shape: Shape{Name: "blob", Area: Blob(out[i].Asked, diameter, diameter+gap)}, Size: "SS10", Diameter: diameter, Gap: gap}
		var took []float64
		for range timings(out[i].Asked) {
			start := clock()
			res, _, err := Lay(ctx, c, Setting{Effort: out[i].Effort})
			if err != nil {
				return nil, err
			}
			took = append(took, clock()-start)
			out[i].Stones = len(res.Stones)
		}
		slices.Sort(took)
		out[i].Seconds = took[len(took)/2]
		if progress != nil {
			progress()
		}
	}
	return out, nil
}

// mostGrowth is the target for the exponent of time over stones, live.
const mostGrowth = 1.1

// growth gives that exponent between the smallest and the largest live region.
func growth(all []Speed) float64 {
	var live []Speed
	for _, s := range all {
		if s.Effort == layout.Live {
			live = append(live, s)
		}
	}
	if len(live) < 2 {
		return math.NaN()
	}
	a, b := live[0], live[len(live)-1]
	return math.Log(b.Seconds/a.Seconds) / math.Log(float64(b.Stones)/float64(a.Stones))
}

// Name says what was timed.
func (s Speed) Name() string {
	return fmt.Sprintf("%d stones, %s", s.Stones, effortName(s.Effort))
}

func effortName(e layout.Effort) string {
	if e == layout.Live {
		return "live"
	}
	return "final"
}

// Blob is a wavy disc that holds about n stones of the pitch: a region with
// neither corners nor symmetry, for speed.
func Blob(n int, diameter, pitch float64) geom.Shape {
	area := float64(n) * pitch * pitch * math.Sqrt(3) / 2
	// The mean of the squared radius over the turn is 1 + (0.2² + 0.07²)/2.
	r := math.Sqrt(area/math.Pi/(1+(0.2*0.2+0.07*0.07)/2)) + diameter/2
	ring := curve(func(t float64) geom.Point {
		sin, cos := math.Sincos(t)
		k := r * (1 + 0.2*math.Cos(3*t) + 0.07*math.Sin(7*t))
		return geom.Point{X: k * cos, Y: k * sin}
	})
	return stand(geom.Fill([]geom.Ring{ring}, geom.NonZero), 1)
}
