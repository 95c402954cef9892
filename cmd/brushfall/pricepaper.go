package main

import (
	"io"
	"slices"
	"time"

	"github.com/shopspring/decimal"
	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/price"
	"brushfall/internal/shop"
	"brushfall/internal/store"
	"brushfall/internal/ticket"
	"brushfall/internal/ticket/pdf"
	"brushfall/internal/wording"
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
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				p, err := newPricing(cmd.Context(), b, nil)
				if err != nil {
					return err
				}
				opt, s, err := f.of(p.settings)
				if err != nil {
					return err
				}
				list, err := b.PriceList(cmd.Context())
				if err != nil {
					return err
				}
				if len(list) == 0 {
					return fault.New("price-list", "", "there is no price on the list; brushfall price list DESIGN --keep puts some there")
				}
				paper := priceListOf(list, s)
				paper.Date, paper.Notes = time.Now(), notes
				if err := flagged("--day", day, parseDay, &paper.Date); err != nil {
					return err
				}
				if err := flagged("--until", until, parseDay, &paper.Until); err != nil {
					return err
				}
				return a.printed(cmd.Context(), f.out, func(w io.Writer) error { return pdf.WritePriceList(w, paper, opt) })
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

// priceListOf gives the list as a paper has it: a table for all that the same number of
// pieces makes cheaper, a row for each design and what it is for.
func priceListOf(list []shop.Listed, s price.Settings) ticket.PriceList {
	v := wording.In(s.Language)
	out := ticket.PriceList{Language: s.Language, Shop: party(s.Shop), Currency: s.Currency}
	if !s.Tax.Share.IsZero() {
		out.Tax = ticket.TaxOn
		if s.Tax.Contained {
			out.Tax = ticket.TaxIn
		}
	}
	for len(list) > 0 {
		first := list[0]
		row := ticket.PriceRow{What: first.Design, Detail: destined(v, price.Offer{For: first.For, Blank: blankOf(first.For)})}
		var breaks []int
		for len(list) > 0 && list[0].Design == first.Design && list[0].For == first.For {
			breaks = append(breaks, list[0].From)
			row.Prices = append(row.Prices, decimal.NewNullDecimal(list[0].Price))
			list = list[1:]
		}
		at := slices.IndexFunc(out.Groups, func(g ticket.PriceGroup) bool { return slices.Equal(g.Breaks, breaks) })
		if at < 0 {
			at = len(out.Groups)
			out.Groups = append(out.Groups, ticket.PriceGroup{Breaks: breaks})
		}
		out.Groups[at].Rows = append(out.Groups[at].Rows, row)
	}
	return out
}

// blankOf gives the blank that a price is for, none where it is for a destination alone.
func blankOf(what string) string {
	if _, err := shop.FindDestination(what); err == nil || what == price.ForTransfer {
		return ""
	}
	return what
}
