package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/fit"
	"brushfall/internal/gauge"
	"brushfall/internal/job"
	"brushfall/internal/office"
	"brushfall/internal/unit"
	"brushfall/internal/wording"
)

const gaugeHelp = `Find how wide holes must be, for your stones, flock and cutter.

The fit is by how much a hole is wider than the largest stone of its size. With
-o it makes a plate of trial holes around the fit in use, with a paper that says
what to do: cut it, brush it, look which group takes every stone and none twice.
Then enter the group's number with --answer, or the fit itself with --fit. It is
kept by size, flock and cutter, and "make" uses it from then on.

With --diameters it says instead what measured stones tell: the share of them
that will refuse a hole, and the narrowest hole that keeps it low. docs/gauge.md
has the formulas. --list shows the fits that are kept.`

const gaugeExamples = `  brushfall gauge --size SS10 -o trial
  brushfall gauge --size SS10 --flock black --answer 4
  brushfall gauge --size SS10 --flock black --cutter desk --fit 0.35
  brushfall gauge --size SS10 --diameters 2.81,2.84,2.79,2.83 --hole-sd 0.03 --play 0.2
  brushfall gauge --list`

// gaugeFlags holds the flags as they were typed.
type gaugeFlags struct {
	size, out, flock, cutter, fits, book, paper, job string
	around, step, fit, language                      string
	steps, holes, answer                             int
	usual, list                                      bool
	diameters, holeSD, play, hole                    string
	share                                            float64
}

func (a *app) gaugeCommand() *cobra.Command {
	var f gaugeFlags
	cmd := &cobra.Command{
		Use:     "gauge --size SIZE -o FOLDER",
		Short:   "Find how wide holes must be: trial holes, and your fits",
		Long:    gaugeHelp,
		Example: gaugeExamples,
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.gauge(cmd.Context(), f)
		},
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVar(&f.size, "size", "", "stone `SIZE`, SS10")
	fs.StringVarP(&f.out, "out", "o", "", "make trial holes in this `FOLDER`")
	fs.StringVar(&f.flock, "flock", "", "`NAME` of the flock (default the shop's usual one)")
	fs.StringVar(&f.cutter, "cutter", "", "`NAME` of the cutter (default the shop's usual one)")
	fs.StringVar(&f.around, "around", "", "the middle fit of the trial holes, a `LENGTH` in mm (default the fit in use)")
	fs.StringVar(&f.step, "step", "", "from group to group, a `LENGTH` in mm (default 0.05)")
	fs.IntVar(&f.steps, "steps", 0, "`NUMBER` of groups (default 7)")
	fs.IntVar(&f.holes, "holes", 0, "`NUMBER` of holes in a group (default 24)")
	fs.StringVar(&f.job, "job", "", "cut them as this job `FILE` says: its cutter's offset, overcut, passes")
	fs.StringVar(&f.paper, "paper", "", "`PAPER`: a4 or letter (default a4)")
	fs.StringVar(&f.language, "language", "", languageHelp)
	fs.IntVar(&f.answer, "answer", 0, "enter the `NUMBER` of the group that took every stone and none twice")
	fs.StringVar(&f.fit, "fit", "", "enter a fit, a `LENGTH` in mm")
	fs.BoolVar(&f.usual, "usual", false, "with --answer or --fit: jobs that name no flock and cutter mean these from now on")
	fs.BoolVar(&f.list, "list", false, "show the fits that are kept")
	stonesFlag(fs, &f.book)
	fs.StringVar(&f.fits, "fits", "", "`FILE` of the fits, instead of the one in your folder for settings")
	fs.StringVar(&f.diameters, "diameters", "", "measured stones: `NUMBERS` in mm with commas between, or a CSV file")
	fs.StringVar(&f.holeSD, "hole-sd", "0", "scatter of the cutter's holes: their standard deviation, a `LENGTH` in mm")
	fs.StringVar(&f.play, "play", "0", "by how much a stone must be narrower than its hole to fall in, a `LENGTH` in mm")
	fs.StringVar(&f.hole, "hole", "", "the hole asked about, a `LENGTH` in mm (default the one in use)")
	fs.Float64Var(&f.share, "share", 0.5, "the refusals to stay under, in `PERCENT`")
	a.jsonFlag(fs)
	completeChoices(cmd)
	return cmd
}

