package shop

import (
	"math"
	"math/rand/v2"
	"testing"

	"brushfall/internal/fault"
)

// The worked example of docs/formats/book.md, worked there by hand from the law
// of propagation (JCGM 100:2008, 5.1.2 and F.2.2.1).
func TestWeighingByHand(t *testing.T) {
	w := Weighing{Samples: []Sample{{100, 1.42}}, Jar: 58.75, Tare: 37.40, Step: 0.01, Scatter: 0.04}
	e, err := w.Count()
	if err != nil {
		t.Fatal(err)
	}
	// N = 21.35 ÷ 0.0142 = 1503.52; (0.04)²/1503.52 = 1.0642e-6; (0.04)²/100 = 1.6e-5;
	// u = 0.01/√12 = 0.0028868 g; 2·(u/21.35)² = 3.657e-8; (u/1.42)² = 4.1328e-6;
	// the sum is 2.12335e-5, its root 0.0046080, times N 6.9282; times 1.95996 is 13.579.
	if e.Pieces != 1504 || e.Low != 1490 || e.High != 1517 || e.Counted != 100 || e.Blunt {
		t.Errorf("%+v", e)
	}
	if math.Abs(e.Uncertainty-6.9282) > 0.0005 || math.Abs(e.Factor-1.95996) > 1e-5 || math.Abs(e.Mass-0.0142) > 1e-12 {
		t.Errorf("%+v", e)
	}
}

// Points of Student's distribution: NIST/SEMATECH e-Handbook, 1.3.6.7.2, the column 0.975.
func TestFactorIsStudents(t *testing.T) {
	for _, c := range []struct{ freedom, want float64 }{{4, 2.776}, {9, 2.262}, {30, 2.042}, {100, 1.984}, {math.Inf(1), 1.960}} {
		if got := factor(c.freedom); math.Abs(got-c.want) > 0.0005 {
			t.Errorf("%g degrees: %.4f, want %.3f", c.freedom, got, c.want)
		}
	}
}

// jars is how many are simulated for each way of weighing.
const jars = 10_000

// simulated is a jar that is filled and weighed by lot: stones of normal mass, a
// scale that rounds to its step.
type simulated struct {
	rng     *rand.Rand
	mass    float64 // grams a piece, the true mean of the kind
	scatter float64
	step    float64
}

func (s simulated) heap(stones int) float64 {
	g := 0.0
	for range stones {
		g += s.mass * (1 + s.scatter*s.rng.NormFloat64())
	}
	return g
}

func (s simulated) read(grams float64) float64 { return math.Round(grams/s.step) * s.step }

// The interval holds the truth in 93 to 97 of 100 jars of stones of every size and
// scatter, where the scatter is told and where it is taken from ten heaps.
func TestIntervalsHoldTheTruth(t *testing.T) {
	masses := []float64{0.0058, 0.0141, 0.0365, 0.0630}
	for _, c := range []struct {
		name  string
		heaps int
		told  bool
		tare  bool
	}{{"scatter told", 1, true, false}, {"scatter told, tare read", 1, true, true}, {"scatter from ten heaps", 10, false, false}} {
		rng := rand.New(rand.NewPCG(6, 1504))
		held := 0
		for range jars {
			s := simulated{rng, masses[rng.IntN(len(masses))], 0.02 + 0.06*rng.Float64(), 0.001}
			if s.mass > 0.03 {
				s.step = 0.01
			}
			truth, n := 300+rng.IntN(2000), 100+rng.IntN(100)
			w := Weighing{Step: s.step}
			if c.told {
				w.Scatter = s.scatter
			}
			for range c.heaps {
				// Heaps of unlike size, so that the weights of the estimate matter.
				m := n/c.heaps + rng.IntN(5)
				w.Samples = append(w.Samples, Sample{m, s.read(s.heap(m))})
			}
			empty := 20 + 30*rng.Float64()
			w.Jar = s.read(s.heap(truth))
			if c.tare {
				full := s.heap(truth) + empty
				w.Jar, w.Tare = s.read(full), s.read(empty)
			}
			e, err := w.Count()
			if err != nil {
				t.Fatal(err)
			}
			if e.Low <= truth && truth <= e.High {
				held++
			}
		}
		share := float64(held) / jars
		t.Logf("%s: %.2f %% of %d jars", c.name, 100*share, jars)
		if share < 0.93 || share > 0.97 {
			t.Errorf("%s: the interval holds the truth in %.2f %% of the jars, want 93 to 97", c.name, 100*share)
		}
	}
}

func TestWeighingSaysWhereTheScaleIsTooCoarse(t *testing.T) {
	e, err := Weighing{Samples: []Sample{{20, 0.1}}, Jar: 10, Step: 0.1}.Count()
	if err != nil || !e.Blunt || e.Low > 1500 || e.High < 2500 {
		t.Errorf("%+v, %v", e, err)
	}
}

func TestWeighingsThatCannotBe(t *testing.T) {
	good := Sample{100, 1.4}
	for _, c := range []struct {
		code string
		w    Weighing
	}{
		{"weigh-sample", Weighing{Jar: 10, Step: 0.01}},
		{"weigh-sample", Weighing{Samples: []Sample{{0, 1}}, Jar: 10, Step: 0.01}},
		{"weigh-sample", Weighing{Samples: []Sample{{10, math.NaN()}}, Jar: 10, Step: 0.01}},
		{"weigh-scale", Weighing{Samples: []Sample{good}, Jar: 10}},
		{"weigh-scale", Weighing{Samples: []Sample{good}, Jar: 10, Tare: 11, Step: 0.01}},
		{"weigh-scale", Weighing{Samples: []Sample{good}, Jar: math.Inf(1), Step: 0.01}},
		{"weigh-scale", Weighing{Samples: []Sample{{1000, 1e-6}}, Jar: 1000, Step: 0.01}},
		{"weigh-scatter", Weighing{Samples: []Sample{good}, Jar: 10, Step: 0.01, Scatter: math.NaN()}},
	} {
		if _, err := c.w.Count(); fault.CodeOf(err) != c.code {
			t.Errorf("%+v: %v, want %s", c.w, err, c.code)
		}
	}
	e, err := Weighing{Samples: []Sample{good}, Step: 0.01}.Count() // an empty jar
	if err != nil || e.Pieces != 0 || e.Low != 0 {
		t.Errorf("an empty jar: %+v, %v", e, err)
	}
}
