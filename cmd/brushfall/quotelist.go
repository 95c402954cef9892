package main

import (
	"bytes"
	"fmt"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/shop"
	"brushfall/internal/store"
)

func (a *app) quoteListCommand() *cobra.Command {
	var path string
	cmd := &cobra.Command{
		Use:   "list",
		Short: "List the quotes, newest first",
		Args:  noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				all, err := b.Quotes(cmd.Context())
				if err != nil {
					return err
				}
				rows := []quoteRow{}
				for _, q := range all {
					rows = append(rows, quoteRowOf(q, time.Now().Format(time.DateOnly)))
				}
				return a.say(rows, func(w *bytes.Buffer) { quoteTable(w, rows) })
			})
		},
	}
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func quoteTable(w *bytes.Buffer, rows []quoteRow) {
	if len(rows) == 0 {
		fmt.Fprintln(w, "No quotes yet: brushfall quote DESIGN")
		return
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "quote\tof\tuntil\tfor\tto pay\tanswer\tjob")
	for _, r := range rows {
		job := ""
		if r.Job != 0 {
			job = fmt.Sprint(r.Job)
		}
		fmt.Fprintf(t, "%d\t%s\t%s\t%s\t%s\t%s\t%s\n", r.Number, r.Day, r.Until, r.Called, r.Total, r.Answer, job)
	}
	t.Flush()
}

func (a *app) quoteShowCommand() *cobra.Command {
	var path string
	var explain bool
	cmd := &cobra.Command{
		Use:     "show NUMBER",
		Short:   "Reckon a quote again from what it was made with",
		Example: "  brushfall quote show 3 --explain",
		Args:    oneArgument("the number of the quote, as brushfall quote list has it"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.onQuote(cmd, path, args[0], func(b *store.Book, number int64) error {
				q, err := b.Quote(cmd.Context(), number)
				if err != nil {
					return err
				}
				made, s, err := q.Basis.Reckon()
				if err != nil {
					return err
				}
				return a.reportQuote(q, made, s, explain)
			})
		},
	}
	cmd.Flags().BoolVar(&explain, "explain", false, "tell the cost line by line")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

// onQuote reads the number of a quote and opens the book.
func (a *app) onQuote(cmd *cobra.Command, path, text string, do func(*store.Book, int64) error) error {
	number, err := numberOf("quote", text)
	if err != nil {
		return err
	}
	return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error { return do(b, number) })
}

func (a *app) quoteTakeCommand() *cobra.Command {
	var path, due string
	cmd := &cobra.Command{
		Use:     "take NUMBER",
		Short:   "The customer says yes: make a job of the quote",
		Long:    "The customer says yes: the quote is taken, and a job is asked for with its lines. One\nthat has lapsed may be taken too, at what it says. Promise the job to reserve what it\ntakes.",
		Example: "  brushfall quote take 3 --due 2026-12-04",
		Args:    oneArgument("the number of the quote, as brushfall quote list has it"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.onQuote(cmd, path, args[0], func(b *store.Book, number int64) error {
				q, j, err := b.TakeQuote(cmd.Context(), time.Now(), number, due)
				if err != nil {
					return err
				}
				return a.say(quoteRowOf(q, q.Day), func(w *bytes.Buffer) {
					fmt.Fprintf(w, "Quote %d is taken: job %d\n", q.Number, j.ID)
				})
			})
		},
	}
	cmd.Flags().StringVar(&due, "due", "", "`DAY` it is to be ready, such as 2026-12-04")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func (a *app) quoteTurnDownCommand() *cobra.Command {
	var path string
	cmd := &cobra.Command{
		Use:     "turn-down NUMBER",
		Short:   "The customer says no",
		Example: "  brushfall quote turn-down 3",
		Args:    oneArgument("the number of the quote, as brushfall quote list has it"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.onQuote(cmd, path, args[0], func(b *store.Book, number int64) error {
				q, err := b.TurnDownQuote(cmd.Context(), number)
				if err != nil {
					return err
				}
				return a.say(quoteRowOf(q, q.Day), func(w *bytes.Buffer) { fmt.Fprintf(w, "Quote %d is %s\n", q.Number, shop.TurnedDown) })
			})
		},
	}
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}
