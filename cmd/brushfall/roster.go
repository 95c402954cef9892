package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"brushfall/internal/artwork/lettering"
	"brushfall/internal/fault"
	"brushfall/internal/job"
	"brushfall/internal/price"
	"brushfall/internal/roster"
)

const rosterHelp = `Make the transfers of a whole list in one run: a name, a number or whatever
differs from row to row, their templates side by side on common sheets.

JOB.yaml is a job file with the names of columns in braces where the list has
its word: text: "{name}". LIST is a table, saved as CSV (UTF-8) or as an Excel
workbook; its first row names the columns. A column "quantity" says how many
transfers a row wants. Rows that come to the same share one template.

All that is wrong with the list is told at once, and then nothing is written.
Look first with --dry-run, which also counts the stones and the sheets.

The folder you name after -o gets:
  sheet-1.svg .dxf .plt .pdf   the sheets with all templates, for your cutter
  ticket.pdf                   print it: what lies where, stones, tape, offcuts to keep
  counts.csv                   the stones for all transfers
  roster.csv                   every row of the list with its design and folder
  offcuts.csv, sheets.json     what is left of the sheets; every sheet, for programs
and a folder for each design with its own ticket.pdf, counts.csv, proof.png and
layout.json.

A run that is stopped or killed goes on where it was when you start it again.`

const rosterExamples = `  brushfall roster crew.yaml crew.csv --dry-run
  brushfall roster crew.yaml crew.csv -o crew
  brushfall roster crew.yaml crew.xlsx --skip-faulty --roll 12in -o crew`

// rosterFlags holds the flags as they were typed.
type rosterFlags struct {
	gangFlags
	dry, skip bool
}

func (a *app) rosterCommand() *cobra.Command {
	var f rosterFlags
	cmd := &cobra.Command{
		Use:     "roster JOB.yaml LIST.csv|LIST.xlsx -o FOLDER",
		Short:   "Make the transfers of a list, row by row, on common sheets",
		Long:    rosterHelp,
		Example: rosterExamples,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fault.New("usage", "", "name a job file and a list: %s", cmd.UseLine())
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.roster(cmd.Context(), args[0], args[1], f)
		},
		ValidArgsFunction: filesOf("yaml", "yml", "csv", "tsv", "txt", "xlsx"),
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVarP(&f.out, "out", "o", "", "`FOLDER` to write into; it is made if it is not there")
	fs.BoolVar(&f.dry, "dry-run", false, "write nothing; show what is wrong with the list, and count stones and sheets")
	fs.BoolVar(&f.skip, "skip-faulty", false, "leave out the rows that something is wrong with, and make the others")
	f.add(fs)
	a.jsonFlag(fs)
	return cmd
}

// roster reads the job file and the list, and makes all.
func (a *app) roster(ctx context.Context, input, list string, f rosterFlags) error {
	if !isJobFile(input) {
		return fault.New("usage", input, "name the job file (.yaml) first, and then the list")
	}
	if f.out == "" && !f.dry {
		return fault.New("out-missing", "", "say where to write: add -o and a folder, such as -o crew; or look first, with --dry-run")
	}
	r, err := a.composed(ctx, input, list, f)
	if err != nil {
		return err
	}
	opt := job.RosterOptions{SkipFaulty: f.skip || f.dry}
	if len(r.Designs) > 0 {
		if opt.Gang, err = f.options(r.Designs[0].Job.Sheet); err != nil {
			return err
		}
	}
	if f.dry {
		return a.produceRoster(ctx, r, opt, f, nil)
	}
	store, err := openStore(f.out)
	if err != nil {
		return err
	}
	opt.Store = store
	if err = a.produceRoster(ctx, r, opt, f, store); errors.Is(err, context.Canceled) {
		store.close()
		return &halted{fmt.Sprintf("stopped; %s is as it was. What was finished is kept: the same command goes on from there", f.out)}
	}
	store.discard()
	return err
}

// composed reads the job file and the list and makes designs of the rows.
func (a *app) composed(ctx context.Context, input, list string, f rosterFlags) (job.Roster, error) {
	text, err := readFile(input)
	if err != nil {
		return job.Roster{}, err
	}
	stones, err := readStones(ctx, f.book)
	if err != nil {
		return job.Roster{}, err
	}
	t, err := job.ParseTemplateWith(stones, input, text)
	if err != nil {
		return job.Roster{}, err
	}
	table, err := readFile(list)
	if err != nil {
		return job.Roster{}, err
	}
	l, faults, err := roster.Read(list, bytes.NewReader(table))
	if err != nil {
		return job.Roster{}, err
	}
	works, err := readTimings(ctx, f.book)
	if err != nil {
		return job.Roster{}, err
	}
	prepare, err := f.prepare(input, works)
	if err != nil {
		return job.Roster{}, err
	}
	flags := f.gangFlags
	flags.out, flags.book = "", ""
	r, err := job.Compose(t, l, faults, fmt.Sprintf("%s %+v", programDigest(), flags), prepare)
	return r, err
}

