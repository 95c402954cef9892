package main

import (
	"bytes"
	"cmp"
	"fmt"
	"strconv"
	"strings"
	"text/tabwriter"

	"brushfall/internal/price"
	"brushfall/internal/wording"
)

// quoteText prints a quote for the shop: first what the customer sees, then what the
// shop alone is to know.
type quoteText struct {
	w *bytes.Buffer
	s price.Settings
}

// money writes an amount in the shop's currency, in whole coins.
func (t quoteText) money(x price.Amount) string {
	return wording.In(t.s.Language).Money(t.s.Coin.Round(x), t.s.Currency)
}

func (t quoteText) write(q wholeQuote, explain bool) {
	name := "Quote"
	if q.Number != 0 {
		name += " " + strconv.FormatInt(q.Number, 10)
	}
	if q.Called != "" {
		name += " for " + q.Called
	}
	fmt.Fprintf(t.w, "%s of %s, holds until %s: %s", name, q.Day, q.Until, q.Answer)
	if q.Job != 0 {
		fmt.Fprintf(t.w, ", job %d", q.Job)
	}
	fmt.Fprintln(t.w)
	t.shown(q)
	t.own(q)
	for _, o := range q.Offers {
		t.offer(o, explain)
	}
}

// shown prints what the customer sees.
func (t quoteText) shown(q wholeQuote) {
	tw := tabwriter.NewWriter(t.w, 0, 0, 2, ' ', tabwriter.AlignRight)
	row := func(cells ...string) { fmt.Fprintln(tw, strings.Join(cells, "\t")+"\t") }
	row("", "pieces", "each", "together")
	for _, o := range q.Offers {
		row(title(o), strconv.Itoa(o.Quantity), t.money(o.Price), t.money(o.Amount))
	}
	if !q.Rush.IsZero() {
		row("rush, "+price.Percent(t.s.Rush), "", "", t.money(q.Rush))
	}
	for _, e := range q.Extras {
		row(e.What, "", "", t.money(e.Amount))
	}
	taxes := func(form string) {
		for _, l := range q.Sale.Taxes {
			row(fmt.Sprintf(form, cmp.Or(l.Name, "tax"))+", "+price.Percent(l.Share), "", "", t.money(l.Amount))
		}
	}
	if !t.s.Tax.Contained {
		taxes("%s")
	}
	row("to pay", "", "", t.money(q.Sale.Total))
	if t.s.Tax.Contained {
		taxes("with %s in it")
	}
	tw.Flush()
}

// title names a line of a quote.
func title(o price.Offer) string {
	text := o.Design + ", " + o.For
	if o.Blank != "" {
		text += " (" + o.Blank + ")"
	}
	return text
}

// own prints what the order brings.
func (t quoteText) own(q wholeQuote) {
	fmt.Fprintln(t.w, "\nFor you alone:")
	for _, f := range q.Sale.Fees {
		fmt.Fprintf(t.w, "  %s takes %s\n", f.Name, t.money(f.Amount))
	}
	fmt.Fprintf(t.w, "  it costs %s, you earn %s: %s of the price without tax, %s of the cost\n", t.money(q.Cost), t.money(q.Earned), price.Percent(q.Margin), price.Percent(q.Markup))
	fmt.Fprintf(t.w, "  %s h of work; each hour brings %s\n", q.Hours.StringFixed(2), t.money(q.Hourly))
}

// offer prints a line's cost and bounds.
func (t quoteText) offer(o price.Offer, explain bool) {
	fmt.Fprintf(t.w, "\n%s: one costs %s and earns from %s on", title(o), o.Cost.Total, t.money(o.Least))
	if !o.ForWage.IsZero() {
		fmt.Fprintf(t.w, "; %s pays the wage you wish for", t.money(o.ForWage))
	}
	fmt.Fprintln(t.w)
	switch {
	case o.Price.LessThan(o.Least):
		fmt.Fprintln(t.w, "  mind: at this price you lose money")
	case o.Listed:
		fmt.Fprintln(t.w, "  the price is that of the list")
	case !o.Less.IsZero():
		fmt.Fprintf(t.w, "  %s less for the quantity\n", price.Percent(o.Less))
	}
	if o.Hand.Pays > 0 {
		fmt.Fprintf(t.w, "  a new template costs %s and pays from %s on; by hand the stones of one take %s, from a template %s\n", t.money(o.Hand.Template), many(o.Hand.Pays, "piece"), t.money(o.Hand.Placed), t.money(o.Hand.Brushed))
	} else {
		fmt.Fprintf(t.w, "  a new template costs %s and never pays: by hand the stones of one take %s, from a template %s\n", t.money(o.Hand.Template), t.money(o.Hand.Placed), t.money(o.Hand.Brushed))
	}
	if !explain {
		return
	}
	tw := tabwriter.NewWriter(t.w, 0, 0, 2, ' ', 0)
	for _, l := range o.Cost.Lines {
		fmt.Fprintf(tw, "  %s\t%10s\t%s\t(%s)\n", l.What, l.Amount.StringFixed(4), l.How, strings.Join(l.Sources, "; "))
	}
	fmt.Fprintf(tw, "  together\t%10s\t%s s of work\n", o.Cost.Total.StringFixed(4), o.Cost.Seconds)
	tw.Flush()
}
