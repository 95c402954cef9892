package gauge

import (
	"encoding/csv"
	"errors"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"brushfall/internal/fault"
)

// Bounds of a sample: fewer stones say nothing, and stones of 0.5 to 20 mm are
// all there are. A scatter of a millimetre is no cutter's.
const (
	leastStones, mostStones = 3, 10_000
	leastStone, mostStone   = 0.5, 20.0
	mostScatter             = 1.0
	mostBytes               = 1 << 20
)

// confidence is that of the intervals.
const confidence = 0.95

// Sample is a handful of measured stones and the holes they are to fall into.
// HoleSD is the standard deviation of the holes that the cutter makes, known from
// elsewhere; Play is how much narrower than its hole a stone must be to fall in.
type Sample struct {
	Diameters    []float64
	HoleSD, Play float64
}

// Stones is what the measured stones say: how many, their mean and their standard
// deviation.
type Stones struct {
	N        int
	Mean, SD float64
}

// Share is an estimated share from 0 to 1 with its 95 % confidence interval.
type Share struct{ P, Low, High float64 }

// ReadDiameters reads diameters in mm: numbers with commas, semicolons or line
// ends between them, or a table of which the column "diameter" is taken. Faults:
// "sample-number", "sample-size".
func ReadDiameters(r io.Reader) ([]float64, error) {
	text, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil || len(text) > mostBytes {
		return nil, fault.New("sample-size", "", "the diameters cannot be read, or are more than %d KB", mostBytes>>10)
	}
	c := csv.NewReader(strings.NewReader(strings.TrimPrefix(strings.ReplaceAll(string(text), ";", ","), "\ufeff")))
	c.FieldsPerRecord, c.TrimLeadingSpace = -1, true
	var out []float64
	column := -1
	for row := 1; ; row++ {
		fields, err := c.Read()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, fault.New("sample-number", "line "+strconv.Itoa(row), "this is not a list or a table of numbers: %v", err)
		}
		if row == 1 {
			column = slices.IndexFunc(fields, func(f string) bool { return strings.HasPrefix(strings.ToLower(strings.TrimSpace(f)), "diameter") })
			if column >= 0 {
				continue
			}
		}
		for i, f := range fields {
			f = strings.TrimSpace(f)
			if f == "" || (column >= 0 && i != column) {
				continue
			}
			d, err := strconv.ParseFloat(f, 64)
			if err != nil || !(d >= leastStone && d <= mostStone) {
				return nil, fault.New("sample-number", "line "+strconv.Itoa(row), "%.30q is no diameter in mm; write 2.81, from %g to %g", f, leastStone, mostStone)
			}
			if out = append(out, d); len(out) > mostStones {
				return nil, fault.New("sample-size", "", "there are more than %d diameters", mostStones)
			}
		}
	}
}

// Check refuses a sample that says nothing. Faults: "sample-size", "sample-scatter".
func (s Sample) Check() error {
	switch {
	case len(s.Diameters) < leastStones:
		return fault.New("sample-size", "", "%d diameters are too few; measure at least %d stones, better 20", len(s.Diameters), leastStones)
	case !(s.HoleSD >= 0 && s.HoleSD <= mostScatter):
		return fault.New("sample-scatter", "", "a scatter of %g mm of the holes cannot be; give 0 to %g mm", s.HoleSD, mostScatter)
	case !(s.Play >= 0 && s.Play <= mostScatter):
		return fault.New("sample-scatter", "", "a play of %g mm cannot be; give 0 to %g mm", s.Play, mostScatter)
	case !(s.Stones().SD > 0):
		return fault.New("sample-scatter", "", "all stones measure alike; measure them to 0.01 mm")
	}
	return nil
}

// Stones gives mean and standard deviation, that with n − 1.
func (s Sample) Stones() Stones {
	mean, sd := stat.MeanStdDev(s.Diameters, nil)
	return Stones{len(s.Diameters), mean, sd}
}

// scatter gives the standard deviation of stone less hole: that of a difference of
// two independent normals.
func (s Sample) scatter() float64 { return math.Hypot(s.Stones().SD, s.HoleSD) }

// Refused gives the expected share of stones that do not fall into holes of the
// mean width: P(stone + play > hole) = Φ((mean stone + play − hole) / √(s² + h²)).
// The interval is the generalized one of Weerahandi (J. Amer. Statist. Assoc. 88,
// 1993), for HoleSD 0 the exact one of the noncentral t; docs/gauge.md has the
// formulas and their sources. The sample must pass Check.
func (s Sample) Refused(hole float64) Share {
	b := s.belief()
	return Share{
		P:    phi((s.Stones().Mean + s.Play - hole) / s.scatter()),
		Low:  b.share(hole-s.Play, (1-confidence)/2),
		High: b.share(hole-s.Play, (1+confidence)/2),
	}
}

// LeastHole gives the narrowest mean hole that keeps the expected share of
// refusals at or under share (0 to 1), and the one that keeps the upper end of the
// interval there.
func (s Sample) LeastHole(share float64) (expected, sure float64) {
	st, sd := s.Stones(), s.scatter()
	expected = st.Mean + s.Play + sd*distuv.UnitNormal.Quantile(1-share)
	low, high := expected, expected+sd
	for s.Refused(high).High > share && high < expected+100*sd {
		high += high - expected
	}
	for range 50 {
		if middle := (low + high) / 2; s.Refused(middle).High > share {
			low = middle
		} else {
			high = middle
		}
	}
	return expected, high
}

func phi(z float64) float64 { return distuv.UnitNormal.CDF(z) }

// Of the integral over the chi-squared distribution: so much of it is left out at
// each end, and so many points are looked at between. Published tolerance factors
// come out to their last digit.
const (
	leftOut = 1e-12
	points  = 96
)

// belief is what a sample says of mean and scatter of all stones: the scatter is
// one of sd with its weight, and given that the mean is normal around that of the
// sample. It is s·√((n−1)/V) with V chi-squared, and x̄ + Z·scatter/√n.
type belief struct {
	mean, root, holeSD float64
	sd, weight         []float64
}

func (s Sample) belief() belief {
	st := s.Stones()
	freedom := float64(st.N - 1)
	v := distuv.ChiSquared{K: freedom}
	b := belief{mean: st.Mean, root: math.Sqrt(float64(st.N)), holeSD: s.HoleSD}
	low, high := math.Sqrt(v.Quantile(leftOut)/freedom), math.Sqrt(v.Quantile(1-leftOut)/freedom)
	y, w := make([]float64, points), make([]float64, points)
	quad.Legendre{}.FixedLocations(y, w, low, high)
	for i := range y {
		b.sd = append(b.sd, st.SD/y[i])
		b.weight = append(b.weight, w[i]*v.Prob(freedom*y[i]*y[i])*2*freedom*y[i])
	}
	return b
}

// share gives the share of stones wider than width that is not exceeded with the
// probability: by bisection over its normal quantile.
func (b belief) share(width, probability float64) float64 {
	low, high := -40.0, 40.0
	for range 60 {
		if z := (low + high) / 2; b.below(width, z) < probability {
			low = z
		} else {
			high = z
		}
	}
	return phi((low + high) / 2)
}

// below gives the probability that the share of stones wider than width is at most
// Φ(z): the mean of it over the scatters.
func (b belief) below(width, z float64) float64 {
	sum := 0.0
	for i, sd := range b.sd {
		sum += b.weight[i] * phi(b.root/sd*(width-b.mean+z*math.Hypot(sd, b.holeSD)))
	}
	return sum
}