// prepare lays the flags over the job of a row, and gives it the files that it
// names, each of which is read once for all rows.
func (f rosterFlags) prepare(input string, works map[string]price.Value) (job.Prepare, error) {
	given := f.given()
	trial := job.Default("trial.svg")
	trial.Width = 1
	if err := given.apply(&trial); err != nil {
		return nil, err
	}
	trial, err := withFits(trial, given)
	if err != nil {
		return nil, err
	}
	files := &readOnce{artwork: map[string][]byte{}}
	return func(j job.Job) (job.Job, error) {
		if err := given.apply(&j); err != nil {
			return j, err
		}
		j.Fits, j.Works = trial.Fits, works
		if f.flock != "" {
			j.Flock = trial.Flock
		}
		if f.cutter != "" {
			j.Cutter.Name = trial.Cutter.Name
		}
		return j, files.readNamed(&j, input)
	}, nil
}

// readOnce reads the files that the jobs of a list name, each once: artwork by the
// name that a job has for it, and faces.
type readOnce struct {
	artwork map[string][]byte
	faces   []*lettering.Face
}

// readNamed is that of one job.
func (r *readOnce) readNamed(j *job.Job, input string) error {
	for _, name := range j.FacesWanted() {
		one := job.Job{Lettering: []lettering.Piece{{Face: name}}}
		if !slices.ContainsFunc(r.faces, func(f *lettering.Face) bool { return f.Name() == name }) {
			if err := readFaces(&one, filepath.Dir(input)); err != nil {
				return err
			}
			r.faces = append(r.faces, one.Faces...)
		}
		i := slices.IndexFunc(r.faces, func(f *lettering.Face) bool { return f.Name() == name })
		j.Faces = append(j.Faces, r.faces[i])
	}
	for _, name := range j.ArtworkFiles() {
		data, ok := r.artwork[name]
		if !ok {
			var err error
			if data, err = readArtwork(name, input); err != nil {
				return err
			}
			r.artwork[name] = data
		}
		*j = j.WithArtwork(name, data)
	}
	return nil
}

// produceRoster runs the list and writes its folder, unless it is a dry run.
func (a *app) produceRoster(ctx context.Context, r job.Roster, opt job.RosterOptions, f rosterFlags, store *rosterStore) error {
	bar := newBar(a.err)
	res, err := job.RunRoster(ctx, r, opt, bar.progress)
	bar.clear()
	if err != nil {
		return err
	}
	refused := len(res.Faults) > 0 && (!opt.SkipFaulty || len(res.GangResult.Designs) == 0)
	if refused && !f.dry {
		return a.refuseRoster(res)
	}
	if len(res.Findings) > 0 {
		if !a.json {
			fmt.Fprintln(a.err, "brushfall: the layout breaks rules, so nothing was written; please report it with the job file and the list.")
		}
		return a.findings(res.Findings)
	}
	var names []string
	if store != nil {
		if names, err = store.finish(ctx); err != nil {
			return err
		}
	}
	if err := a.reportRoster(rosterSummaryOf(res, f, sortedNames(names))); err != nil {
		return err
	}
	if f.dry && len(res.Faults) > 0 {
		return errFaults
	}
	return nil
}

// refuseRoster prints all that is wrong with a list.
func (a *app) refuseRoster(res job.RosterResult) error {
	if a.json {
		a.print(map[string]any{"faults": res.Faults})
	}
	fmt.Fprintf(a.err, "brushfall: %s: %s, so nothing was written:\n", res.List.Name, faulty(res.Faults))
	for _, l := range faultLines(res.Faults) {
		fmt.Fprintln(a.err, "  "+l)
	}
	fmt.Fprintln(a.err, "Mend the list, or make the other rows with --skip-faulty.")
	return errFaults
}

// faulty tells how many rows something is wrong with.
func faulty(faults []roster.Fault) string {
	rows := map[int]bool{}
	for _, f := range faults {
		rows[f.Row] = true
	}
	if rows[0] {
		return "something is wrong with every row"
	}
	if len(rows) == 1 {
		return "something is wrong with 1 row"
	}
	return fmt.Sprintf("something is wrong with %d rows", len(rows))
}

// faultLines gives faults as lines; lines of their own that say the same of
// several rows are one.
func faultLines(faults []roster.Fault) []string {
	type same struct{ column, message string }
	at := map[same]int{}
	var lines []same
	rows := map[same][]string{}
	for _, f := range faults {
		key := same{f.Column, f.Message}
		if _, ok := at[key]; !ok {
			at[key] = len(lines)
			lines = append(lines, key)
		}
		rows[key] = append(rows[key], fmt.Sprint(f.Row))
	}
	var out []string
	for _, key := range lines {
		where := "row " + rows[key][0]
		if len(rows[key]) > 1 {
			where = "rows " + strings.Join(rows[key], ", ")
		}
		if rows[key][0] == "0" {
			out = append(out, key.message)
			continue
		}
		if key.column != "" {
			where += ", " + key.column
		}
		out = append(out, where+": "+key.message)
	}
	return out
}
