package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

// brushFlags are those of the question what can be brushed.
type brushFlags struct {
	transfers int
	swap, all bool
	most      int
}

// brushRow is the answer for one template.
type brushRow struct {
	templateRow
	Can       bool         `json:"can"`
	Transfers int          `json:"transfers"`
	Missing   []missingRow `json:"missing"`
	Swaps     []swapRow    `json:"substitutes"`
}

type missingRow struct {
	Size   string `json:"size"`
	Colour string `json:"colour"`
	Pieces int    `json:"pieces"`
}

type swapRow struct {
	For   shop.Kind `json:"for"`
	By    shop.Kind `json:"by"`
	Apart float64   `json:"apart"`
}

func (a *app) canBrushCommand() *cobra.Command {
	var path string
	var f brushFlags
	cmd := &cobra.Command{
		Use:   "can-brush",
		Short: "Say which templates can be brushed with the stones on hand",
		Long: `Say which templates can be brushed today: of every kind the stones on hand, less
those promised to jobs, suffice for so many transfers, the spare ones counted in. After
them come those that are nearly possible, with what is missing.

--substitute lets another colour of the same size stand in where one is short: one
that the design does not have already, the nearest on the screen. Look at them side
by side before you brush.`,
		Example: "  brushfall template can-brush\n  brushfall template can-brush --transfers 12 --substitute --json",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if f.most < 0 {
				return fault.New("usage", "--most", "%d templates cannot be listed; give a number, or 0 for all", f.most)
			}
			if f.transfers < 1 || f.transfers > shop.MostPieces {
				return fault.New("usage", "--transfers", "%d transfers cannot be; give 1 to %d", f.transfers, shop.MostPieces)
			}
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				told, err := b.WhatToBrush(cmd.Context(), office.BrushQuestion(f.transfers, f.swap, f.all, f.most))
				if err != nil {
					return err
				}
				rows := brushRows(told)
				return a.say(rows, func(w *bytes.Buffer) { brushTable(w, rows) })
			})
		},
	}
	cmd.Flags().IntVar(&f.transfers, "transfers", 1, "how many transfers of each: a `NUMBER`")
	cmd.Flags().BoolVar(&f.swap, "substitute", false, "let other colours of the same size stand in")
	cmd.Flags().IntVar(&f.most, "most", mostFound, "how many at most: a `NUMBER`; 0 for all")
	cmd.Flags().BoolVar(&f.all, "all", false, "all templates, also those that much is missing of")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func brushRows(told []shop.Brushing) []brushRow {
	rows := []brushRow{}
	for _, b := range told {
		r := brushRow{templateRow: templateRowOf(b.Template), Can: b.Can(), Transfers: b.Transfers, Missing: []missingRow{}, Swaps: []swapRow{}}
		for _, m := range b.Missing {
			r.Missing = append(r.Missing, missingRow{m.Kind.Size, m.Kind.Colour, m.Pieces})
		}
		for _, s := range b.Swaps {
			r.Swaps = append(r.Swaps, swapRow(s))
		}
		rows = append(rows, r)
	}
	return rows
}

func brushTable(w io.Writer, rows []brushRow) {
	if len(rows) == 0 {
		fmt.Fprintln(w, "No template can be brushed with the stones on hand, nor nearly; --all lists what is missing")
		return
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "code\tdesign\tat\ttransfers\tmissing")
	for _, r := range rows {
		var notes []string
		for _, m := range r.Missing {
			notes = append(notes, fmt.Sprintf("%d %s %s", m.Pieces, m.Size, m.Colour))
		}
		for _, s := range r.Swaps {
			notes = append(notes, fmt.Sprintf("%s for %s", s.By, s.For.Colour))
		}
		place := r.Place
		if r.Condition == string(shop.Worn) {
			place += " (worn)"
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%d\t%s\n", r.Code, r.Design, place, r.Transfers, strings.Join(notes, ", "))
	}
	t.Flush()
}
