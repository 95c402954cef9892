package job

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/cut"
	"brushfall/internal/cut/blade"
	"brushfall/internal/cut/dxf"
	"brushfall/internal/cut/hpgl"
	"brushfall/internal/cut/pace"
	"brushfall/internal/fault"
	"brushfall/internal/unit"
)

// Cutter says how the sheets are cut. Offset, Overcut and Passes go into the
// HP-GL files alone: other files are for the cutter's own software.
type Cutter struct {
	Name            string      // whose fits are used; none: the shop's usual one
	Offset, Overcut unit.Length // of a drag knife; no overcut given is usualOvercut where there is an offset
	Swivel          float64     // radians
	Passes          int
	Arcs            bool
	Chords          unit.Length  // largest distance of a circle's chords from it; 0 is what the writer takes
	Machine         pace.Machine // for the estimate
	Speed           float64      // mm/s, told to the machine; 0: it is not told one
	Force, Tool     int          // 0: the machine is not told one
	DXF             dxf.Release
	Timings         []pace.Timing
	Scale           pace.Scale // found from the timings
}

// What is taken where a job says nothing, and the bounds of lengths: as the
// writers have them.
const (
	usualOvercut            unit.Length = 0.5
	unsaidOvercut           unit.Length = -1
	usualSwivel                         = 15 * math.Pi / 180
	mostOffset              unit.Length = 2
	mostOvercut             unit.Length = 10
	leastChords, mostChords unit.Length = 0.001, 0.5
	mostTimings                         = 20
)

func defaultCutter() Cutter {
	return Cutter{Overcut: unsaidOvercut, Swivel: usualSwivel, Passes: 1, Machine: pace.Usual()}
}

// overcut resolves what was not said.
func (c Cutter) overcut() float64 {
	switch {
	case c.Overcut != unsaidOvercut:
		return c.Overcut.MM()
	case c.Offset > 0:
		return usualOvercut.MM()
	}
	return 0
}

// writer gives the writer of HP-GL. Its faults are those of hpgl.New, none for a
// cutter that was read from a job file.
func (c Cutter) writer() (hpgl.Writer, error) {
	return hpgl.New(hpgl.Options{
		Knife: blade.Knife{Offset: c.Offset.MM(), Overcut: c.overcut(), Swivel: c.Swivel, Passes: c.Passes},
		Arcs:  c.Arcs, ChordTolerance: c.Chords.MM(), Speed: c.Speed, Force: c.Force, Tool: c.Tool,
	})
}

// estimate gives the time for a sheet, by the shop's own timings if it has any.
func (c Cutter) estimate(s cut.Sheet) pace.Estimate {
	return pace.Of(s, c.Machine, pace.Work{Passes: c.Passes, Overcut: c.overcut()}).Scaled(c.Scale)
}

func readCutter(s source, n ast.Node, j *Job) error {
	c := defaultCutter()
	if err := fill(s, n, "cutter", &c, cutterFields()); err != nil {
		return err
	}
	if c.Speed > 0 {
		c.Machine.Cut = c.Speed
	}
	if _, err := c.writer(); err != nil {
		return s.within(n, err)
	}
	if err := c.Machine.Check(); err != nil {
		return s.within(n, err)
	}
	if len(c.Timings) > 0 {
		scale, err := pace.Calibrate(c.Timings)
		if err != nil {
			return s.within(n, err)
		}
		c.Scale = scale
	}
	j.Cutter = c
	return nil
}

func cutterFields() []field[Cutter] {
	return []field[Cutter]{
		set("name", ParseFitName, func(c *Cutter) *string { return &c.Name }),
		bounded("offset", 0, mostOffset, func(c *Cutter) *unit.Length { return &c.Offset }),
		bounded("overcut", 0, mostOvercut, func(c *Cutter) *unit.Length { return &c.Overcut }),
		set("swivel", quantity("an angle", "15 deg", "deg", "°"), func(c *Cutter) *float64 { return &c.Swivel }).then(func(c *Cutter) { c.Swivel *= math.Pi / 180 }),
		set("passes", countTo("passes", 10), func(c *Cutter) *int { return &c.Passes }),
		set("arcs", parseYes, func(c *Cutter) *bool { return &c.Arcs }),
		bounded("chords", leastChords, mostChords, func(c *Cutter) *unit.Length { return &c.Chords }),
		set("speed", quantity("a speed", "50 mm/s", "mm/s"), func(c *Cutter) *float64 { return &c.Speed }),
		set("travel", quantity("a speed", "300 mm/s", "mm/s"), func(c *Cutter) *float64 { return &c.Machine.Travel }),
		set("acceleration", quantity("an acceleration", "1000 mm/s2", "mm/s2", "mm/s²"), func(c *Cutter) *float64 { return &c.Machine.Acceleration }),
		set("lift", quantity("a time", "0.1 s", "s"), func(c *Cutter) *float64 { return &c.Machine.Lift }),
		set("force", countTo("force", 5000), func(c *Cutter) *int { return &c.Force }),
		set("tool", countTo("tool", 8), func(c *Cutter) *int { return &c.Tool }),
		set("dxf", parseRelease, func(c *Cutter) *dxf.Release { return &c.DXF }),
		whole("timings", source.timings, func(c *Cutter) *[]pace.Timing { return &c.Timings }),
	}
}

