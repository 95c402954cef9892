package office

import (
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"brushfall/internal/price"
	"brushfall/internal/shop"
)

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
		sale, err := soldAs(q, made, s)
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
