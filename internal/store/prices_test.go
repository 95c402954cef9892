package store

import (
	"slices"
	"testing"

	"brushfall/internal/fault"
	"brushfall/internal/price"
	"brushfall/internal/shop"
)

// Settings come back as they were said, in order, and what holds follows from them;
// a bad one among several leaves none.
func TestRatesAreOnlyAddedTo(t *testing.T) {
	b := newBook(t)
	set := func(rates ...shop.Rate) error { return b.SetRates(t.Context(), morning(), rates) }
	if err := set(shop.Rate{Name: "Labour", Value: "18"}, shop.Rate{Name: "brush", Value: "30", Times: 2}, shop.Rate{Name: "brush", Value: "70", Times: 3}); err != nil {
		t.Fatal(err)
	}
	for _, bad := range []shop.Rate{{Name: "lunch", Value: "1"}, {Name: "labour", Value: "much"}, {Name: "labour", Value: "9", Times: 1}, {Name: "brush", Times: 1}} {
		if err := set(shop.Rate{Name: "tape", Value: "1"}, bad); fault.CodeOf(err) != "price-value" && fault.CodeOf(err) != "price-setting" {
			t.Errorf("%+v: %v", bad, err)
		}
	}
	rates, err := b.Rates(t.Context())
	if err != nil || len(rates) != 3 || rates[0].Name != "labour" || !rates[0].At.Equal(moment(morning())) {
		t.Fatalf("%+v, %v", rates, err)
	}
	// 100 s for five plates are 20 s each.
	if v := shop.InForce(rates)["brush"]; v.Text != "20" || v.Source != "timed by the shop: 5 in all, 100 s" {
		t.Errorf("%+v", v)
	}
	if err := set(shop.Rate{Name: "brush", Value: "12"}, shop.Rate{Name: "labour", Value: ""}); err != nil {
		t.Fatal(err)
	}
	rates, err = b.Rates(t.Context())
	now := shop.InForce(rates)
	if _, ok := now["labour"]; err != nil || ok || now["brush"] != (price.Value{Text: "12", Source: price.Own}) {
		t.Errorf("%+v, %v", now, err)
	}
	if _, err := b.db.Exec(`UPDATE rates SET value = '1'`); err == nil {
		t.Error("a rate was changed")
	}
	if _, err := b.db.Exec(`DELETE FROM rates`); err == nil {
		t.Error("rates were removed")
	}
}

func TestThePriceListKeepsWhatItWas(t *testing.T) {
	b := newBook(t)
	row := func(design string, from int, money string) shop.Listed {
		return shop.Listed{Design: design, For: "disc", From: from, Price: *amount(t, money)}
	}
	set := func(whole bool, rows ...shop.Listed) {
		t.Helper()
		if err := b.SetListed(t.Context(), morning(), rows, whole); err != nil {
			t.Fatal(err)
		}
	}
	holds := func(want ...shop.Listed) {
		t.Helper()
		got, err := b.PriceList(t.Context())
		if err != nil || !slices.EqualFunc(got, want, func(a, b shop.Listed) bool { return shop.CompareListed(a, b) == 0 && a.Price.Equal(b.Price) }) {
			t.Errorf("%+v, %v, want %+v", got, err, want)
		}
	}
	set(false, row("Heron", 12, "5.50"), row("Heron", 1, "6"), row("Oar", 1, "3"))
	holds(row("Heron", 1, "6"), row("Heron", 12, "5.50"), row("Oar", 1, "3"))
	set(false, row("Heron", 1, "6.50"))
	holds(row("Heron", 1, "6.50"), row("Heron", 12, "5.50"), row("Oar", 1, "3"))
	set(true, row("Heron", 1, "6.50"), row("Crest", 1, "9"))
	holds(row("Crest", 1, "9"), row("Heron", 1, "6.50"))
	var rows int
	if err := b.db.QueryRow(`SELECT COUNT(*) FROM price_list`).Scan(&rows); err != nil || rows != 7 {
		t.Errorf("%d rows, want 3 + 1 + 1 new and 2 taken off; %v", rows, err)
	}
	if err := b.SetListed(t.Context(), morning(), []shop.Listed{row("Oar", 1, "3"), row("", 1, "1")}, false); fault.CodeOf(err) != "price-list" {
		t.Error(err)
	}
	holds(row("Crest", 1, "9"), row("Heron", 1, "6.50"))
	list, _ := b.PriceList(t.Context())
	if _, ok := shop.PriceOf(list, "Heron", "decal", 1); ok {
		t.Error("there is no price for a decal")
	}
}
