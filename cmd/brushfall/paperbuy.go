package main

import (
	"bytes"
	"encoding/json"
	"io"
	"strings"
	"time"

	"github.com/shopspring/decimal"
	"github.com/spf13/cobra"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/ticket"
	"brushfall/internal/ticket/pdf"
	"brushfall/internal/wording"
)

// tenGross is how many pieces a pack without a known price holds.
const tenGross = 1440

func (a *app) paperBuyCommand() *cobra.Command {
	var f paperFlags
	var currency, date string
	cmd := &cobra.Command{
		Use:     "buy [FILE]",
		Short:   "Print a buy list from what \"brushfall buy --json\" says",
		Example: "  brushfall buy badge=30 --json | brushfall paper buy\n  brushfall paper buy list.json --currency EUR --language es -o buy.pdf",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			opt, language, err := f.options()
			if err != nil {
				return err
			}
			var day time.Time
			if err := flagged("--date", date, parseDay, &day); err != nil {
				return err
			}
			answer, err := a.readBuy(args)
			if err != nil {
				return err
			}
			list, err := answer.paper(language, strings.ToUpper(currency))
			if err != nil {
				return err
			}
			list.Shop, list.Date = party(f.shop), day
			return a.printed(cmd.Context(), f.out, func(w io.Writer) error { return pdf.WriteBuyList(w, list, opt) })
		},
		ValidArgsFunction: filesOf("json"),
	}
	f.add(cmd, "buy.pdf")
	cmd.Flags().StringVar(&currency, "currency", "", "`CODE` of the currency, such as EUR (default none is printed)")
	cmd.Flags().StringVar(&date, "date", "", "`DAY` of the list, 2031-05-03 (default a line to fill in)")
	a.jsonFlag(cmd.Flags())
	return cmd
}

// readBuy reads the answer of "buy --json" from a file, or from stdin.
func (a *app) readBuy(args []string) (buyAnswer, error) {
	var out buyAnswer
	var text []byte
	var err error
	where := "stdin"
	if len(args) > 0 && args[0] != "-" {
		where = args[0]
		text, err = readFile(args[0])
	} else {
		text, err = io.ReadAll(io.LimitReader(a.in, mostInput))
	}
	if err != nil {
		return out, err
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&out); err != nil {
		return out, fault.New("buy-list", where, "this is not what \"brushfall buy --json\" prints (%v); run it with --json into a file", err)
	}
	return out, nil
}

// paper makes the paper's model: what is bought, supplier by supplier.
func (o buyAnswer) paper(language wording.Language, currency string) (ticket.BuyList, error) {
	l := ticket.BuyList{Language: language, Currency: currency}
	at, items := map[string]int{}, 0
	var err error
	number := func(text string) decimal.Decimal {
		d, e := decimal.NewFromString(text)
		if e != nil && err == nil {
			err = fault.New("buy-list", "", "%q is no amount", text)
		}
		return d
	}
	supplier := func(name string) *ticket.BuyFrom {
		i, ok := at[name]
		if !ok {
			i = len(l.Suppliers)
			at[name] = i
			l.Suppliers = append(l.Suppliers, ticket.BuyFrom{Name: name})
		}
		return &l.Suppliers[i]
	}
	for _, n := range o.Needs {
		what := n.Size + " " + n.Colour
		var look *ticket.Swatch
		if c, err := catalogue.FindColour(n.Colour); err == nil {
			look = &ticket.Swatch{Hex: c.Hex, AB: c.Finish == catalogue.AB}
		}
		switch {
		case n.Unpriced > 0:
			l.Unpriced = append(l.Unpriced, ticket.BuyItem{What: what, Look: look, Holds: tenGross, Packs: n.Unpriced, Short: n.Short})
		case n.Short == 0:
			l.Enough = append(l.Enough, what)
		}
		for _, p := range n.Purchases {
			from := supplier(p.Supplier)
			item := ticket.BuyItem{What: what, Look: look, Holds: p.Labelled, Packs: p.Packs, Each: number(p.Price), Amount: number(p.Cost), Short: n.Short, Left: n.Leftover}
			from.Items = append(from.Items, item)
			items++
			from.Sum = from.Sum.Add(item.Amount)
		}
	}
	for _, s := range o.From {
		from := supplier(s.Supplier)
		from.Delivery = number(s.Delivery)
		from.Sum = from.Sum.Add(from.Delivery)
	}
	for _, s := range l.Suppliers {
		l.Delivery = l.Delivery.Add(s.Delivery)
		l.Total = l.Total.Add(s.Sum)
	}
	l.Goods = l.Total.Sub(l.Delivery)
	// each purchase is told rounded to a cent, by half of one at most
	most := decimal.New(int64(5*(items+1)), -3)
	if told := number(o.Total); err == nil && l.Total.Sub(told).Abs().GreaterThan(most) {
		err = fault.New("buy-list", "", "the purchases add up to %s, the list says %s: it was changed", l.Total, told)
	}
	return l, err
}
