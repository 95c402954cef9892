// Package gauge helps a shop to find its own fits: a plate of trial holes in
// rising widths, and what a handful of measured stones says of the holes they
// need. Lengths are millimetres.
package gauge

import (
	"math"
	"strconv"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
	"brushfall/internal/plate"
	"brushfall/internal/singleline"
)

// Defaults of Options. Twenty-four holes a step, brushed three times, are 72
// tries: if none is refused, the share of refusals is below 4.1 % with 95 %
// confidence (Clopper and Pearson's interval for none of n: 1 − 0.05^(1/n)).
const (
	DefaultStep  = 0.05 // twice the resolution of HP-GL
	DefaultSteps = 7
	DefaultHoles = 24
	Brushings    = 3
)

// Bounds of Options.
const (
	leastStep, mostStep   = 0.01, 0.5
	leastSteps, mostSteps = 2, 15
	leastHoles, mostHoles = 4, 96
	mostFit               = 5
)

// Measures of the plate, in mm. Numbers are high enough to be read and not to
// tear; groups stand apart so that one cannot be taken for another's.
const (
	perRow      = 6 // holes beside each other
	letterHigh  = 5.0
	letterClear = 2.5
	groupClear  = 7.0
	mostWide    = 280.0 // a sheet of 12 in less its margins
	top         = 7.0   // below the notch and the nick
	sheetMargin = 6.0
)

// Options are the choices of New. The zero Options but for the Size are the
// usual ones: seven steps of 0.05 mm around the catalogue's fit, 24 holes each.
type Options struct {
	Size         catalogue.Size
	Around       float64 // the middle fit; 0: the catalogue's
	Step         float64
	Steps, Holes int
}

// Step is one group of holes of one width. Fit is the hole's diameter less the
// largest stone's.
type Step struct {
	Number    int
	Fit, Hole float64
}

// Trial is a plate of trial holes: its steps, from the narrowest, the document of
// the one plate on a sheet of its own, and the strokes of the numbers, which are
// cut with it.
type Trial struct {
	Options
	Steps    []Step
	Document design.Document
	Numbers  []geom.Line
}

// New lays a plate of trial holes out. Steps with holes no wider than the largest
// stone are left out. Faults: "gauge-options".
func New(opt Options) (Trial, error) {
	if opt.Around == 0 {
		opt.Around = opt.Size.Fit()
	}
	if opt.Step == 0 {
		opt.Step = DefaultStep
	}
	if opt.Steps == 0 {
		opt.Steps = DefaultSteps
	}
	if opt.Holes == 0 {
		opt.Holes = DefaultHoles
	}
	switch {
	case !(opt.Around > 0 && opt.Around <= mostFit):
		return Trial{}, fault.New("gauge-options", "", "trial holes around a fit of %g mm cannot be; give more than 0 and at most %d mm", opt.Around, mostFit)
	case !(opt.Step >= leastStep && opt.Step <= mostStep):
		return Trial{}, fault.New("gauge-options", "", "steps of %g mm cannot be; give %g to %g mm", opt.Step, leastStep, mostStep)
	case opt.Steps < leastSteps || opt.Steps > mostSteps:
		return Trial{}, fault.New("gauge-options", "", "%d steps cannot be; give %d to %d", opt.Steps, leastSteps, mostSteps)
	case opt.Holes < leastHoles || opt.Holes > mostHoles:
		return Trial{}, fault.New("gauge-options", "", "%d holes a step cannot be; give %d to %d", opt.Holes, leastHoles, mostHoles)
	}
	t := Trial{Options: opt}
	for i := range opt.Steps {
		f := rounded(opt.Around + opt.Step*(float64(i)-float64(opt.Steps-1)/2))
		if f > 0 {
			t.Steps = append(t.Steps, Step{len(t.Steps) + 1, f, rounded(opt.Size.Largest + f)})
		}
	}
	return t, t.layOut()
}

// rounded gives thousandths of a mm, below what any cutter can do.
func rounded(v float64) float64 { return math.Round(v*1000) / 1000 }

// layOut sets the groups in rows, each below its number, and the frame around.
func (t *Trial) layOut() error {
	var holes []design.Hole
	x, y, right, bottom := catalogue.Border, top, 0.0, 0.0
	for _, s := range t.Steps {
		pitch := s.Hole + catalogue.Web
		columns := min(perRow, t.Holes)
		wide := pitch*float64(columns) - catalogue.Web
		if x > catalogue.Border && x+wide > mostWide {
			x, y = catalogue.Border, bottom+groupClear
		}
		strokes, err := singleline.Strokes(strconv.Itoa(s.Number), letterHigh, geom.Point{X: x, Y: y + letterHigh}, 0)
		if err != nil {
			return err
		}
		t.Numbers = append(t.Numbers, strokes...)
		for i := range t.Holes {
			at := geom.Point{X: x + s.Hole/2 + pitch*float64(i%columns), Y: y + letterHigh + letterClear + s.Hole/2 + pitch*float64(i/columns)}
			holes = append(holes, design.Hole{X: rounded(at.X), Y: rounded(at.Y), D: s.Hole})
			bottom = math.Max(bottom, at.Y+s.Hole/2)
		}
		right = math.Max(right, x+wide)
		x += wide + groupClear
	}
	t.document(holes, math.Ceil(right+catalogue.Border), math.Ceil(bottom+catalogue.Border))
	return nil
}

func (t *Trial) document(holes []design.Hole, width, height float64) {
	name := t.Size.Name + " trial holes"
	middle := width / 2
	nick := middle + plate.NickFirst
	t.Document = design.Document{
		Version: design.Version, Unit: "mm", Design: name, Width: width, Height: height,
		Web: catalogue.Web, Border: catalogue.Border,
		Plates: []design.Plate{{
			Number: 1, Frame: [4]float64{0, 0, width, height}, Notch: [2]float64{middle, plate.NotchDepth},
			Nicks: [][4]float64{{nick, plate.NickInset, nick, plate.NickInset + plate.NickLength}}, Holes: holes, Letters: t.letters(),
		}},
		Sheets: []design.Sheet{{
			Number: 1, Width: width + 2*sheetMargin, Height: height + 2*sheetMargin,
			Placed: []design.Placed{{Design: name, Plate: 1, X: sheetMargin, Y: sheetMargin}},
		}},
	}
}

// letters gives the numbers as the document holds them.
func (t *Trial) letters() [][][2]float64 {
	var out [][][2]float64
	for _, stroke := range t.Numbers {
		var line [][2]float64
		for _, p := range stroke {
			line = append(line, [2]float64{p.X, p.Y})
		}
		out = append(out, line)
	}
	return out
}

// Find gives the step of a number on the plate. Fault "gauge-answer".
func (t Trial) Find(number int) (Step, error) {
	if number < 1 || number > len(t.Steps) {
		return Step{}, fault.New("gauge-answer", "", "the plate has no group %d; they are numbered 1 to %d", number, len(t.Steps))
	}
	return t.Steps[number-1], nil
}

// RefusedBelow gives the share of refusals that is not reached, with 95 %
// confidence, if none of n stones was refused: 1 − 0.05^(1/n), from Clopper and
// Pearson, Biometrika 26 (1934). n below 1 gives 1.
func RefusedBelow(n int) float64 {
	if n < 1 {
		return 1
	}
	return 1 - math.Pow(0.05, 1/float64(n))
}
