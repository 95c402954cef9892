package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

// jobRow is a job for a machine.
type jobRow struct {
	Job      int64         `json:"job"`
	Customer int64         `json:"customer,omitempty"`
	Name     string        `json:"name,omitempty"`
	State    string        `json:"state"`
	Due      string        `json:"due,omitempty"`
	Note     string        `json:"note,omitempty"`
	Lines    []jobLineRow  `json:"lines"`
	Steps    []stepRow     `json:"steps,omitempty"`
	Short    []shortageRow `json:"short,omitempty"`
	PutAway  []putAwayRow  `json:"put_away,omitempty"`
}

// putAwayRow is a template that was entered for a job and has no place yet.
type putAwayRow struct {
	Code   string `json:"code"`
	Design string `json:"design"`
}

type jobLineRow struct {
	Line        int    `json:"line"`
	Design      int64  `json:"design"`
	Name        string `json:"name"`
	Quantity    int    `json:"quantity"`
	Destination string `json:"destination"`
	Blank       string `json:"blank,omitempty"`
	Template    string `json:"template"`
	Shelf       int    `json:"from_shelf"`
	Made        int    `json:"made"`
	Handed      bool   `json:"handed_over,omitempty"`
}

type stepRow struct {
	At        time.Time `json:"at"`
	What      string    `json:"what"`
	State     string    `json:"state"`
	Line      int       `json:"line,omitempty"`
	Transfers int       `json:"transfers,omitempty"`
	Drawn     int       `json:"from_shelf,omitempty"`
	Cost      *string   `json:"cost,omitempty"`
	Note      string    `json:"note,omitempty"`
	Deeds     []int64   `json:"deeds,omitempty"`
	Template  string    `json:"template,omitempty"`
}

func jobRowOf(j shop.Job) jobRow {
	r := jobRow{Job: j.ID, Customer: j.Customer, Name: j.Called, State: string(j.State), Due: j.Due, Note: j.Note, Lines: []jobLineRow{}}
	for _, l := range j.Lines {
		r.Lines = append(r.Lines, jobLineRow{l.Number, l.Design, l.Name, l.Quantity, string(l.Destination), l.Blank, string(l.Template), l.Shelf, l.Made, l.Handed})
	}
	return r
}

func stepRowOf(s shop.Step) stepRow {
	r := stepRow{At: s.At, What: s.What, State: string(s.State), Line: s.Line, Transfers: s.Transfers, Drawn: s.Drawn, Note: s.Note, Deeds: s.Deeds, Template: s.Template}
	if s.Cost != nil {
		r.Cost = shown(*s.Cost, true)
	}
	return r
}

// stands is the state in words, with what was handed over of it.
func (r jobRow) stands() string {
	if r.State != string(shop.HandedOver) && slices.ContainsFunc(r.Lines, func(l jobLineRow) bool { return l.Handed }) {
		return r.State + ", partly handed over"
	}
	return r.State
}

// who names the customer, or the shop itself.
func (r jobRow) who() string {
	if r.Customer == 0 {
		return "the shop"
	}
	return r.Name
}

// reportJob prints a job as it is now, with what it lacks where it is promised.
func (a *app) reportJob(ctx context.Context, b *store.Book, j shop.Job) error {
	row := jobRowOf(j)
	if j.State == shop.Promised {
		all, err := b.Shortages(ctx)
		if err != nil {
			return err
		}
		for _, s := range all {
			if s.Free() < 0 && slices.Contains(s.Jobs, j.ID) {
				row.Short = append(row.Short, shortageRowOf(s))
			}
		}
	}
	var err error
	if row.PutAway, err = putAway(ctx, b, j.ID); err != nil {
		return err
	}
	return a.say(row, func(w *bytes.Buffer) { row.text(w) })
}

// putAway gives the templates of a job's transfers that nobody said the place of.
func putAway(ctx context.Context, b *store.Book, job int64) ([]putAwayRow, error) {
	steps, err := b.Steps(ctx, job)
	if err != nil {
		return nil, err
	}
	var out []putAwayRow
	for _, s := range steps {
		if s.Template == "" || slices.ContainsFunc(out, func(r putAwayRow) bool { return r.Code == s.Template }) {
			continue
		}
		t, err := b.Template(ctx, s.Template)
		if err != nil {
			return nil, err
		}
		if t.Place == shop.NotPutAway {
			out = append(out, putAwayRow{t.Code, t.Design})
		}
	}
	return out, nil
}

func (r jobRow) text(w io.Writer) {
	due := ""
	if r.Due != "" {
		due = ", due " + r.Due
	}
	fmt.Fprintf(w, "Job %d for %s is %s%s\n", r.Job, r.who(), r.stands(), due)
	if r.Note != "" {
		fmt.Fprintf(w, "  %s\n", r.Note)
	}
	for _, l := range r.Lines {
		fmt.Fprintf(w, "  %d: %s\n", l.Line, l.text())
	}
	if len(r.Short) > 0 {
		fmt.Fprintln(w, "Short for the promised jobs together (brushfall buy --jobs says what to buy):")
		for _, s := range r.Short {
			fmt.Fprintf(w, "  %s %s: %d\n", s.Size, s.Colour, s.Short)
		}
	}
	for _, t := range r.PutAway {
		fmt.Fprintf(w, "Template %s (%s) is in the book; say where you put it: brushfall template move %s --to PLACE\n", t.Code, t.Design, t.Code)
	}
}

