package pdf

import (
	"cmp"
	"io"
	"strings"

	"brushfall/internal/ticket"
)

// WriteBuyList prints what to buy, supplier by supplier, with boxes to tick. Faults as
// of BuyList.Check and Write.
func WriteBuyList(w io.Writer, l ticket.BuyList, opt Options) error {
	if err := l.Check(); err != nil {
		return err
	}
	v := voiceOf(l.Language)
	kind := v.Say("Buy list")
	h := sheetHead{kind: kind, shop: l.Shop, facts: []labelled{{v.Say("Date"), v.day(l.Date)}, {v.Say("Ordered by"), ""}}}
	if len(l.Suppliers) > 0 {
		h.boxLabel, h.box = v.Say("Total"), v.Money(l.Total, l.Currency)
	}
	p, err := begin(l.Language, h, opt)
	if err != nil {
		return err
	}
	for _, s := range l.Suppliers {
		p.supplier(l, s)
	}
	if len(l.Unpriced) > 0 {
		p.need(8 + 16)
		p.heading(p.v.Say("No price known"), p.v.Say("ask before you order"))
		p.buyTable(l, l.Unpriced, false)
		p.y += gutter
	}
	if len(l.Suppliers) > 1 {
		p.totals([]totalLine{
			{p.v.Say("Packs"), p.v.Money(l.Goods, l.Currency), false},
			{p.v.Say("Delivery"), p.v.Money(l.Delivery, l.Currency), false},
			{p.v.Say("Total"), p.v.Money(l.Total, l.Currency), true},
		})
		p.y += gutter / 2
	}
	if len(l.Enough) > 0 {
		p.notes(p.v.Say("Enough on hand"), []string{strings.Join(l.Enough, ", ")})
	}
	p.smallPrint(ticket.GoodsCautions(l.Language, ticket.Any, false)[1:]) // that of lead: it is what to ask a supplier
	return p.writeTo(w)
}

func (p *page) supplier(l ticket.BuyList, s ticket.BuyFrom) {
	p.need(8 + 22)
	p.heading(cmp.Or(s.Name, p.v.Say("As last bought")), strings.Join(s.Lines, ", "))
	p.buyTable(l, s.Items, true)
	p.y += 1
	list := []totalLine{{p.v.Say("Packs"), p.v.Money(s.Sum.Sub(s.Delivery), l.Currency), false}}
	if !s.Delivery.IsZero() {
		list = append(list, totalLine{p.v.Say("Delivery"), p.v.Money(s.Delivery, l.Currency), false})
	}
	p.totals(append(list, totalLine{p.v.Say("Together"), p.v.Money(s.Sum, l.Currency), true}))
	p.y += gutter
}

func (p *page) buyTable(l ticket.BuyList, items []ticket.BuyItem, priced bool) {
	v := p.v
	columns := []column{{title: v.Say("Stone or material")}, {title: v.Say("Needed"), right: true}, {title: v.Say("Packs"), right: true}}
	if priced {
		columns = append(columns, column{title: v.Say("Each"), right: true}, column{title: v.Say("Amount"), right: true}, column{title: v.Say("Left over"), right: true})
	}
	columns = append(columns, column{title: v.Say("Ordered"), tick: true}, column{title: v.Say("Arrived"), tick: true})
	var rows []row
	for _, i := range items {
		rows = append(rows, p.buyRow(l, i, priced))
	}
	p.table(columns, rows)
}

func (p *page) buyRow(l ticket.BuyList, i ticket.BuyItem, priced bool) row {
	v := p.v
	what := cell{text: i.What, heavy: true}
	if i.Pack != "" {
		what.small = append(what.small, i.Pack)
	}
	if i.Holds > 0 {
		what.small = append(what.small, v.Say("%d pieces a pack", i.Holds))
	}
	number := func(n int) string {
		if n == 0 {
			return "–"
		}
		return v.Whole(n)
	}
	r := row{cells: []cell{what, {text: number(i.Short)}, {text: v.Whole(i.Packs), heavy: true}}}
	if priced {
		r.cells = append(r.cells, cell{text: v.Money(i.Each, l.Currency)}, cell{text: v.Money(i.Amount, l.Currency), heavy: true}, cell{text: number(i.Left), quiet: true})
	}
	r.cells = append(r.cells, cell{}, cell{})
	if i.Look != nil {
		r.mark = func(x, y float64) { p.stone(x, y, 2.6, *i.Look) }
	}
	return r
}
