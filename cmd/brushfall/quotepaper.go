package main

import (
	"io"

	"github.com/spf13/cobra"

	"brushfall/internal/office"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

func (a *app) quotePrintCommand() *cobra.Command {
	var path, paid string
	var f paperFlags
	var order bool
	cmd := &cobra.Command{
		Use:     "print NUMBER",
		Short:   "Print a quote for the customer, or the order sheet of one that is taken",
		Long:    "Print a quote for the customer, on A4 or Letter, or with --order the order sheet of one\nthat is taken. What it costs and what you earn is not on it.",
		Example: "  brushfall quote print 3 -o quote.pdf\n  brushfall quote print 3 --order --paid 20 --language de -o order.pdf",
		Args:    oneArgument("the number of the quote, as brushfall quote list has it"),
		RunE: func(cmd *cobra.Command, args []string) error {
			deposit, err := shop.ParseMoney(paid)
			if err != nil {
				return at("--paid", err)
			}
			how, err := f.print()
			if err != nil {
				return err
			}
			return a.onQuote(cmd, path, args[0], func(b *store.Book, number int64) error {
				return a.printed(cmd.Context(), f.out, func(w io.Writer) error {
					if order {
						return office.PrintOrder(cmd.Context(), w, b, number, deposit, how)
					}
					return office.PrintQuote(cmd.Context(), w, b, number, how)
				})
			})
		},
	}
	f.add(cmd, "quote.pdf")
	cmd.Flags().BoolVar(&order, "order", false, "the order sheet of a quote that is taken")
	cmd.Flags().StringVar(&paid, "paid", "0", "what was paid already, an `AMOUNT`; on the order sheet")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}
