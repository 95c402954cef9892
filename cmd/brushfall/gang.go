package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"brushfall/internal/count"
	"brushfall/internal/fault"
	"brushfall/internal/job"
	"brushfall/internal/sheet"
	"brushfall/internal/unit"
)

const gangHelp = `Make several designs in one run, their templates side by side on as few sheets
of flock as can be found.

Name the job files, each with the number of templates you want of it after a
colon: badge.yaml:3 is three; without a number it is one.

The folder you name after -o gets:
  sheet-1.svg .dxf .plt .pdf   the sheets with all templates, for your cutter
  ticket.pdf                   print it: what lies where, stones, tape, offcuts to keep
  counts.csv                   the stones for all, one transfer from each template
  offcuts.csv                  what is left of the sheets: the odd pieces of the next run
  sheets.json                  every sheet, plate and offcut, for other programs
and a folder for each design with its own ticket.pdf, counts.csv, proof.png and
layout.json.

Odd pieces are used before a new sheet is begun. Give them with --piece, or a list
with --pieces: the offcuts.csv of the last run, or a file of your own.`

const gangExamples = `  brushfall gang badge.yaml:3 heart.yaml -o regatta
  brushfall gang *.yaml --roll 12in -o regatta
  brushfall gang badge.yaml:2 heart.yaml --pieces last/offcuts.csv --piece 8x11in:2 -o regatta`

// gangFlags holds the flags as they were typed; empty ones were not given.
type gangFlags struct {
	sheet, roll, longest string
	margin, spacing      string
	common, upright      bool
	piece                []string
	pieces               []string
	tape, film           string
	paper, effort        string
	language             string
	flock, cutter        string
	fits, book           string
	out                  string
}

func (a *app) gangCommand() *cobra.Command {
	var f gangFlags
	cmd := &cobra.Command{
		Use:     "gang JOB.yaml[:NUMBER]... -o FOLDER",
		Short:   "Make several designs on common sheets",
		Long:    gangHelp,
		Example: gangExamples,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fault.New("usage", "", "name one or more job files: %s", cmd.UseLine())
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.gang(cmd.Context(), args, f)
		},
		ValidArgsFunction: filesOf("yaml", "yml"),
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVarP(&f.out, "out", "o", "", "`FOLDER` to write into; it is made if it is not there")
	f.add(fs)
	a.jsonFlag(fs)
	return cmd
}

// add adds the flags about sheets and papers, which other commands have too.
func (f *gangFlags) add(fs *pflag.FlagSet) {
	fs.StringVar(&f.sheet, "sheet", "", "width and height of the sheets of flock, an `AREA` such as 12x20in\n(default what the job files say)")
	fs.StringVar(&f.roll, "roll", "", "flock off a roll of this width, a `LENGTH` such as 12in, instead of sheets")
	fs.StringVar(&f.longest, "longest", "", "longest piece cut from the roll, a `LENGTH` (default 800 mm)")
	fs.StringVar(&f.margin, "margin", "", "`LENGTH` that stays free along the sheet's edges (default 6 mm)")
	fs.StringVar(&f.spacing, "spacing", "", "`LENGTH` between two templates (default 3 mm)")
	fs.BoolVar(&f.common, "common-cuts", false, "let templates touch and share the cut between them")
	fs.BoolVar(&f.upright, "no-turn", false, "turn no template, for flock with a grain")
	fs.StringArrayVar(&f.piece, "piece", nil, "an odd piece of flock to use first, an `AREA` such as 8x11in, 8x11in:2 for two")
	fs.StringArrayVar(&f.pieces, "pieces", nil, "`FILE` with a list of odd pieces to use first, .csv or .yaml")
	fs.StringVar(&f.tape, "tape", "", "sheets of tape, an `AREA`, or the width of a roll (default 12x12in)")
	fs.StringVar(&f.film, "film", "", "sheets of decal film, an `AREA`, or the width of a roll (default 12x12in)")
	fs.StringVar(&f.flock, "flock", "", "`NAME` of the flock whose trial holes say how wide holes are\n(default the shop's usual one)")
	fs.StringVar(&f.cutter, "cutter", "", "`NAME` of the cutter that they were cut on")
	fs.StringVar(&f.fits, "fits", "", "`FILE` of the shop's fits, instead of the one that \"gauge\" keeps")
	timingsFlag(fs, &f.book)
	fs.StringVar(&f.paper, "paper", "", "`PAPER` of the tickets: a4 or letter (default what the job files say)")
	fs.StringVar(&f.language, "language", "", languageHelp)
	fs.StringVar(&f.effort, "effort", "", "`EFFORT`: live for a quick look, final for the cut")
}

// given gives the flags that go for each job.
func (f gangFlags) given() makeFlags {
	return makeFlags{paper: f.paper, language: f.language, effort: f.effort, flock: f.flock, cutter: f.cutter, fits: f.fits, book: f.book}
}

