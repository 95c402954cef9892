package main

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/shopspring/decimal"

	"brushfall/internal/price"
	"brushfall/internal/shop"
)

// The papers have what the customer sees, in the shop's money and the language asked
// for, and nothing of what a piece costs.
func TestPapersOfAQuote(t *testing.T) {
	pricedDesk(t)
	does(t, "price", "set", "tax=20% contained", "shop=Saltmarsh Sparkle; Reed Lane 3", "breaks=12:5%")
	does(t, "customer", "add", "Saltmarsh Herons", "--address", "Weir Cottage")
	q := quoteOf(t, "out=12:disc:disc 3 in", "--blank", "disc 3 in=1.40", "--customer", "Herons", "--extra", "Delivery=4.90", "--rush", "--day", "2026-03-01")
	brushfall(t, "quote", "print", "1", "--order").wants(t, exitInput, "not taken yet")
	does(t, "quote", "print", "1")
	total := "£" + q.Total.StringFixed(2)
	has(t, "quote.pdf", "Quote", "Saltmarsh Sparkle", "Reed Lane 3", "Saltmarsh Herons", "Weir Cottage", "1 March 2026", "31 March 2026", "badge", "on disc 3 in", "£"+q.Lines[0].Price.StringFixed(2), "Rush", "Delivery £4.90", "Total "+total, "of which Tax, 20 %")
	if text := read(t, "quote.pdf"); strings.Contains(text, q.Cost.StringFixed(2)) || strings.Contains(text, q.Earned.StringFixed(2)) {
		t.Errorf("the customer reads what it costs:\n%s", text)
	}
	does(t, "quote", "take", "1", "--due", "2026-03-20")
	does(t, "quote", "print", "1", "--order", "--paid", "20", "--language", "de", "--paper", "letter", "-o", "order.pdf")
	open := strings.ReplaceAll(q.Total.Sub(decimal.NewFromInt(20)).StringFixed(2), ".", ",")
	has(t, "order.pdf", "Auftragsblatt", "20. März 2026", "auf: disc 3 in", "Eilzuschlag", "Noch zu zahlen "+open)
	brushfall(t, "price", "print").wants(t, exitInput, "no price on the list")
	does(t, "price", "list", "out:decal", "out", "--keep")
	does(t, "price", "print", "--day", "2026-03-01", "--until", "2026-06-30", "--note", "Artwork of your own is welcome.")
	has(t, "prices.pdf", "Price list", "from 12", "decal, ready to stick", "transfer on its tape", "30 June 2026", "Tax is in the prices.", "Artwork of your own")
	does(t, "price", "set", "currency=default")
	quoteOf(t, "out")
	brushfall(t, "quote", "print", "2").wants(t, exitInput, "price set currency=EUR")
}

// Whatever is quoted, the paper's own check finds that its sums add up.
func TestPapersAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		amount := func(name string, most int64, places int32) decimal.Decimal {
			return decimal.New(rapid.Int64Range(0, most).Draw(t, name), -places)
		}
		given := map[string]price.Value{}
		for name, text := range map[string]string{"labour": amount("labour", 4000, 2).String(), "flock": "6.5", "tape": "0.8", "currency": "EUR", "card": "2.9% + 0.3"} {
			given[name] = price.Value{Text: text, Source: price.Own}
		}
		word := rapid.SampledFrom([]string{"contained", "added"}).Draw(t, "tax is")
		given["tax"] = price.Value{Text: amount("tax", 250, 1).String() + "% " + word, Source: price.Own}
		order := price.Order{Rush: rapid.Bool().Draw(t, "rush"), Fees: []string{"card"}}
		q := shop.Quote{Day: "2026-03-01", Until: "2026-03-02"}
		for range rapid.IntRange(1, 4).Draw(t, "lines") {
			stones := []price.Stones{{Kind: "SS10 crystal", Pieces: rapid.IntRange(1, 3000).Draw(t, "stones"), Value: amount("value", 100_000, 4), Of: 1440}}
			order.Items = append(order.Items, price.Item{Piece: price.Piece{Design: "Heron", Stones: stones, Holes: 1, Plates: 1, Sheets: 1, Tape: price.Part{Number: 1, Of: 2}}, Quantity: rapid.IntRange(1, 60).Draw(t, "quantity"), For: "garment"})
			q.Basis.Designs = append(q.Basis.Designs, 1)
		}
		for range rapid.IntRange(0, 2).Draw(t, "extras") {
			order.Extras = append(order.Extras, price.Extra{What: "Delivery", Amount: amount("extra", 2000, 2)})
		}
		q.Basis.Order, q.Basis.Settings = order, given
		made, s, err := q.Basis.Reckon()
		if err != nil {
			t.Fatal(err)
		}
		sale, err := saleOf(q, made, s)
		if err != nil {
			t.Fatal(err)
		}
		if err := sale.Check(); err != nil {
			t.Fatal(err)
		}
		tax := sale.Taxes
		if len(tax) == 1 && !tax[0].Of.Add(tax[0].Amount).Equal(sale.Total) {
			t.Fatalf("%s of %s is not the rest of %s", tax[0].Amount, tax[0].Of, sale.Total)
		}
	})
}
