package shop

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"brushfall/internal/fault"
)

// Scatter is how much single stones of one size differ in mass when the shop has
// not measured it: a standard deviation of 4 % of the mean (from memory).
const Scatter = 0.04

// level is the coverage of every interval: 95 %.
const level = 0.95

// Sample is a weighing of stones that were counted: their number and the net mass in grams.
type Sample struct {
	Stones int
	Grams  float64
}

// Weighing is a count by weight. The samples are counted stones, weighed in one
// or more heaps; Jar is what the scale shows for the others, grams, Tare what it
// shows for the empty jar, 0 where the scale was set to nought with it. Step is
// the scale's last digit, grams. Scatter is the standard deviation of single
// stones as a share of the mean; 0 takes it from the samples where there are
// enough of them, or Scatter.
type Weighing struct {
	Samples []Sample
	Jar     float64
	Tare    float64
	Step    float64
	Scatter float64
}

// samplesForScatter is how many heaps tell the scatter of single stones: with
// fewer, Student's factor makes the interval too wide to be of use.
const samplesForScatter = 5

// Estimate is what a weighing tells. Pieces, Low and High are the stones in the
// jar and the 95 % interval, without the counted ones. Mass is grams a piece.
// Uncertainty is the standard uncertainty in pieces, Factor what it is multiplied
// with for 95 %. Blunt says that the scale's step makes most of it: then count
// more stones for the sample.
type Estimate struct {
	Pieces, Low, High int
	Counted           int
	Mass              float64
	Scatter           float64
	Uncertainty       float64
	Factor            float64
	Blunt             bool
}

// Count estimates the pieces of the jar, N = W/m with m the mean mass of the
// samples. By the law of propagation of uncertainty (JCGM 100:2008, 5.1.2; the
// quotient's form in NIST/SEMATECH e-Handbook of Statistical Methods, 2.5.5.2)
//
//	(u(N)/N)² = c²/N + c²/n + (u(W)/W)² + k·(u(w)/w)²
//
// c is the scatter of single stones, n and w the stones and grams of the k
// samples together, u(w) the uncertainty of a reading: step/√12, that of an even
// distribution over one step (JCGM 100, F.2.2.1), and √2 of it for W where a tare
// was read too. The first term is the scatter of the jar's own stones. The
// interval is N ± t·u(N), t from Student's distribution with the effective
// degrees of freedom of Welch and Satterthwaite (JCGM 100, G.4.1), which are
// endless where the scatter is given. Faults: "weigh-sample", "weigh-scale",
// "weigh-scatter".
func (w Weighing) Count() (Estimate, error) {
	if err := w.check(); err != nil {
		return Estimate{}, err
	}
	n, grams := w.total()
	reading := w.Step / math.Sqrt(12)
	readings := 1.0
	if w.Tare > 0 {
		readings = 2
	}
	e := Estimate{Counted: n, Mass: grams / float64(n), Scatter: w.Scatter}
	freedom := math.Inf(1)
	if e.Scatter == 0 {
		e.Scatter = Scatter
		if len(w.Samples) >= samplesForScatter {
			e.Scatter, freedom = w.scatter(e.Mass, reading), float64(len(w.Samples)-1)
		}
	}
	net := w.Jar - w.Tare
	pieces := net / e.Mass
	stones := e.Scatter * e.Scatter * (1/max(pieces, 1) + 1/float64(n))
	scale := readings*square(reading/max(net, w.Step)) + float64(len(w.Samples))*square(reading/grams)
	e.Uncertainty = pieces * math.Sqrt(stones+scale)
	e.Blunt = scale > stones
	if stones > 0 {
		freedom *= square((stones + scale) / stones) // Welch and Satterthwaite: readings have endless freedom
	}
	e.Factor = factor(freedom)
	half := e.Factor * e.Uncertainty
	e.Pieces = int(math.Round(pieces))
	// Whole numbers within the interval; it holds at least the estimate.
	e.Low = min(e.Pieces, max(0, int(math.Ceil(pieces-half))))
	e.High = max(e.Pieces, int(math.Floor(pieces+half)))
	return e, nil
}

func square(x float64) float64 { return x * x }

// factor gives the 97.5 % point of Student's distribution; of the normal one for
// endless freedom.
func factor(freedom float64) float64 {
	const upper = (1 + level) / 2
	if freedom > 1e6 {
		return distuv.UnitNormal.Quantile(upper)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}.Quantile(upper)
}

func (w Weighing) total() (int, float64) {
	n, grams := 0, 0.0
	for _, s := range w.Samples {
		n += s.Stones
		grams += s.Grams
	}
	return n, grams
}

// scatter estimates the standard deviation of single stones, as a share of the
// mean, from heaps: a heap of m stones varies by √m of it. What the readings add
// is taken off, down to nought.
func (w Weighing) scatter(mass, reading float64) float64 {
	sum, own := 0.0, 0.0
	for _, s := range w.Samples {
		m := float64(s.Stones)
		sum += square(s.Grams-m*mass) / m
		own += square(reading) / m
	}
	k := float64(len(w.Samples))
	return math.Sqrt(max(0, sum/(k-1)-own/k)) / mass
}

// mostGrams bounds what a shop's scale carries.
const mostGrams = 1e6

func (w Weighing) check() error {
	if len(w.Samples) == 0 {
		return fault.New("weigh-sample", "", "count some stones and weigh them first, a hundred or more")
	}
	for _, s := range w.Samples {
		if s.Stones < 1 || s.Stones > MostPieces || !(s.Grams > 0 && s.Grams <= mostGrams) {
			return fault.New("weigh-sample", "", "a sample of %d stones of %g g cannot be; give the stones counted and what they weigh", s.Stones, s.Grams)
		}
	}
	if !(w.Step > 0 && w.Step <= 100) {
		return fault.New("weigh-scale", "", "a scale's step of %g g cannot be; give its last digit, such as 0.01", w.Step)
	}
	if !(w.Tare >= 0 && w.Jar >= w.Tare && w.Jar <= mostGrams) {
		return fault.New("weigh-scale", "", "a jar of %g g, empty %g g, cannot be; give what the scale shows for the full and for the empty jar", w.Jar, w.Tare)
	}
	if !(w.Scatter >= 0 && w.Scatter <= 0.5) {
		return fault.New("weigh-scatter", "", "a scatter of %g cannot be; give the standard deviation of single stones as a share, such as 0.04", w.Scatter)
	}
	if n, grams := w.total(); (w.Jar-w.Tare)/(grams/float64(n)) > MostPieces {
		return fault.New("weigh-scale", "", "that is more than %d stones; check the grams", MostPieces)
	}
	return nil
}