func (l jobLineRow) text() string {
	text := fmt.Sprintf("%d × %s for %s", l.Quantity, l.Name, l.Destination)
	if l.Blank != "" {
		text += " (" + l.Blank + ")"
	}
	if l.Shelf > 0 {
		text += fmt.Sprintf(", %d from the shelf", l.Shelf)
	}
	if l.Made > 0 {
		text += fmt.Sprintf(", %d made", l.Made)
	}
	if l.Handed {
		text += ", handed over"
	}
	return text
}

func (a *app) jobListCommand() *cobra.Command {
	var path, customer string
	var states []string
	var all bool
	cmd := &cobra.Command{
		Use:     "list",
		Short:   "List the open jobs, those due first on top",
		Long:    "List the open jobs: asked, promised and made. Those due first are on top.",
		Example: "  brushfall job list\n  brushfall job list --state promised\n  brushfall job list --all --customer Herons",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			which := shop.Which{States: []shop.State{shop.Asked, shop.Promised, shop.Made}}
			if all {
				which.States = nil
			}
			if len(states) > 0 {
				which.States = nil
				for _, s := range states {
					state := shop.State(strings.ReplaceAll(strings.ToLower(s), "-", " "))
					if !slices.Contains(shop.States(), state) {
						return fault.New("usage", "--state", "%q is no state of a job; choose of asked, promised, made, handed-over, dropped", s)
					}
					which.States = append(which.States, state)
				}
			}
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				var err error
				if which.Customer, err = customerNumber(cmd.Context(), b, customer); err != nil {
					return err
				}
				jobs, err := b.Jobs(cmd.Context(), which)
				if err != nil {
					return err
				}
				rows := []jobRow{}
				for _, j := range jobs {
					rows = append(rows, jobRowOf(j))
				}
				return a.say(rows, func(w *bytes.Buffer) { jobTable(w, rows) })
			})
		},
	}
	cmd.Flags().StringSliceVar(&states, "state", nil, "only jobs in this `STATE`, again for more")
	cmd.Flags().BoolVar(&all, "all", false, "also those handed over and dropped")
	cmd.Flags().StringVar(&customer, "customer", "", "only of this customer: a `NUMBER`, or words of the name")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func jobTable(w io.Writer, rows []jobRow) {
	if len(rows) == 0 {
		fmt.Fprintln(w, "No such jobs: brushfall job add")
		return
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "job\tfor\tstate\tdue\twhat")
	for _, r := range rows {
		for i, l := range r.Lines {
			if i == 0 {
				fmt.Fprintf(t, "%d\t%s\t%s\t%s\t%s\n", r.Job, r.who(), r.stands(), r.Due, l.text())
				continue
			}
			fmt.Fprintf(t, "\t\t\t\t%s\n", l.text())
		}
	}
	t.Flush()
}

func (a *app) jobShowCommand() *cobra.Command {
	var path string
	cmd := &cobra.Command{
		Use:     "show NUMBER",
		Short:   "Show a job with all that was done",
		Example: "  brushfall job show 7",
		Args:    oneArgument("the number of the job, as brushfall job list has it"),
		RunE: func(cmd *cobra.Command, args []string) error {
			id, err := numberOf("job", args[0])
			if err != nil {
				return err
			}
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				j, err := b.Job(cmd.Context(), id)
				if err != nil {
					return err
				}
				steps, err := b.Steps(cmd.Context(), id)
				if err != nil {
					return err
				}
				row := jobRowOf(j)
				for _, s := range steps {
					row.Steps = append(row.Steps, stepRowOf(s))
				}
				return a.say(row, func(w *bytes.Buffer) {
					row.text(w)
					fmt.Fprintln(w)
					stepTable(w, row.Steps)
				})
			})
		},
	}
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func stepTable(w io.Writer, steps []stepRow) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, s := range steps {
		cost := ""
		if s.Cost != nil {
			cost = "took " + *s.Cost
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\n", s.At.Local().Format("2006-01-02 15:04"), s.text(), cost, s.Note)
	}
	t.Flush()
}

func (s stepRow) text() string {
	switch {
	case s.Line == 0:
		return s.What
	case s.What == string(shop.HandedOver):
		return fmt.Sprintf("handed line %d over", s.Line)
	case s.What == shop.StepWasted && s.Transfers == 0:
		return fmt.Sprintf("wasted stones of line %d", s.Line)
	}
	text := fmt.Sprintf("%s %d of line %d", s.What, s.Transfers, s.Line)
	if s.Drawn > 0 {
		text += fmt.Sprintf(", %d from the shelf", s.Drawn)
	}
	if s.Template != "" {
		text += ", with " + s.Template
	}
	return text
}
