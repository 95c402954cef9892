package main

import (
	"bytes"
	"context"

	"github.com/spf13/cobra"

	"brushfall/internal/advise"
	"brushfall/internal/artwork"
	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/job"
)

const adviseHelp = `Say which stones a drawing can carry at a width, before you cut anything: its
thinnest stroke and finest gap, what reads at arm's length with each size of
stone, what gets lost, and how small the design can be made with each.

The first line is the advice. Each answer comes from laying the stones in
earnest, one size for the whole drawing, in the quick way ("make --effort live"):
the counts of "make" differ a little.

Of a job file with lettering it says from which height of its capitals each piece
reads. Of a job file it looks at artwork, lettering and size alone: its stones and
rules are not asked.

With --text it needs no file: it says from which height of its capitals a word
reads in a face.`

const adviseExamples = `  brushfall advise badge.svg --width 9.5in
  brushfall advise badge.svg --width 9.5in --stone SS10
  brushfall advise names.yaml
  brushfall advise --text Herons --face Pacifico --stone SS6`

// adviseFlags holds the flags as they were typed.
type adviseFlags struct{ width, stone, text, face, height, book string }

func (a *app) adviseCommand() *cobra.Command {
	var f adviseFlags
	cmd := &cobra.Command{
		Use:     "advise DRAWING.svg|DRAWING.dxf --width LENGTH | JOB.yaml | --text WORD",
		Short:   "Say which stones suit a drawing, and how small it can be made",
		Long:    adviseHelp,
		Example: adviseExamples,
		Args: func(cmd *cobra.Command, args []string) error {
			if f.text == "" {
				return oneArgument("a drawing or a job file")(cmd, args)
			}
			if len(args) > 0 || f.width != "" {
				return fault.New("usage", "", "--text asks about a word alone: leave out the file and --width")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if f.text != "" {
				return a.adviseText(cmd.Context(), f)
			}
			if f.face != "" || f.height != "" {
				return fault.New("usage", "", "--face and --height go with --text; a job file has its own")
			}
			return a.advise(cmd.Context(), args[0], f)
		},
		ValidArgsFunction: filesOf("svg", "dxf", "yaml", "yml"),
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVar(&f.width, "width", "", "finished width of the design: a `LENGTH` with its unit, 9.5in, 24cm, 240mm")
	fs.StringVar(&f.stone, "stone", "", "ask about this stone `SIZE` alone (default SS6, SS10 and SS16)")
	fs.StringVar(&f.text, "text", "", "ask about these `WORDS` instead of a file")
	fs.StringVar(&f.face, "face", "", "the `FACE` of the words: one that comes with the program, an installed one, or a font file (default Archivo ExtraBold)")
	fs.StringVar(&f.height, "height", "", "ask about capitals of this height too: a `LENGTH` with its unit")
	stonesFlag(fs, &f.book)
	a.jsonFlag(fs)
	completeChoices(cmd)
	return cmd
}

// advice is the report with the warnings of the artwork, for other programs.
type advice struct {
	advise.Report
	Warnings []remark `json:"warnings"`
}

func (a *app) advise(ctx context.Context, input string, f adviseFlags) error {
	switch {
	case !isDrawing(input) && !isJobFile(input):
		return fault.New("artwork-kind", input, "this kind of file cannot be read: give an SVG or DXF drawing, or a job file (.yaml)")
	case f.width == "" && isDrawing(input):
		return fault.New("width-missing", "", "say how wide the design shall be, such as --width 9.5in")
	}
	stones, err := readStones(ctx, f.book)
	if err != nil {
		return err
	}
	j, err := readJob(stones, input, makeFlags{width: f.width})
	if err != nil {
		return err
	}
	if len(j.Widths) > 0 {
		return fault.New("usage", input, "the job file has a run of sizes: say which width the advice is about, such as --width 9.5in")
	}
	sizes, err := f.sizes()
	if err != nil {
		return err
	}
	bar := newBar(a.err)
	report, warnings, err := job.Advise(ctx, j, sizes, bar.progress)
	bar.clear()
	if err != nil {
		return err
	}
	return a.tell(j, report, warnings)
}

// sizes gives those that are asked about.
func (f adviseFlags) sizes() ([]catalogue.Size, error) {
	if f.stone == "" {
		return advise.Everyday(), nil
	}
	sizes := make([]catalogue.Size, 1)
	return sizes, flagged("--stone", f.stone, catalogue.FindSize, &sizes[0])
}

// tell prints the advice.
func (a *app) tell(j job.Job, report advise.Report, warnings []artwork.Warning) error {
	notes := remarks(j, job.Result{Warnings: warnings})
	if a.json {
		a.print(advice{report, notes})
		return nil
	}
	var b bytes.Buffer
	if err := report.Table(&b); err != nil {
		return err
	}
	printRemarks(&b, notes)
	_, err := b.WriteTo(a.out)
	return err
}
