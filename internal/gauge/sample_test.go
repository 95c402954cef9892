package gauge

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"brushfall/internal/fault"
	"brushfall/internal/outside"
)

// One-sided tolerance factors k for a normal distribution, from the noncentral t:
// with the confidence no more than 1 − share lies beyond mean + k·sd. Published in
// Natrella, Experimental Statistics (NBS Handbook 91, 1963), table A-7, three
// decimals (quoted from memory).
func TestBoundsAgainstToleranceFactors(t *testing.T) {
	for _, c := range []struct {
		n                    int
		share, confidence, k float64
	}{
		{5, 0.95, 0.95, 4.203},
		{10, 0.90, 0.95, 2.355},
		{10, 0.95, 0.95, 2.911},
		{10, 0.99, 0.95, 3.981},
		{20, 0.95, 0.95, 2.396},
		{30, 0.95, 0.95, 2.220},
		{10, 0.95, 0.99, 3.738},
	} {
		s := spread(c.n)
		st := s.Stones()
		at := func(k float64) float64 { return s.belief().share(st.Mean+k*st.SD, c.confidence) }
		if low, high := at(c.k+0.0006), at(c.k-0.0006); !(low < 1-c.share && 1-c.share < high) {
			t.Errorf("n %d: beyond k %g lies a share of %g to %g, want %g", c.n, c.k, low, high, 1-c.share)
		}
	}
}

// spread gives n diameters; which ones does not matter.
func spread(n int) Sample {
	var s Sample
	for i := range n {
		s.Diameters = append(s.Diameters, 2.7+0.01*float64(i*i%17))
	}
	return s
}

// worked is the example of docs/gauge.md.
var worked = Sample{Diameters: []float64{2.81, 2.84, 2.79, 2.83, 2.80, 2.86, 2.78, 2.82, 2.85, 2.82}, HoleSD: 0.03, Play: 0.2}

// The figures of the worked example in the docs are those of the program, and
// Python's statistics module, which is not ours, finds the same share.
func TestWorkedExample(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "..", "docs", "gauge.md"))
	if err != nil {
		t.Fatal(err)
	}
	share := worked.Refused(3.10)
	least, sure := worked.LeastHole(0.005)
	for _, want := range []string{
		fmt.Sprintf("mean %.4f mm", worked.Stones().Mean), fmt.Sprintf("deviation %.4f mm", worked.Stones().SD),
		fmt.Sprintf("%.2f %%", 100*share.P), fmt.Sprintf("%.3f %% to %.1f %%", 100*share.Low, 100*share.High),
		fmt.Sprintf("%.3f mm", least), fmt.Sprintf("%.3f mm", sure),
	} {
		if !strings.Contains(string(page), want) {
			t.Errorf("docs/gauge.md does not say %q", want)
		}
	}
	list := regexp.MustCompile(`[\[\]]`).ReplaceAllString(fmt.Sprint(worked.Diameters), "")
	script := `import sys, statistics as s
x = [float(v) for v in sys.argv[1].split()]
m, d = s.mean(x), (s.variance(x) + 0.03**2) ** 0.5
print(1 - s.NormalDist(m + 0.2, d).cdf(3.10), s.NormalDist(m + 0.2, d).inv_cdf(0.995))`
	out, err := exec.Command(outside.Python(t), "-c", script, list).Output()
	if err != nil {
		t.Fatal(err)
	}
	fields := strings.Fields(string(out))
	for i, ours := range []float64{share.P, least} {
		if v, err := strconv.ParseFloat(fields[i], 64); err != nil || math.Abs(v-ours) > 1e-9 {
			t.Errorf("Python has %s, we %g", fields[i], ours)
		}
	}
	if s := worked.Refused(sure); math.Abs(s.High-0.005) > 1e-6 || s.P >= s.High || s.Low >= s.P {
		t.Errorf("at the sure hole: %+v", s)
	}
}

// A simulation: of 400,000 stones and holes drawn by lot the expected share is
// refused, and of 1,500 samples of eight stones about 95 % have the true share in
// their interval, with a scatter of the holes and without.
func TestSimulation(t *testing.T) {
	const mean, sd, hole = 2.82, 0.03, 2.90
	for _, holeSD := range []float64{0, 0.02, 0.04} {
		lot := rand.New(rand.NewPCG(7, uint64(holeSD*1000)))
		truth := phi((mean - hole) / math.Hypot(sd, holeSD))
		refused, tries := 0, 400_000
		for range tries {
			if mean+sd*lot.NormFloat64() > hole+holeSD*lot.NormFloat64() {
				refused++
			}
		}
		got, spread := float64(refused)/float64(tries), math.Sqrt(truth*(1-truth)/float64(tries))
		if math.Abs(got-truth) > 4*spread {
			t.Errorf("hole scatter %g: %g refused, want %g", holeSD, got, truth)
		}
		inside, samples := 0, 1500
		for range samples {
			s := Sample{Diameters: make([]float64, 8), HoleSD: holeSD}
			for i := range s.Diameters {
				s.Diameters[i] = mean + sd*lot.NormFloat64()
			}
			if p := s.Refused(hole); p.Low <= truth && truth <= p.High {
				inside++
			}
		}
		share := float64(inside) / float64(samples)
		t.Logf("hole scatter %.2f mm: %.4f refused of %.4f expected; the interval holds the truth in %.1f %%", holeSD, got, truth, 100*share)
		if share < 0.93 || share > 0.975 {
			t.Errorf("hole scatter %g: the interval holds the truth in %g of the samples", holeSD, share)
		}
	}
}

func TestReadDiameters(t *testing.T) {
	for text, want := range map[string][]float64{
		"2.81,2.84":      {2.81, 2.84},
		"2.81; 2.84\n":   {2.81, 2.84},
		"2.81\r\n2.84\n": {2.81, 2.84},
		"no,diameter mm,by\n1,2.81,x\n2,2.84,y\n": {2.81, 2.84},
	} {
		if got, err := ReadDiameters(strings.NewReader(text)); err != nil || !slices.Equal(got, want) {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"2.81,wide", "0.2", "2,81 mm", "\"2.81", "NaN"} {
		if got, err := ReadDiameters(strings.NewReader(text)); fault.CodeOf(err) != "sample-number" {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	for s, code := range map[string]Sample{
		"sample-size":    {Diameters: []float64{2.8, 2.9}},
		"sample-scatter": {Diameters: []float64{2.8, 2.8, 2.8}},
	} {
		if err := code.Check(); fault.CodeOf(err) != s {
			t.Errorf("%+v: %v", code, err)
		}
	}
}

func FuzzReadDiameters(f *testing.F) {
	f.Add("2.81,2.84")
	f.Add("no;diameter\n1;2.8\n")
	f.Add("\"\n")
	f.Fuzz(func(t *testing.T, text string) {
		list, err := ReadDiameters(strings.NewReader(text))
		for _, d := range list {
			if err == nil && !(d >= leastStone && d <= mostStone) {
				t.Errorf("a diameter of %g", d)
			}
		}
	})
}
