package pdf

import (
	"io"

	"brushfall/internal/ticket"
)

// WritePriceList prints the shop's prices with their breaks. Faults as of
// PriceList.Check and Write.
func WritePriceList(w io.Writer, l ticket.PriceList, opt Options) error {
	if err := l.Check(); err != nil {
		return err
	}
	v := voiceOf(l.Language)
	var facts []labelled
	if !l.Date.IsZero() {
		facts = append(facts, labelled{v.Say("Date"), v.Date(l.Date)})
	}
	if !l.Until.IsZero() {
		facts = append(facts, labelled{v.Say("Valid until"), v.Date(l.Until)})
	}
	kind := v.Say("Price list")
	p, err := begin(l.Language, sheetHead{kind: kind, title: l.Title, shop: l.Shop, facts: facts}, opt)
	if err != nil {
		return err
	}
	for _, g := range l.Groups {
		p.priceGroup(l, g)
	}
	notes := l.Notes
	if len(l.Groups) > 0 {
		notes = append([]string{p.v.Say("Prices are for a piece, from the number of pieces above them of one design.")}, notes...)
	}
	switch l.Tax {
	case ticket.TaxIn:
		notes = append(notes, p.v.Say("Tax is in the prices."))
	case ticket.TaxOn:
		notes = append(notes, p.v.Say("Tax comes on top of the prices."))
	}
	p.notes(p.v.Say("Notes"), notes)
	p.smallPrint(ticket.GoodsCautions(l.Language, ticket.Any, true))
	return p.writeTo(w)
}

// mostBreaks is how many columns of prices stand beside each other; a group with more
// goes on in another table.
const mostBreaks = 6

func (p *page) priceGroup(l ticket.PriceList, g ticket.PriceGroup) {
	for from := 0; from < len(g.Breaks); from += mostBreaks {
		to := min(from+mostBreaks, len(g.Breaks))
		columns := []column{{title: p.v.Say("What")}}
		for i, b := range g.Breaks[from:to] {
			title := p.v.Say("from %d", b)
			if i == len(g.Breaks[from:to])-1 && to == len(g.Breaks) && b == 1 {
				title = p.v.Say("each")
			}
			columns = append(columns, column{title: title, right: true})
		}
		var rows []row
		for _, r := range g.Rows {
			one := row{cells: []cell{{text: r.What, heavy: true}}}
			if r.Detail != "" {
				one.cells[0].small = []string{r.Detail}
			}
			for _, price := range r.Prices[from:to] {
				c := cell{text: p.v.Say("ask"), quiet: true}
				if price.Valid {
					c = cell{text: p.v.Money(price.Decimal, l.Currency)}
				}
				one.cells = append(one.cells, c)
			}
			rows = append(rows, one)
		}
		if g.Title != "" {
			p.need(8 + 18)
			p.heading(g.Title, "")
		}
		p.table(columns, rows)
		p.y += gutter
	}
}
