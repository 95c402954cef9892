package pdf

import (
	"io"

	"github.com/shopspring/decimal"

	"brushfall/internal/ticket"
)

// WriteQuote prints a quote, with a place to say yes. Faults as of Sale.Check and Write.
func WriteQuote(w io.Writer, q ticket.Quote, opt Options) error {
	if err := q.Check(); err != nil {
		return err
	}
	v := voiceOf(q.Language)
	facts := []labelled{{v.Say("Date"), v.day(q.Date)}}
	if !q.Until.IsZero() {
		facts = append(facts, labelled{v.Say("Valid until"), v.Date(q.Until)})
	}
	p, err := begin(q.Language, sheetHead{kind: v.Say("Quote"), number: q.Number, boxLabel: v.Say("Number"), box: q.Number, shop: q.Shop, customer: &q.Customer, facts: facts}, opt)
	if err != nil {
		return err
	}
	p.sale(q.Sale)
	p.notes(p.v.Say("Notes"), q.Notes)
	p.signature(p.v.Say("Yes, please make it"), []string{p.v.Say("Name"), p.v.Say("Date"), p.v.Say("Signature")})
	p.smallPrint(ticket.GoodsCautions(q.Language, ticket.Any, false))
	return p.writeTo(w)
}

// WriteOrder prints an order sheet: what is made, by when, what is paid and what is
// open. It says that it is no invoice. Faults as of Sale.Check and Write.
func WriteOrder(w io.Writer, o ticket.Order, opt Options) error {
	if err := o.Check(); err != nil {
		return err
	}
	v := voiceOf(o.Language)
	facts := []labelled{{v.Say("Date"), v.day(o.Date)}, {v.Say("Ready by"), v.day(o.Due)}}
	p, err := begin(o.Language, sheetHead{kind: v.Say("Order sheet"), number: o.Number, boxLabel: v.Say("Number"), box: o.Number, shop: o.Shop, customer: &o.Customer, facts: facts}, opt)
	if err != nil {
		return err
	}
	p.sale(o.Sale)
	if !o.Paid.IsZero() {
		p.totals([]totalLine{
			{p.v.Say("Paid"), p.v.Money(o.Paid, o.Currency), false},
			{p.v.Say("Still to pay"), p.v.Money(o.Open(), o.Currency), true},
		})
	}
	p.notes(p.v.Say("How to pay"), o.Payment)
	p.notes(p.v.Say("Notes"), o.Notes)
	p.paragraph(p.v.Say("This order sheet says what was agreed. It is not an invoice, and does not take the place of one."), 9, grey, 4.2)
	p.y += gutter / 2
	p.smallPrint(ticket.GoodsCautions(o.Language, ticket.Any, false))
	return p.writeTo(w)
}

// sale prints the lines, the charges, the taxes and the total.
func (p *page) sale(s ticket.Sale) {
	v := p.v
	columns := []column{{title: v.Say("What")}, {title: v.Say("Pieces"), right: true}, {title: v.Say("Each"), right: true}, {title: v.Say("Amount"), right: true}}
	var rows []row
	for _, l := range s.Lines {
		small := l.Detail
		if l.Code != "" {
			small = append([]string{v.Say("Template %s", l.Code)}, small...)
		}
		rows = append(rows, row{cells: []cell{
			{text: l.What, heavy: true, small: small},
			{text: v.Whole(l.Pieces)},
			{text: v.Money(l.Each, s.Currency)},
			{text: v.Money(l.Amount, s.Currency), heavy: true},
		}})
	}
	p.table(columns, rows)
	p.y += 1
	p.totals(p.sums(s))
	p.y += gutter / 2
}

// totalLine is an amount with its label, below the lines.
type totalLine struct {
	label, value string
	heavy        bool
}

// sums gives the lines below the table; a single amount without charges and taxes is
// the total alone.
func (p *page) sums(s ticket.Sale) []totalLine {
	v := p.v
	var out []totalLine
	add := func(label string, d decimal.Decimal) {
		out = append(out, totalLine{label, v.Money(d, s.Currency), false})
	}
	if !s.Rounding.IsZero() {
		add(v.Say("Rounding"), s.Rounding)
	}
	if len(s.Charges) > 0 {
		add(v.Say("Goods"), s.Goods)
	}
	for _, c := range s.Charges {
		add(c.What, c.Amount)
	}
	if len(s.Taxes) > 0 && !s.TaxIncluded {
		add(v.Say("Before tax"), s.Net)
	}
	var within []totalLine
	for _, t := range s.Taxes {
		name := t.Name
		if name == "" {
			name = v.Say("Tax")
		}
		rate := v.percent(t.Rate)
		if s.TaxIncluded {
			within = append(within, totalLine{v.Say("of which %[1]s, %[2]s of %[3]s", name, rate, v.Money(t.Of, s.Currency)), v.Money(t.Amount, s.Currency), false})
			continue
		}
		add(v.Say("%[1]s, %[2]s of %[3]s", name, rate, v.Money(t.Of, s.Currency)), t.Amount)
	}
	out = append(out, totalLine{v.Say("Total"), v.Money(s.Total, s.Currency), true})
	return append(out, within...)
}

// totals prints amounts against the right margin; a long label wraps on its left.
func (p *page) totals(list []totalLine) {
	for _, l := range list {
		size := tableSize
		if l.heavy {
			size = 14
		}
		p.style(l.heavy, size, ink)
		value := p.widthOf(l.value)
		room := p.inner() - value - columnGap
		p.style(l.heavy, size, ink)
		lines := p.wrapped(l.label, room*0.8)
		height := 5.4 + float64(len(lines)-1)*tableLeading
		if l.heavy {
			height += 3
		}
		p.need(height)
		if l.heavy {
			p.rule(p.width/2, p.y+1, p.width/2-margin, ink)
			p.y += 2.4
		}
		c := grey
		if l.heavy {
			c = ink
		}
		p.style(l.heavy, size, ink)
		p.textRight(p.width-margin, p.y+4.2, l.value)
		for i, text := range lines {
			p.style(l.heavy, size, c)
			p.textRight(p.width-margin-value-columnGap, p.y+4.2+float64(i)*tableLeading, text)
		}
		p.y += height
		if l.heavy {
			p.y -= 2
		}
	}
}
