package main

import (
	"encoding/json"
	"testing"

	"github.com/shopspring/decimal"

	"brushfall/internal/price"
)

// Two taxes and pay by kind of work go from the settings to the quote, its JSON and its
// papers, each tax with its name, share and amount, in every language; a quote that was
// kept before stays as it was.
func TestSeveralTaxesAndRates(t *testing.T) {
	pricedDesk(t)
	does(t, "price", "set", "tax=20% contained")
	before := quoteOf(t, "out=12:garment")
	does(t, "price", "set", "tax=Country 5%, Town 9.975% added", "labour-press=90", "labour-design=60")
	does(t, "price", "show").wants(t, exitDone, "labour-press", "90", "(as labour)", "Country 5%")
	var q struct {
		Lines []struct{ Cost price.Cost }
		Sale  price.Sale
	}
	text := does(t, "quote", "out=12:garment", "--with", "design=1800", "--json").stdout
	if err := json.Unmarshal([]byte(text), &q); err != nil {
		t.Fatal(err)
	}
	if len(q.Sale.Taxes) != 2 || q.Sale.Taxes[1].Name != "Town" || q.Sale.Taxes[1].Share.String() != "0.09975" {
		t.Fatalf("%+v", q.Sale)
	}
	for _, l := range q.Sale.Taxes {
		if !l.Amount.Equal(q.Sale.Goods.Mul(l.Share).Round(2)) {
			t.Errorf("%+v of %s", l, q.Sale.Goods)
		}
	}
	if !q.Sale.Goods.Add(q.Sale.Taxes[0].Amount).Add(q.Sale.Taxes[1].Amount).Equal(q.Sale.Total) {
		t.Errorf("%+v", q.Sale)
	}
	want := map[string]string{"press": "1.5", "design": "2.5"} // 60 s at 90; 1800 s at 60, shared by 12
	for _, l := range q.Lines[0].Cost.Lines {
		if w, ok := want[l.What]; ok && !l.Amount.Equal(decimal.RequireFromString(w)) {
			t.Errorf("%s is %s, want %s", l.What, l.Amount, w)
		}
		delete(want, l.What)
	}
	if len(want) > 0 {
		t.Errorf("no line for %v", want)
	}
	first, second := q.Sale.Taxes[0].Amount.StringFixed(2), q.Sale.Taxes[1].Amount.StringFixed(2)
	does(t, "quote", "show", "2").wants(t, exitDone, "Country, 5 %", "£"+first, "Town, 9.975 %", "£"+second)
	does(t, "quote", "print", "2", "-o", "quote.pdf")
	has(t, "quote.pdf", "Before tax", "Country, 5 %", "£"+first, "Town, 9.975 %", "£"+second, "Total £"+q.Sale.Total.StringFixed(2))
	does(t, "quote", "print", "2", "--language", "de", "-o", "angebot.pdf")
	has(t, "angebot.pdf", "Summe vor Steuer", "Country, 5 %", "Town, 9,975 %")
	does(t, "quote", "take", "2")
	does(t, "quote", "print", "2", "--order", "--language", "es", "-o", "pedido.pdf")
	has(t, "pedido.pdf", "Antes de impuestos", "Country, 5", "Town, 9,975")
	again := quoteOf(t, "show", "1")
	if !again.Sale.Total.Equal(before.Sale.Total) || !again.Sale.Tax.Equal(before.Sale.Tax) || again.Sale.Tax.IsZero() {
		t.Errorf("the quote of before is %+v, was %+v", again.Sale, before.Sale)
	}
	brushfall(t, "price", "set", "tax=5%, 2% added").wants(t, exitInput, "tax", "a name of its own")
}
