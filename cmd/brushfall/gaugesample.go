package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/gauge"
)

// sampleAnswer is what measured stones tell, for other programs. Shares are 0 to 1,
// lengths mm.
type sampleAnswer struct {
	Size      string  `json:"size"`
	Stones    int     `json:"stones"`
	Mean      float64 `json:"mean_mm"`
	SD        float64 `json:"sd_mm"`
	HoleSD    float64 `json:"hole_sd_mm"`
	Play      float64 `json:"play_mm"`
	Hole      float64 `json:"hole_mm"`
	Refused   float64 `json:"refused"`
	Low       float64 `json:"refused_low"`
	High      float64 `json:"refused_high"`
	Share     float64 `json:"share"`
	LeastHole float64 `json:"least_hole_mm"`
	SureHole  float64 `json:"sure_hole_mm"`
	LeastFit  float64 `json:"least_fit_mm"`
	SureFit   float64 `json:"sure_fit_mm"`
}

// mostShare bounds the share of refusals to stay under, in per cent.
const mostShare = 50

// sample says what measured stones tell of the holes they need.
func (a *app) sample(f gaugeFlags, size catalogue.Size, now float64) error {
	s, err := f.measured()
	if err != nil {
		return err
	}
	if !(f.share > 0 && f.share <= mostShare) {
		return fault.New("usage", "--share", "%g %% cannot be; give more than 0 and at most %d", f.share, mostShare)
	}
	hole := size.Largest + now
	if f.hole != "" {
		if hole, err = millimetres("--hole", f.hole); err != nil {
			return err
		}
	}
	st, p := s.Stones(), s.Refused(hole)
	least, sure := s.LeastHole(f.share / 100)
	up := func(v float64) float64 { return math.Ceil(v*100-1e-6) / 100 } // a cutter does no finer
	out := sampleAnswer{
		Size: size.Name, Stones: st.N, Mean: st.Mean, SD: st.SD, HoleSD: s.HoleSD, Play: s.Play, Hole: hole,
		Refused: p.P, Low: p.Low, High: p.High, Share: f.share / 100, LeastHole: up(least), SureHole: up(sure),
	}
	out.LeastFit, out.SureFit = math.Round((out.LeastHole-size.Largest)*100)/100, math.Round((out.SureHole-size.Largest)*100)/100
	if a.json {
		a.print(out)
		return nil
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%d stones: mean %.3f mm, standard deviation %.3f mm; holes scatter by %.3f mm\n", st.N, st.Mean, st.SD, s.HoleSD)
	fmt.Fprintf(&b, "Holes of %.2f mm: about %s of the stones refuse (between %s and %s, with 95 %% confidence)\n", hole, percent(p.P), percent(p.Low), percent(p.High))
	fmt.Fprintf(&b, "To stay under %g %%: holes of %.2f mm, a fit of %.2f mm; to be 95 %% sure of it, from these few stones, %.2f mm, a fit of %.2f mm\n", f.share, out.LeastHole, out.LeastFit, out.SureHole, out.SureFit)
	if s.Play == 0 {
		b.WriteString("This counts a stone that is just as wide as its hole as one that falls in. Say with --play how much room yours need, or cut trial holes.\n")
	}
	_, err = io.WriteString(a.out, b.String())
	return err
}

// measured reads the sample of the flags.
func (f gaugeFlags) measured() (gauge.Sample, error) {
	var s gauge.Sample
	text := f.diameters
	if info, err := os.Stat(text); err == nil && !info.IsDir() {
		data, err := readFile(text)
		if err != nil {
			return s, err
		}
		text = string(data)
	} else if strings.HasSuffix(strings.ToLower(text), ".csv") {
		return s, fault.New("file-missing", text, "there is no such file; check the spelling and the folder")
	}
	var err error
	if s.Diameters, err = gauge.ReadDiameters(strings.NewReader(text)); err != nil {
		return s, within("--diameters", err)
	}
	if s.HoleSD, err = millimetres("--hole-sd", f.holeSD); err != nil {
		return s, err
	}
	if s.Play, err = millimetres("--play", f.play); err != nil {
		return s, err
	}
	return s, s.Check()
}

// percent prints a share so that a small one is not nought.
func percent(share float64) string {
	switch p := 100 * share; {
	case p < 0.001:
		return "under 0.001 %"
	case p < 1:
		return fmt.Sprintf("%.2g %%", p)
	default:
		return fmt.Sprintf("%.1f %%", p)
	}
}
