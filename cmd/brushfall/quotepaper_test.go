package main

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"
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
