package office

import (
	"strconv"
	"strings"

	"brushfall/internal/fit"
	"brushfall/internal/gauge"
	"brushfall/internal/job"
)

// Trial is what a plate of trial holes is asked for with. Flock and Cutter are names,
// empty: the shop's usual ones. What of Options is 0 is usual; Around then is the fit in
// use. Step, Steps and File, the file of the fits, are said in the command that enters
// the answer where they were given.
type Trial struct {
	Options       gauge.Options
	Flock, Cutter string
	File          string
	Like          job.Job
}

// Gauge gives what job.Gauge needs. Faults: "fit-name", those of gauge.New.
func (t Trial) Gauge(fits fit.Book) (job.GaugeJob, error) {
	if err := t.checkNames(); err != nil {
		return job.GaugeJob{}, err
	}
	now := t.now(fits)
	plate, err := gauge.New(t.options(now))
	if err != nil {
		return job.GaugeJob{}, err
	}
	flock, cutter := fits.Names(t.Flock, t.Cutter)
	return job.GaugeJob{Trial: plate, Flock: flock, Cutter: cutter, Now: now, Like: t.Like, Answer: t.answer(plate, flock, cutter)}, nil
}

func (t Trial) checkNames() error {
	for _, name := range []string{t.Flock, t.Cutter} {
		if name != "" {
			if err := fit.CheckName(name); err != nil {
				return err
			}
		}
	}
	return nil
}

// now is the fit in use, mm.
func (t Trial) now(fits fit.Book) float64 {
	if own, ok := fits.Find(t.Options.Size.Name, t.Flock, t.Cutter); ok {
		return own.Fit
	}
	return t.Options.Size.Fit()
}

// options gives those of the plate, around the fit in use where no other is said.
func (t Trial) options(now float64) gauge.Options {
	opt := t.Options
	if opt.Around == 0 {
		opt.Around = now
	}
	return opt
}

// answer is the command that enters the answer; it says all that the numbers of the
// groups follow from.
func (t Trial) answer(plate gauge.Trial, flock, cutter string) string {
	words := []string{"brushfall gauge --size", plate.Size.Name, "--flock", Quoted(flock), "--cutter", Quoted(cutter), "--around", PlainLength(plate.Around)}
	if t.Options.Step != 0 {
		words = append(words, "--step", PlainLength(plate.Step))
	}
	if t.Options.Steps != 0 {
		words = append(words, "--steps", strconv.Itoa(t.Options.Steps))
	}
	if t.File != "" {
		words = append(words, "--fits", Quoted(t.File))
	}
	return strings.Join(append(words, "--answer N"), " ")
}

// PlainLength prints a length of at most thousandths, without noughts behind them.
func PlainLength(mm float64) string {
	return strings.TrimRight(strings.TrimRight(strconv.FormatFloat(mm, 'f', 3, 64), "0"), ".")
}

// Quoted puts quotes around a word that a shell would take apart.
func Quoted(word string) string {
	if strings.ContainsAny(word, " \t'\"&|<>()$;*?") {
		return `"` + strings.ReplaceAll(word, `"`, `\"`) + `"`
	}
	return word
}