// then does more once the field is read.
func (f field[T]) then(more func(*T)) field[T] {
	return field[T]{f.key, func(s source, n ast.Node, into *T) error {
		if err := f.read(s, n, into); err != nil {
			return err
		}
		more(into)
		return nil
	}}
}

// quantity makes a parser of a number of 0 or more with its unit. Fault "cutter".
func quantity(what, example string, units ...string) func(string) (float64, error) {
	return func(text string) (float64, error) {
		for _, u := range units {
			number, ok := strings.CutSuffix(strings.TrimSpace(text), u)
			if !ok {
				continue
			}
			if v, err := strconv.ParseFloat(strings.TrimSpace(number), 64); err == nil && v >= 0 && !math.IsInf(v, 0) {
				return v, nil
			}
		}
		return 0, fault.New("cutter", "", "%q is not %s; write it like %s", text, what, example)
	}
}

// countTo makes a parser of a whole number from 1. Fault "cutter".
func countTo(what string, most int) func(string) (int, error) {
	return func(text string) (int, error) {
		if v, err := strconv.Atoi(strings.TrimSpace(text)); err == nil && v >= 1 && v <= most {
			return v, nil
		}
		return 0, fault.New("cutter", "", "%s is %q; write a whole number from 1 to %d", what, text, most)
	}
}

func parseRelease(text string) (dxf.Release, error) {
	word, err := choose("release of DXF", text, []string{"r12", "2000"})
	if word == "2000" {
		return dxf.R2000, err
	}
	return dxf.R12, err
}

func (s source) timings(n ast.Node) ([]pace.Timing, error) {
	list, ok := n.(*ast.SequenceNode)
	if !ok || len(list.Values) > mostTimings {
		return nil, s.fail(n, "cutter", "timings takes a list of at most %d, such as - {moving: 200 s, lifts: 100 s, took: 340 s}", mostTimings)
	}
	var out []pace.Timing
	for _, node := range list.Values {
		var t pace.Timing
		if err := fill(s, node, "a timing", &t, []field[pace.Timing]{
			set("moving", parseDuration, func(t *pace.Timing) *float64 { return &t.Moving }),
			set("lifts", parseDuration, func(t *pace.Timing) *float64 { return &t.Lifts }),
			set("took", parseDuration, func(t *pace.Timing) *float64 { return &t.Took }),
		}); err != nil {
			return nil, err
		}
		if t.Moving == 0 || t.Lifts == 0 || t.Took == 0 {
			return nil, s.fail(node, "cutter", "a timing has moving, lifts and took: what was estimated of a sheet, and what the clock said")
		}
		out = append(out, t)
	}
	return out, nil
}

var durationForm = regexp.MustCompile(`^(?:(\d{1,4}) ?h)? ?(?:(\d{1,5}) ?min)? ?(?:(\d{1,6}(?:\.\d+)?) ?s)?$`)

// parseDuration reads a time such as "3 min 10 s", in s. Fault "cutter".
func parseDuration(text string) (float64, error) {
	m := durationForm.FindStringSubmatch(strings.TrimSpace(text))
	sum := 0.0
	if m != nil {
		for i, unit := range []float64{3600, 60, 1} {
			v, _ := strconv.ParseFloat("0"+m[i+1], 64) // digits alone, by the form
			sum += v * unit
		}
	}
	if sum == 0 {
		return 0, fault.New("cutter", "", "%q is not a time; write it like 3 min 10 s", text)
	}
	return sum, nil
}

// Duration prints seconds as "3 min 10 s", as a job file takes it back.
func Duration(seconds float64) string {
	s := int(math.Round(seconds))
	switch {
	case s < 60:
		return fmt.Sprintf("%d s", s)
	case s < 3600 && s%60 == 0:
		return fmt.Sprintf("%d min", s/60)
	case s < 3600:
		return fmt.Sprintf("%d min %d s", s/60, s%60)
	}
	return fmt.Sprintf("%d h %d min", s/3600, s/60%60)
}

// About prints seconds as closely as an estimate is worth: to the minute, or to
// ten seconds below five minutes.
func About(seconds float64) string {
	if seconds < 300 {
		return Duration(math.Max(math.Round(seconds/10), 1) * 10)
	}
	minutes := int(math.Round(seconds / 60))
	if minutes < 60 {
		return fmt.Sprintf("%d min", minutes)
	}
	return fmt.Sprintf("%d h %d min", minutes/60, minutes%60)
}
