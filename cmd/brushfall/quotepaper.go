package main

import (
	"context"
	"io"
	"strconv"
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
			return a.onQuote(cmd, path, args[0], func(b *store.Book, number int64) error {
				q, err := b.Quote(cmd.Context(), number)
				if err != nil {
					return err
				}
				made, s, err := q.Basis.Reckon()
				if err != nil {
					return err
				}
				opt, s, err := f.of(s)
				if err != nil {
					return err
				}
				sale, err := saleOf(q, made, s)
				if err != nil {
					return err
				}
				if err := sized(cmd.Context(), b, q, &sale); err != nil {
					return err
				}
				if sale.Customer, err = partyOf(cmd, b, q.Customer); err != nil {
					return err
				}
				if !order {
					until, _ := time.Parse(time.DateOnly, q.Until) // the book has days alone
					return a.printed(cmd.Context(), f.out, func(w io.Writer) error {
						return pdf.WriteQuote(w, ticket.Quote{Sale: sale, Until: until}, opt)
					})
				}
				if q.Job == 0 {
					return fault.New("quote-answered", "--order", "quote %d is not taken yet; brushfall quote take %d", number, number)
				}
				j, err := b.Job(cmd.Context(), q.Job)
				if err != nil {
					return err
				}
				due, _ := time.Parse(time.DateOnly, j.Due) // none leaves a line to fill in
				return a.printed(cmd.Context(), f.out, func(w io.Writer) error {
					return pdf.WriteOrder(w, ticket.Order{Sale: sale, Due: due, Paid: deposit}, opt)
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

// of gives the paper's options, and the settings with the language and the shop that
// were named for it.
func (f *paperFlags) of(s price.Settings) (pdf.Options, price.Settings, error) {
	opt, language, err := f.options()
	if f.language != "" {
		s.Language = language
	}
	if f.shop != "" {
		s.Shop = f.shop
	}
	if err == nil && s.Currency == "" {
		err = fault.New("price-unset", "currency", "papers need it: brushfall price set currency=EUR, and for a quote that was made before --with currency=EUR")
	}
	return opt, s, err
}

// partyOf gives a customer as a paper names it.
func partyOf(cmd *cobra.Command, b shop.Customers, id int64) (ticket.Party, error) {
	if id == 0 {
		return ticket.Party{}, nil
	}
	c, err := b.Customer(cmd.Context(), id)
	if err != nil {
		return ticket.Party{}, err
	}
	out := ticket.Party{Name: c.Called()}
	for _, line := range []string{c.Address, c.Email, c.Phone} {
		if line != "" {
			out.Lines = append(out.Lines, line)
		}
	}
	return out, nil
}

// saleOf gives what the customer sees of a quote.
func saleOf(q shop.Quote, made price.Quote, s price.Settings) (ticket.Sale, error) {
	v := wording.In(s.Language)
	day, err := time.Parse(time.DateOnly, q.Day)
	if err != nil {
		return ticket.Sale{}, fault.Wrap("book", err)
	}
	out := ticket.Sale{
		Language: s.Language, Number: strconv.FormatInt(q.Number, 10), Shop: party(s.Shop), Date: day, Currency: s.Currency,
		TaxIncluded: s.Tax.Contained, Net: made.Shown, Total: made.Sale.Total,
	}
	for _, o := range made.Offers {
		out.Lines = append(out.Lines, ticket.SaleLine{What: o.Design, Detail: []string{destined(v, o)}, Pieces: o.Quantity, Each: o.Price, Amount: o.Amount})
		out.Goods = out.Goods.Add(o.Amount)
	}
	if !made.Rush.IsZero() {
		out.Charges = append(out.Charges, ticket.Charge{What: v.Say("Rush"), Amount: made.Rush})
	}
	for _, e := range made.Extras {
		out.Charges = append(out.Charges, ticket.Charge{What: e.What, Amount: e.Amount})
	}
	if !s.Tax.Share.IsZero() {
		out.Taxes = []ticket.Tax{{Rate: s.Tax.Share.Mul(decimal.NewFromInt(100)), Of: made.Sale.Goods, Amount: made.Sale.Tax}}
	}
	return out, nil
}

// sized adds the sides of the designs, where the book knows them.
func sized(ctx context.Context, b shop.Designs, q shop.Quote, sale *ticket.Sale) error {
	v := wording.In(sale.Language)
	for i := range sale.Lines {
		d, err := b.Design(ctx, q.Basis.Designs[i])
		if err != nil {
			return err
		}
		if d.Width > 0 && d.Height > 0 {
			sale.Lines[i].Detail = append(sale.Lines[i].Detail, v.Area(d.Width, d.Height))
		}
	}
	return nil
}

// destined says in the customer's words what the pieces of an offer are.
func destined(v wording.Voice, o price.Offer) string {
	switch {
	case o.Blank != "":
		return v.Say("on %s", o.Blank)
	case o.For == price.ForTransfer:
		return v.Say("transfer on its tape, ready to press")
	case o.For == price.ForDecal:
		return v.Say("decal, ready to stick")
	}
	return v.Say("on what you bring")
}
