package main

import (
	"io"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/office"
	"brushfall/internal/store"
)

func (a *app) pricePrintCommand() *cobra.Command {
	var path, day, until string
	var f paperFlags
	var notes []string
	cmd := &cobra.Command{
		Use:     "print",
		Short:   "Print the price list",
		Example: "  brushfall price print -o prices.pdf --until 2026-12-31",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			how, err := f.print()
			if err != nil {
				return err
			}
			paper := office.PriceListPaper{Day: time.Now(), Notes: notes}
			if err := flagged("--day", day, office.ParseDay, &paper.Day); err != nil {
				return err
			}
			if err := flagged("--until", until, office.ParseDay, &paper.Until); err != nil {
				return err
			}
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				return a.printed(cmd.Context(), f.out, func(w io.Writer) error { return office.PrintPriceList(cmd.Context(), w, b, paper, how) })
			})
		},
	}
	f.add(cmd, "prices.pdf")
	cmd.Flags().StringVar(&day, "day", "", "`DAY` of the list (default today)")
	cmd.Flags().StringVar(&until, "until", "", "last `DAY` on which it holds (default not said)")
	cmd.Flags().StringArrayVar(&notes, "note", nil, "a `TEXT` to print, as often as you like")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}
