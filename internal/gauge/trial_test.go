package gauge

import (
	"math"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/cut"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

func trial(t *testing.T, name string, opt Options) Trial {
	t.Helper()
	var err error
	if opt.Size, err = catalogue.FindSize(name); err != nil {
		t.Fatal(err)
	}
	out, err := New(opt)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Every size's plate can be cut: holes a web apart and a border from the frame,
// numbers clear of both, on a sheet that HP-GL can hold.
func TestTrialsOfEverySize(t *testing.T) {
	for _, size := range catalogue.Sizes() {
		p := trial(t, size.Name, Options{})
		plate := p.Document.Plates[0]
		if len(p.Steps) < 5 || len(plate.Holes) != DefaultHoles*len(p.Steps) {
			t.Errorf("%s: %d steps, %d holes", size.Name, len(p.Steps), len(plate.Holes))
		}
		for i, a := range plate.Holes {
			r := a.D / 2
			if a.X-r < catalogue.Border-0.001 || a.X+r > plate.Frame[2]-catalogue.Border+0.001 || a.Y-r < catalogue.Border || a.Y+r > plate.Frame[3]-catalogue.Border+0.001 {
				t.Fatalf("%s: hole %d is nearer to the frame than the border", size.Name, i)
			}
			for _, b := range plate.Holes[i+1:] {
				if math.Hypot(a.X-b.X, a.Y-b.Y)-r-b.D/2 < catalogue.Web-0.002 {
					t.Fatalf("%s: two holes without a web", size.Name)
				}
			}
			for _, stroke := range p.Numbers {
				for _, q := range stroke {
					if q.Dist(geom.Point{X: a.X, Y: a.Y})-r < 1.5 {
						t.Fatalf("%s: a number runs into a hole", size.Name)
					}
				}
			}
		}
		if q := p.Numbers[0][0]; q.Y < plate.Nicks[0][3]+1 {
			t.Errorf("%s: the numbers run into the nick", size.Name)
		}
		if sheet := p.Document.Sheets[0]; sheet.Width > catalogue.FlockWidth || sheet.Height > catalogue.FlockHeight {
			t.Errorf("%s: %g × %g mm is more than a sheet of flock", size.Name, sheet.Width, sheet.Height)
		}
		if _, err := cut.Plan(p.Document, cut.Options{}); err != nil {
			t.Errorf("%s: %v", size.Name, err)
		}
	}
}

func TestStepsAroundTheFit(t *testing.T) {
	p := trial(t, "SS10", Options{Around: 0.3, Step: 0.05, Steps: 7})
	for i, want := range []float64{0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45} {
		if s := p.Steps[i]; s.Number != i+1 || s.Fit != want || math.Abs(s.Hole-2.9-want) > 1e-9 {
			t.Errorf("step %d: %+v", i, s)
		}
	}
	if s, err := p.Find(7); err != nil || s.Fit != 0.45 {
		t.Errorf("%+v, %v", s, err)
	}
	if _, err := p.Find(8); fault.CodeOf(err) != "gauge-answer" {
		t.Error(err)
	}
	if p := trial(t, "SS6", Options{Around: 0.1, Step: 0.05}); p.Steps[0].Fit != 0.05 || len(p.Steps) != 5 {
		t.Errorf("holes narrower than the stone: %+v", p.Steps)
	}
	for _, o := range []Options{{Around: 9}, {Around: -1}, {Step: 1}, {Steps: 1}, {Steps: 99}, {Holes: 1}, {Around: math.NaN()}} {
		o.Size = p.Size
		if _, err := New(o); fault.CodeOf(err) != "gauge-options" {
			t.Errorf("%+v: %v", o, err)
		}
	}
}

// 72 tries without a refusal: 4.08 %; the rule of three's 3/n bounds it from above.
func TestRefusedBelow(t *testing.T) {
	if p := RefusedBelow(72); math.Abs(math.Pow(1-p, 72)-0.05) > 1e-12 || p > 3.0/72 || p < 0.04 {
		t.Error(p)
	}
	if RefusedBelow(0) != 1 {
		t.Error("none tried tells nothing")
	}
}