func (a *app) gauge(ctx context.Context, f gaugeFlags) error {
	book, err := readFits(f.fits, f.fit != "" || f.answer != 0)
	if err != nil {
		return err
	}
	if f.list {
		return a.listFits(f, book)
	}
	if f.size == "" {
		return fault.New("usage", "", "say which stones: --size SS10; \"brushfall gauge --help\" shows what can be done")
	}
	size, err := catalogue.FindSize(f.size)
	if err != nil {
		return at("--size", err)
	}
	if err := f.names(); err != nil {
		return err
	}
	now := size.Fit()
	if own, ok := book.Find(size.Name, f.flock, f.cutter); ok {
		now = own.Fit
	}
	switch {
	case f.fit != "" || f.answer != 0:
		return a.enterFit(f, book, size, now)
	case f.diameters != "":
		return a.sample(f, size, now)
	case f.out != "":
		return a.trial(ctx, f, book, size, now)
	}
	return fault.New("usage", "", "say what to do: -o and a folder makes trial holes, --answer or --fit enters what they showed, --diameters asks what measured stones tell")
}

func (f gaugeFlags) names() error {
	for _, n := range []struct{ flag, name string }{{"--flock", f.flock}, {"--cutter", f.cutter}} {
		if n.name != "" {
			if err := fit.CheckName(n.name); err != nil {
				return at(n.flag, err)
			}
		}
	}
	return nil
}

// millimetres reads a small length: a bare number is one of mm here, where inches
// are never meant.
func millimetres(flag, text string) (float64, error) {
	if v, err := strconv.ParseFloat(strings.TrimSpace(text), 64); err == nil {
		if !(v >= 0 && v < float64(unit.Max)) {
			return 0, fault.New("length-range", flag, "%q cannot be; give a number of mm", text)
		}
		return v, nil
	}
	l, err := unit.ParseClearance(text)
	if err != nil {
		return 0, at(flag, err)
	}
	return l.MM(), nil
}

// options reads what trial holes the flags ask for.
func (f gaugeFlags) options(size catalogue.Size, now float64) (gauge.Options, error) {
	opt := gauge.Options{Size: size, Around: now, Steps: f.steps, Holes: f.holes}
	for _, l := range []struct {
		flag, text string
		into       *float64
	}{{"--around", f.around, &opt.Around}, {"--step", f.step, &opt.Step}} {
		if l.text == "" {
			continue
		}
		v, err := millimetres(l.flag, l.text)
		if err != nil {
			return opt, err
		}
		if v == 0 {
			return opt, fault.New("length-range", l.flag, "it must be more than 0")
		}
		*l.into = v
	}
	return opt, nil
}

// trial makes the plate and its paper.
func (a *app) trial(ctx context.Context, f gaugeFlags, book fit.Book, size catalogue.Size, now float64) error {
	opt, err := f.options(size, now)
	if err != nil {
		return err
	}
	ask := office.Trial{Options: opt, Flock: f.flock, Cutter: f.cutter, File: f.fits, Like: job.Default("")}
	if f.job != "" {
		text, err := readFile(f.job)
		if err != nil {
			return err
		}
		stones, err := readStones(ctx, f.book)
		if err != nil {
			return err
		}
		if ask.Like, err = job.ParseWith(stones, f.job, text); err != nil {
			return err
		}
	}
	if err := flagged("--paper", f.paper, job.ParsePaper, &ask.Like.Paper); err != nil {
		return err
	}
	if err := flagged("--language", f.language, wording.Find, &ask.Like.Language); err != nil {
		return err
	}
	g, err := ask.Gauge(book)
	if err != nil {
		return err
	}
	t, flock, cutter := g.Trial, g.Flock, g.Cutter
	out, err := openFolder(f.out)
	if err != nil {
		return err
	}
	defer out.discard()
	files, err := job.Gauge(g)
	if err != nil {
		return err
	}
	if err := out.commit(ctx, files); err != nil {
		return err
	}
	if a.json {
		a.print(map[string]any{"size": size.Name, "flock": flock, "cutter": cutter, "groups": t.Steps, "folder": f.out})
		return nil
	}
	fmt.Fprintf(a.out, "%s: %d groups of %d holes, flock %q, cutter %q\n", t.Document.Design, len(t.Steps), t.Holes, flock, cutter)
	for _, s := range t.Steps {
		fmt.Fprintf(a.out, "  group %d  hole %.2f mm, fit %.2f mm\n", s.Number, s.Hole, s.Fit)
	}
	fmt.Fprintf(a.out, "\nIn the folder %s: the plate as sheet-1 for the cutter, and gauge.pdf, which says what to do.\nThen: %s\n", f.out, g.Answer)
	return nil
}

