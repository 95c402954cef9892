package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"brushfall/internal/job"
	"brushfall/internal/price"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

// timingsFlag adds --book to a command that takes the shop's own stones and the timings of
// its work from it.
func timingsFlag(fs *pflag.FlagSet, path *string) {
	fs.StringVar(path, "book", "", "`FILE` of the shop's book, whose own colours can be named and whose\ntimings the tickets have (default: the one in your data folder, if there is one)")
}

// readTimings gives the shop's own times of its work, of the book at path or of the usual
// book where there is one. The book is only read.
func readTimings(ctx context.Context, path string) (map[string]price.Value, error) {
	rates, err := ofTheBook(ctx, path, store.ReadRates)
	return shop.Timings(rates), err
}

// workRow is how long a work takes by the ticket.
type workRow struct {
	Work    string `json:"work"`
	Seconds string `json:"seconds"`
	Source  string `json:"source"`
	own     bool
}

func workRows(j job.Job) []workRow {
	times, err := j.WorkTimes()
	if err != nil {
		return nil // the job was made with them
	}
	var out []workRow
	for _, t := range times {
		out = append(out, workRow{t.Work, t.Seconds.String(), string(t.Source), t.Own})
	}
	return out
}

// worksText says whose times the ticket has.
func worksText(rows []workRow) string {
	var own []string
	for _, r := range rows {
		if r.own {
			own = append(own, r.Work)
		}
	}
	switch len(own) {
	case 0:
		return "Times of work on the ticket: usual ones, from memory and common practice (your own: brushfall price time)"
	case len(rows):
		return "Times of work on the ticket: your own, from the book"
	}
	return fmt.Sprintf("Times of work on the ticket: your own for %s, from the book; usual ones for the rest", strings.Join(own, ", "))
}
