package main

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"brushfall/internal/shop"
	"brushfall/internal/store"
)

// shortageRow is what promised jobs take of a kind, for a machine.
type shortageRow struct {
	Size     string  `json:"size"`
	Colour   string  `json:"colour"`
	OnHand   int     `json:"on_hand"`
	Reserved int     `json:"reserved"`
	Gone     int     `json:"for_missing_transfers"`
	Short    int     `json:"short"`
	Free     int     `json:"free"`
	Jobs     []int64 `json:"jobs"`
}

func shortageRowOf(s shop.Shortage) shortageRow {
	return shortageRow{s.Kind.Size, s.Kind.Colour, s.OnHand, s.Reserved, s.Gone, max(0, -s.Free()), max(0, s.Free()), s.Jobs}
}

func (a *app) jobShortCommand() *cobra.Command {
	var path string
	var all bool
	cmd := &cobra.Command{
		Use:     "short",
		Short:   "Say what the promised jobs lack, all of them together",
		Long:    "Say what all promised jobs together take beyond what is on hand. Transfers that were\nto come from the shelf and are gone count with the stones to make them again.",
		Example: "  brushfall job short\n  brushfall job short --all --json",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				found, err := b.Shortages(cmd.Context())
				if err != nil {
					return err
				}
				rows := []shortageRow{}
				for _, s := range found {
					if all || s.Free() < 0 {
						rows = append(rows, shortageRowOf(s))
					}
				}
				return a.say(rows, func(w *bytes.Buffer) { shortageTable(w, rows, len(found)) })
			})
		},
	}
	cmd.Flags().BoolVar(&all, "all", false, "also what there is enough of")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func shortageTable(w io.Writer, rows []shortageRow, kinds int) {
	switch {
	case kinds == 0:
		fmt.Fprintln(w, "No promised job takes anything")
	case len(rows) == 0:
		fmt.Fprintln(w, "Nothing is short: all that the promised jobs take is there")
	default:
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		fmt.Fprintln(t, "size\tcolour\ton hand\ttaken\tshort\tfor jobs")
		for _, r := range rows {
			short := ""
			if r.Short > 0 {
				short = strconv.Itoa(r.Short)
			}
			fmt.Fprintf(t, "%s\t%s\t%d\t%d\t%s\t%s\n", r.Size, r.Colour, r.OnHand, r.Reserved+r.Gone, short, ids(r.Jobs))
		}
		t.Flush()
	}
}

// designRow is a design of the book for a machine.
type designRow struct {
	Design int64   `json:"design"`
	Name   string  `json:"name"`
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
	Plates int     `json:"plates"`
	Sheets int     `json:"sheets"`
}

func (a *app) jobDesignsCommand() *cobra.Command {
	var path string
	cmd := &cobra.Command{
		Use:     "designs",
		Short:   "List the designs that jobs were asked of, with their numbers",
		Example: "  brushfall job designs",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				all, err := b.Designs(cmd.Context())
				if err != nil {
					return err
				}
				rows := []designRow{}
				for _, d := range all {
					rows = append(rows, designRow{d.ID, d.Name, d.Width, d.Height, d.Plates, d.Flock})
				}
				return a.say(rows, func(w *bytes.Buffer) {
					t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
					fmt.Fprintln(t, "design\tname\tsize in mm\tplates")
					for _, r := range rows {
						fmt.Fprintf(t, "%d\t%s\t%.1f × %.1f\t%d\n", r.Design, r.Name, r.Width, r.Height, r.Plates)
					}
					t.Flush()
				})
			})
		},
	}
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}