// enterFit keeps what the trial holes showed.
func (a *app) enterFit(f gaugeFlags, book fit.Book, size catalogue.Size, now float64) error {
	if f.fit != "" && f.answer != 0 {
		return fault.New("usage", "", "--fit and --answer are both given; keep one")
	}
	answer := office.TrialAnswer{Trial: office.Trial{Flock: f.flock, Cutter: f.cutter}, Group: f.answer, Usual: f.usual}
	answer.Trial.Options.Size = size
	if f.fit != "" {
		mm, err := millimetres("--fit", f.fit)
		if err != nil {
			return err
		}
		answer.Fit = &mm
	} else {
		var err error
		if answer.Trial.Options, err = f.options(size, now); err != nil {
			return err
		}
	}
	next, entry, _, err := answer.Enter(book)
	if err != nil {
		if fault.CodeOf(err) == "gauge-answer" {
			err = at("--answer", err)
		}
		return err
	}
	mm := entry.Fit
	path, err := fitsPath(f.fits)
	if err != nil {
		return err
	}
	if err := writeFits(path, next); err != nil {
		return err
	}
	if a.json {
		a.print(entry)
		return nil
	}
	fmt.Fprintf(a.out, "%s on flock %q, cutter %q: fit %s mm, so holes of %s mm (before: %s mm)\nKept in %s; \"brushfall make\" uses it from now on", entry.Size, entry.Flock, entry.Cutter, office.PlainLength(mm), office.PlainLength(size.Largest+mm), office.PlainLength(size.Largest+now), path)
	if next.Flock != entry.Flock || next.Cutter != entry.Cutter {
		fmt.Fprintf(a.out, " for jobs with flock: %s and cutter: {name: %s}", entry.Flock, entry.Cutter)
	}
	fmt.Fprintln(a.out, ".")
	return nil
}

// listFits prints the fits that are kept.
func (a *app) listFits(f gaugeFlags, book fit.Book) error {
	path, err := fitsPath(f.fits)
	if err != nil {
		return err
	}
	if a.json {
		a.print(map[string]any{"file": path, "flock": book.Flock, "cutter": book.Cutter, "fits": append([]fit.Fit{}, book.Sorted()...)})
		return nil
	}
	if len(book.Fits) == 0 {
		fmt.Fprintln(a.out, "No fits are kept yet; brushfall gauge --size SS10 -o trial makes trial holes.")
		return nil
	}
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "flock\tcutter\tsize\tfit\thole")
	for _, e := range book.Sorted() {
		size, _ := catalogue.FindSize(e.Size) // the book has looked it up
		fmt.Fprintf(t, "%s\t%s\t%s\t%.2f mm\t%.2f mm\n", e.Flock, e.Cutter, e.Size, e.Fit, size.Largest+e.Fit)
	}
	_ = t.Flush() // run looks at what could not be written
	fmt.Fprintf(a.out, "\nJobs that name neither mean flock %q and cutter %q. The file is %s.\n", book.Flock, book.Cutter, path)
	return nil
}
