package main

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/job"
	"brushfall/internal/unit"
	"brushfall/internal/wording"
)

const makeHelp = `Make everything for one design.

DRAWING is your artwork: an SVG or DXF file. Filled shapes are filled with
stones, thin strokes get a single row. JOB.yaml is a short text file that says
more than flags can: which stone each colour of the drawing gets, how its shapes
are filled. docs/formats/job.md shows one.

The folder you name after -o gets:
  sheet-1.svg .dxf .plt .pdf
                          the templates, for your cutter (any one of the four)
  ticket.pdf              print it: counts, brushing order, pressing, cautions
  counts.csv              the stones to buy, for a spreadsheet
  proof.png               a picture of the finished design
  layout.json             every stone, for "brushfall inspect" and "measure"

With --widths the design is laid out anew at each width, and each width gets such
a folder inside yours, with the table sizes.csv over all.`

const makeExamples = `  brushfall make badge.svg --width 9.5in --stone SS10 -o badge
  brushfall make badge.svg --width 24cm --stone SS6 --colour "light sapphire" -o badge
  brushfall make badge.yaml -o badge
  brushfall make badge.yaml --widths 7in,9in,11in -o badges`

// makeFlags holds the flags as they were typed; empty ones were not given.
type makeFlags struct {
	width, height, widths         string
	stone, colour, gap            string
	garment, paper, press, effort string
	language                      string
	flock, cutter, fits, book     string
	out                           string
}

