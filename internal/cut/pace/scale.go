package pace

import (
	"math"

	"brushfall/internal/fault"
)

// Timing is a sheet whose cutting was timed: what Of said of it, and what the
// clock said, in s.
type Timing struct{ Moving, Lifts, Took float64 }

// Scale is by how much a cutter is slower than was estimated: its moves and its
// lifts. The zero Scale is 1 for both.
type Scale struct{ Moving, Lifts float64 }

// Bounds of a scale: outside them something else is wrong, such as a length in
// inches or minutes for seconds.
const leastScale, mostScale = 0.1, 10

// leastApart is how different the shares of moving and lifts of the timed sheets
// must be: the squared sine of the angle between the two as vectors. Below it
// the errors of a stopwatch, about 1 %, would come out tenfold.
const leastApart = 0.01

// Calibrate finds the scales with Σ (a·moving + b·lifts − took)² least, from two
// or more timings: two equations in two unknowns (Gauss's normal equations),
// exact for two timings. Fault "cut-timing": less than two timings, a time that
// is none, sheets too much alike to tell moving from lifts, or a scale that no
// cutter has.
func Calibrate(timings []Timing) (Scale, error) {
	if len(timings) < 2 {
		return Scale{}, fault.New("cut-timing", "", "one timing cannot tell moving from lifts: time two sheets, one with many small holes and one with few long cuts")
	}
	var mm, ml, ll, mt, lt float64
	for _, t := range timings {
		for _, v := range []float64{t.Moving, t.Lifts, t.Took} {
			if !(v > 0 && v < 1e6) {
				return Scale{}, fault.New("cut-timing", "", "a time of %g s is not possible: give seconds above 0", v)
			}
		}
		mm, ml, ll = mm+t.Moving*t.Moving, ml+t.Moving*t.Lifts, ll+t.Lifts*t.Lifts
		mt, lt = mt+t.Moving*t.Took, lt+t.Lifts*t.Took
	}
	det := mm*ll - ml*ml
	if det < leastApart*mm*ll {
		return Scale{}, fault.New("cut-timing", "", "the timed sheets are too much alike to tell moving from lifts: time one with many small holes and one with few long cuts")
	}
	s := Scale{Moving: (mt*ll - lt*ml) / det, Lifts: (lt*mm - mt*ml) / det}
	if least, most := math.Min(s.Moving, s.Lifts), math.Max(s.Moving, s.Lifts); !(least >= leastScale && most <= mostScale) {
		return Scale{}, fault.New("cut-timing", "", "by these timings moves take %.2f and lifts %.2f times as long as estimated, which cannot be: check speed, travel, acceleration, lift and the clock", s.Moving, s.Lifts)
	}
	return s, nil
}

// Scaled gives the estimate for the cutter that the scale is of.
func (e Estimate) Scaled(s Scale) Estimate {
	if s == (Scale{}) {
		return e
	}
	e.Moving, e.Lifts = e.Moving*s.Moving, e.Lifts*s.Lifts
	return e
}
