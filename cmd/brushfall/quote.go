package main

import (
	"bytes"
	"context"
	"maps"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/price"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

const quoteHelp = `Reckon what to ask for designs, and keep it as a quote with a number. What it costs
you, what you earn and what your hour brings is told to you alone.

` + itemHelp + `

A quote keeps all it was made with: brushfall quote show reckons it again as it was. One
that is taken becomes a job.`

type quoteFlags struct {
	path, customer, note string
	day, until           string
	fees, tax            string
	blanks, extras, with []string
	rush, shelf, listed  bool
	dry, explain         bool
}

func (a *app) quoteCommand() *cobra.Command {
	var f quoteFlags
	cmd := &cobra.Command{
		Use:     "quote DESIGN[=NUMBER][:WHAT[:BLANK]]... [--customer NUMBER|NAME]",
		Short:   "Make a quote: what to ask, what it costs, what you earn",
		Long:    quoteHelp + "\n\n" + bookHelp,
		Example: "  brushfall quote badge=12:disc:\"disc 3 in\" crest=3:garment --customer Herons --fees card\n  brushfall quote badge=12:decal --rush --extra Delivery=4.90 --tax \"20% contained\" --dry-run\n  brushfall quote show 3 --explain",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fault.New("usage", "", "name a design, such as brushfall quote badge=12; brushfall quote list has the quotes there are")
			}
			return nil
		},
		RunE:              func(cmd *cobra.Command, args []string) error { return a.quote(cmd.Context(), f, args) },
		ValidArgsFunction: filesOf("json"),
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVar(&f.customer, "customer", "", "who asks: a `NUMBER`, or words of the name")
	fs.StringVar(&f.fees, "fees", "", "`NAMES` of the fees that are taken: card, market or card,market")
	fs.StringVar(&f.tax, "tax", "", "a `TAX` for this quote, such as \"20% contained\"")
	fs.BoolVar(&f.rush, "rush", false, "it must be quick: add the rush fee")
	fs.StringArrayVar(&f.extras, "extra", nil, "something beside, `\"NAME=AMOUNT\"`, such as Delivery=4.90")
	fs.StringArrayVar(&f.blanks, "blank", nil, "what a blank costs, `\"NAME=AMOUNT\"`")
	fs.StringArrayVar(&f.with, "with", nil, "a setting for this quote alone, `\"NAME=VALUE\"`, such as reuses=12")
	fs.BoolVar(&f.shelf, "from-shelf", false, "the transfers lie on the shelf already")
	fs.BoolVar(&f.listed, "listed", false, "take the prices of the price list")
	fs.StringVar(&f.day, "day", "", "`DAY` of the quote, such as 2026-12-04 (default today)")
	fs.StringVar(&f.until, "until", "", "last `DAY` on which it holds (default by the setting valid)")
	fs.StringVar(&f.note, "note", "", "a `TEXT` to remember; it goes on the job too")
	fs.BoolVar(&f.explain, "explain", false, "tell the cost line by line")
	fs.BoolVar(&f.dry, "dry-run", false, "only reckon, keep nothing")
	a.bookFlag(fs, &f.path)
	cmd.AddCommand(a.quoteListCommand(), a.quoteShowCommand(), a.quotePrintCommand(), a.quoteTakeCommand(), a.quoteTurnDownCommand())
	return cmd
}

// quote makes a quote and keeps it.
func (a *app) quote(ctx context.Context, f quoteFlags, args []string) error {
	return withStore(ctx, f.path, store.Open, func(b *store.Book) error {
		r, err := f.request(ctx, b, args)
		if err != nil {
			return err
		}
		o, err := office.Reckon(ctx, b, r, time.Now())
		if err != nil {
			return err
		}
		q := o.Quote
		if !f.dry {
			if q, err = o.Keep(ctx, b, time.Now(), nil); err != nil {
				return err
			}
		}
		return a.reportQuote(q, o.Made, o.Settings, f.explain)
	})
}

// request reads what is asked for.
func (f quoteFlags) request(ctx context.Context, b *store.Book, args []string) (office.Request, error) {
	r := office.Request{Day: f.day, Until: f.until, Note: f.note, Fees: fees(f.fees), With: f.changes(), Rush: f.rush, FromShelf: f.shelf, Listed: f.listed}
	var err error
	if r.Blanks, err = blankCosts(f.blanks); err != nil {
		return r, err
	}
	if f.customer != "" {
		c, err := customerOf(ctx, b, f.customer)
		if err != nil {
			return r, err
		}
		r.Customer = c.ID
	}
	for _, arg := range args {
		l, err := parseItem(arg)
		if err != nil {
			return r, err
		}
		r.Lines = append(r.Lines, l)
	}
	for _, text := range f.extras {
		name, amount, _ := strings.Cut(text, "=")
		m, err := shop.ParseMoney(amount)
		if err != nil {
			return r, at("--extra", err)
		}
		r.Extras = append(r.Extras, price.Extra{What: strings.TrimSpace(name), Amount: m})
	}
	return r, nil
}

// changes gives the settings that were said for this quote.
func (f quoteFlags) changes() map[string]string {
	out := map[string]string{}
	for _, text := range f.with {
		name, value, _ := strings.Cut(text, "=")
		out[name] = value
	}
	if f.tax != "" {
		maps.Copy(out, map[string]string{"tax": f.tax})
	}
	return out
}

// quoteRow is a quote for a machine.
type quoteRow struct {
	Number   int64  `json:"quote,omitempty"`
	Day      string `json:"day"`
	Until    string `json:"until"`
	Customer int64  `json:"customer,omitempty"`
	Called   string `json:"called,omitempty"`
	Answer   string `json:"answer"`
	Job      int64  `json:"job,omitempty"`
	Note     string `json:"note,omitempty"`
	Total    string `json:"total"`
}

// wholeQuote is a quote with what it was made with.
type wholeQuote struct {
	quoteRow
	price.Quote
	Settings map[string]price.Value `json:"settings"`
}

func quoteRowOf(q shop.Quote, today string) quoteRow {
	return quoteRow{Number: q.Number, Day: q.Day, Until: q.Until, Customer: q.Customer, Called: q.Called, Answer: string(q.On(today)), Job: q.Job, Note: q.Note, Total: q.Total.String()}
}

// reportQuote prints a quote as it was reckoned.
func (a *app) reportQuote(q shop.Quote, made price.Quote, s price.Settings, explain bool) error {
	row := wholeQuote{quoteRowOf(q, time.Now().Format(time.DateOnly)), made, s.Given}
	return a.say(row, func(w *bytes.Buffer) { quoteText{w, s}.write(row, explain) })
}