func (a *app) makeCommand() *cobra.Command {
	var f makeFlags
	cmd := &cobra.Command{
		Use:     "make DRAWING.svg|DRAWING.dxf|JOB.yaml -o FOLDER",
		Short:   "Make the templates, cut files, counts and ticket of a design",
		Long:    makeHelp,
		Example: makeExamples,
		Args:    oneArgument("a drawing or a job file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.make(cmd.Context(), args[0], f)
		},
		ValidArgsFunction: filesOf("svg", "dxf", "yaml", "yml"),
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVarP(&f.out, "out", "o", "", "`FOLDER` to write into; it is made if it is not there")
	fs.StringVar(&f.width, "width", "", "finished width of the design: a `LENGTH` with its unit, 9.5in, 24cm, 240mm")
	fs.StringVar(&f.height, "height", "", "finished height (a `LENGTH`), instead of the width")
	fs.StringVar(&f.widths, "widths", "", "several widths, instead of one: `LENGTHS` with commas between, 7in,9in,11in")
	fs.StringVar(&f.stone, "stone", "", "stone `SIZE` (default SS10); everyday sizes are SS6, SS10, SS16")
	fs.StringVar(&f.colour, "colour", "", "stone colour, a `NAME` such as \"light sapphire\" (default crystal)")
	fs.StringVar(&f.gap, "gap", "", "clear space between two stones, a `LENGTH` such as 1mm\n(default auto: as tight as one template can hold)")
	fs.StringVar(&f.flock, "flock", "", "`NAME` of the flock whose trial holes say how wide holes are\n(default the shop's usual one)")
	fs.StringVar(&f.cutter, "cutter", "", "`NAME` of the cutter that they were cut on")
	fs.StringVar(&f.fits, "fits", "", "`FILE` of the shop's fits, instead of the one that \"gauge\" keeps")
	timingsFlag(fs, &f.book)
	fs.StringVar(&f.garment, "garment", "", "`COLOUR` of the cloth in the picture: navy, \"#1b1d22\"")
	fs.StringVar(&f.paper, "paper", "", "`PAPER` of the ticket: a4 or letter (default a4)")
	fs.StringVar(&f.language, "language", "", languageHelp)
	fs.StringVar(&f.press, "press", "", "`MATERIAL` it is pressed onto: cotton, polyester, nylon,\nacrylic, glass (default undecided)")
	fs.StringVar(&f.effort, "effort", "", "`EFFORT`: live for a quick look, final for the cut (default final)")
	a.jsonFlag(fs)
	completeChoices(cmd)
	return cmd
}

func (a *app) jsonFlag(fs *pflag.FlagSet) {
	fs.BoolVar(&a.json, "json", false, "answer in JSON, for other programs")
}

// make reads the input, runs the job and writes the folder.
func (a *app) make(ctx context.Context, input string, f makeFlags) error {
	stones, err := readStones(ctx, f.book)
	if err != nil {
		return err
	}
	j, err := readJob(stones, input, f)
	if err != nil {
		return err
	}
	if j, err = withFits(j, f); err != nil {
		return err
	}
	if j.Works, err = readTimings(ctx, f.book); err != nil {
		return err
	}
	if f.out == "" {
		return fault.New("out-missing", "", "say where to write: add -o and a folder, such as -o %q", strings.ReplaceAll(j.Design, " ", "-"))
	}
	if len(j.Widths) > 0 {
		return a.produceSizes(ctx, j, f.out)
	}
	return a.produce(ctx, j, f.out, nil)
}

// produce runs a job and writes its files, and some more, into a folder.
func (a *app) produce(ctx context.Context, j job.Job, dir string, more []job.File) error {
	out, err := openFolder(dir)
	if err != nil {
		return err
	}
	defer out.discard()
	bar := newBar(a.err)
	res, err := job.Run(ctx, j, bar.progress)
	bar.clear()
	if err != nil {
		return err
	}
	if len(res.Findings) > 0 {
		return a.refuse(res)
	}
	files := append(slices.Clone(more), res.Files()...)
	if err := out.commit(ctx, files); err != nil {
		return err
	}
	return a.report(summarise(j, res, dir, files))
}

// readJob makes the job of a job file with flags, or of a drawing with flags.
func readJob(stones catalogue.Stones, input string, f makeFlags) (job.Job, error) {
	var j job.Job
	switch {
	case isJobFile(input):
		if f.stone != "" || f.colour != "" || f.gap != "" {
			return j, fault.New("usage", input, "the job file says which stones and gaps to use: change them there, not with --stone, --colour or --gap")
		}
		text, err := readFile(input)
		if err != nil {
			return j, err
		}
		if j, err = job.ParseWith(stones, input, text); err != nil {
			return j, forAList(err, input, text)
		}
	case isDrawing(input):
		j = job.Default(input)
		j.Stones = stones
	default:
		return j, fault.New("artwork-kind", input, "this kind of file cannot be read: give an SVG or DXF drawing, or a job file (.yaml)")
	}
	if err := f.apply(&j); err != nil {
		return j, err
	}
	err := readNamed(&j, input)
	return j, err
}

// forAList says of a job file that cannot be read alone, because it has fields for the
// columns of a list, what makes it; other faults stay.
func forAList(err error, name string, text []byte) error {
	t, broken := job.ParseTemplate(name, text)
	if broken != nil {
		return err
	}
	field := t.Fields()[0]
	return fault.New("job-list", fmt.Sprintf("%s:%d", name, field.Line), "{%s} stands for a column of a list: make a transfer of each of its rows with brushfall roster %s LIST.csv; words that are to stand in braces themselves go in quotes", field.Name, name)
}

// readNamed reads the files that a job names: its artwork, and the faces of its
// lettering, from the folder of the job file.
func readNamed(j *job.Job, input string) error {
	if err := readFaces(j, filepath.Dir(input)); err != nil {
		return err
	}
	for _, name := range j.ArtworkFiles() {
		data, err := readArtwork(name, input)
		if err != nil {
			return err
		}
		*j = j.WithArtwork(name, data)
	}
	return nil
}

// readArtwork reads one drawing.
func readArtwork(name, input string) ([]byte, error) {
	if isJobFile(input) && !filepath.IsAbs(name) {
		name = filepath.Join(filepath.Dir(input), name)
	}
	return readFile(name)
}

// apply lays the flags over a job. A width, height or widths given here take the
// place of whichever the job file has.
func (f makeFlags) apply(j *job.Job) error {
	if f.width != "" || f.height != "" || f.widths != "" {
		j.Width, j.Height, j.Widths = 0, 0, nil
	}
	var err error
	if j.Stone, err = job.ParseStone(j.Stones, j.Stone, f.stone, f.colour); err != nil {
		return at(stoneFlag(f, err), err)
	}
	steps := []error{
		flagged("--width", f.width, unit.ParseLength, &j.Width),
		flagged("--height", f.height, unit.ParseLength, &j.Height),
		flagged("--widths", f.widths, job.ParseWidths, &j.Widths),
		flagged("--gap", f.gap, job.ParseGap, &j.Gap),
		flagged("--garment", f.garment, job.ParsePaint, &j.Garment),
		flagged("--paper", f.paper, job.ParsePaper, &j.Paper),
		flagged("--language", f.language, wording.Find, &j.Language),
		flagged("--press", f.press, job.ParsePress, &j.Press),
		flagged("--effort", f.effort, job.ParseEffort, &j.Effort),
	}
	for _, err := range steps {
		if err != nil {
			return err
		}
	}
	return j.CheckSize()
}

// stoneFlag says which of the two flags of a stone the fault is about.
func stoneFlag(f makeFlags, err error) string {
	if fault.CodeOf(err) == "colour-unknown" {
		return "--colour"
	}
	return "--stone"
}

// flagged reads the text of a flag, if it was given, into its place.
func flagged[T any](name, text string, parse func(string) (T, error), into *T) error {
	if text == "" {
		return nil
	}
	v, err := parse(text)
	if err != nil {
		return at(name, err)
	}
	*into = v
	return nil
}

func isJobFile(name string) bool {
	return slices.Contains([]string{".yaml", ".yml"}, strings.ToLower(filepath.Ext(name)))
}

func isDrawing(name string) bool {
	return slices.Contains([]string{".svg", ".dxf"}, strings.ToLower(filepath.Ext(name)))
}

// filesOf completes the names of files of some kinds.
func filesOf(kinds ...string) cobra.CompletionFunc {
	return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return kinds, cobra.ShellCompDirectiveFilterFileExt
	}
}

// completeChoices completes the values of the flags that have a list of them.
func completeChoices(cmd *cobra.Command) {
	var sizes, colours, materials []string
	for _, s := range catalogue.Sizes() {
		sizes = append(sizes, fmt.Sprintf("%s\t%g to %g mm", s.Name, s.Smallest, s.Largest))
	}
	for _, c := range catalogue.Colours() {
		colours = append(colours, c.Name)
	}
	for _, m := range job.Materials() {
		materials = append(materials, string(m))
	}
	choices := map[string][]string{
		"stone": sizes, "colour": colours, "gap": {"auto"},
		"paper":    {string(job.A4), string(job.Letter)},
		"press":    materials,
		"effort":   {"live", "final"},
		"language": languageWords(),
	}
	for flag, words := range choices {
		// the error is for a flag that does not exist; the test of completion
		// asks for each of these
		_ = cmd.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp))
	}
}