// gang reads the jobs, runs them together and writes the folder.
func (a *app) gang(ctx context.Context, args []string, f gangFlags) error {
	if f.out == "" {
		return fault.New("out-missing", "", "say where to write: add -o and a folder, such as -o regatta")
	}
	stones, err := readStones(ctx, f.book)
	if err != nil {
		return err
	}
	works, err := readTimings(ctx, f.book)
	if err != nil {
		return err
	}
	var jobs []job.GangJob
	for _, arg := range args {
		name, number, err := splitNumber(arg, isThere)
		if err != nil {
			return err
		}
		if !isJobFile(name) {
			return fault.New("usage", name, "gang takes job files (.yaml), each of which says how large its drawing is and which stones it gets")
		}
		given := f.given()
		j, err := readJob(stones, name, given)
		if err != nil {
			return err
		}
		if j, err = withFits(j, given); err != nil {
			return err
		}
		j.Works = works
		jobs = append(jobs, job.GangJob{Job: j, Number: number})
	}
	opt, err := f.options(jobs[0].Sheet)
	if err != nil {
		return err
	}
	return a.produceGang(ctx, jobs, opt, f.out)
}

func isThere(name string) bool {
	_, err := os.Stat(name)
	return err == nil
}

// splitNumber parts "heron.yaml:3" into the file and the number. What follows the
// last colon is a number only where a job file's name stands before it, so that
// the colons of drive letters and of names stay; a file that is there by the whole
// name is that file.
func splitNumber(arg string, there func(string) bool) (name string, number int, err error) {
	i := strings.LastIndex(arg, ":")
	if i < 0 || !isJobFile(arg[:i]) || there(arg) {
		return arg, 1, nil
	}
	n, err := strconv.Atoi(arg[i+1:])
	if err != nil || n < 1 || n > job.MostTemplates {
		return "", 0, fault.New("gang-number", arg, "%q is no number of templates; write %s:2 for two, at most %d", arg[i+1:], filepath.Base(arg[:i]), job.MostTemplates)
	}
	return arg[:i], n, nil
}

// options turns the flags to what the gang shares. A flag about the sheet changes
// the first job's sheet, and then goes for all.
func (f gangFlags) options(first job.Sheet) (job.GangOptions, error) {
	var opt job.GangOptions
	t := first
	if f.sheet != "" && f.roll != "" {
		return opt, fault.New("usage", "--roll", "--sheet and --roll are both given; keep one")
	}
	if f.longest != "" && f.roll == "" {
		return opt, fault.New("usage", "--longest", "--longest goes with --roll")
	}
	var roll, longest unit.Length
	area := [2]unit.Length{t.Width, t.Height}
	steps := []error{
		flagged("--sheet", f.sheet, parseArea, &area),
		flagged("--roll", f.roll, unit.ParseLength, &roll),
		flagged("--longest", f.longest, unit.ParseLength, &longest),
		flagged("--margin", f.margin, unit.ParseClearance, &t.Margin),
		flagged("--spacing", f.spacing, unit.ParseClearance, &t.Spacing),
		flagged("--tape", f.tape, parseStock, &opt.Tape),
		flagged("--film", f.film, parseStock, &opt.Film),
		flagged("--paper", f.paper, job.ParsePaper, &opt.Paper),
	}
	for _, err := range steps {
		if err != nil {
			return opt, err
		}
	}
	if f.sheet != "" {
		t.Width, t.Height, t.Roll = area[0], area[1], false
	}
	if roll > 0 {
		t = t.OffRoll(roll, longest)
	}
	t.Common, t.Upright = t.Common || f.common, t.Upright || f.upright
	if f.sheet != "" || roll > 0 || t != first {
		opt.Sheet = &t
	}
	var err error
	opt.Pieces, err = f.oddPieces()
	return opt, err
}

// oddPieces reads the odd pieces of all flags.
func (f gangFlags) oddPieces() ([]sheet.Piece, error) {
	var out []sheet.Piece
	for _, text := range f.piece {
		more, err := job.ParsePiece(text)
		if err != nil {
			return nil, at("--piece", err)
		}
		out = append(out, more...)
	}
	for _, name := range f.pieces {
		text, err := readFile(name)
		if err != nil {
			return nil, err
		}
		more, err := job.ParsePieces(name, text)
		if err != nil {
			return nil, err
		}
		out = append(out, more...)
	}
	return out, nil
}

func parseArea(text string) ([2]unit.Length, error) {
	w, h, err := job.ParseArea(text)
	return [2]unit.Length{w, h}, err
}

// parseStock reads sheets, "12x12in", or the width of a roll, "12in".
func parseStock(text string) (count.Stock, error) {
	if w, err := unit.ParseLength(text); err == nil {
		return count.Stock{Width: w.MM()}, nil
	}
	w, h, err := job.ParseArea(text)
	return count.Stock{Width: w.MM(), Height: h.MM()}, err
}

// produceGang runs the jobs and writes the files of all, or nothing.
func (a *app) produceGang(ctx context.Context, jobs []job.GangJob, opt job.GangOptions, dir string) error {
	out, err := openFolder(dir)
	if err != nil {
		return err
	}
	defer out.discard()
	bar := newBar(a.err)
	res, err := job.RunGang(ctx, jobs, opt, bar.progress)
	bar.clear()
	if err != nil {
		return err
	}
	if len(res.Findings) > 0 {
		if !a.json {
			fmt.Fprintln(a.err, "brushfall: the layout breaks rules, so nothing was written; please report it with the job files.")
		}
		return a.findings(res.Findings)
	}
	files := res.Files()
	if err := out.commit(ctx, files); err != nil {
		return err
	}
	return a.reportGang(gangSummaryOf(res, dir, files))
}
