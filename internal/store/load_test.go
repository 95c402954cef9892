package store

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"brushfall/internal/shop"
)

// crowded is a large book (50,000 entries of stock) with 500 customers, 200 designs and
// 2,000 jobs of one to three lines: a quarter is asked for, half is promised and some of
// those begun, the rest handed over or dropped. The same every time.
func crowded(tb *testing.B) *Book {
	tb.Helper()
	b := large(tb)
	rng := rand.New(rand.NewPCG(7, 11))
	if _, err := b.db.Exec(`PRAGMA synchronous = OFF`); err != nil { // while it is filled
		tb.Fatal(err)
	}
	var customers []shop.Customer
	for n := range 500 {
		customers = append(customers, shop.Customer{Name: fmt.Sprintf("Crew %d of Saltmarsh", n), Email: fmt.Sprintf("crew%d@herons.example", n), Note: "rows on Sundays"})
	}
	mustAdd(tb, b, customers...)
	colours := []string{"crystal", "jet", "siam", "sun", "emerald", "sapphire", "rose", "gold", "silver", "peridot", "topaz", "olivine"}
	for n := range 200 {
		d := badge(n)
		d.Stones = nil
		for k := range 3 {
			d.Stones = append(d.Stones, shop.Stones{Kind: shop.Kind{Size: []string{"SS6", "SS10", "SS16"}[k], Colour: colours[rng.IntN(len(colours))]}, Pieces: 1 + rng.IntN(12), Take: 300})
		}
		if _, err := b.AddDesign(tb.Context(), morning(), d); err != nil {
			tb.Fatal(err)
		}
	}
	for n := range 2000 {
		j := shop.Job{Customer: int64(1 + rng.IntN(500)), Due: fmt.Sprintf("2026-%02d-%02d", 4+rng.IntN(8), 1+rng.IntN(28))}
		for range 1 + rng.IntN(3) {
			j.Lines = append(j.Lines, shop.Line{Design: int64(1 + rng.IntN(200)), Quantity: 1 + rng.IntN(12), Destination: []shop.Destination{shop.ToGarment, shop.ToDisc, shop.ToShelf}[rng.IntN(3)]})
		}
		further(tb, b, mustAsk(tb, b, j).ID, n%8)
	}
	if _, err := b.db.Exec(`PRAGMA synchronous = FULL`); err != nil {
		tb.Fatal(err)
	}
	return b
}

// further takes a job on from asking: 0 and 1 leave it.
func further(tb testing.TB, b *Book, id int64, how int) {
	tb.Helper()
	if how < 2 {
		return
	}
	mustPromise(tb, b, id)
	switch how {
	case 5:
		mustMake(tb, b, shop.Making{Job: id, Line: 1, Transfers: 1})
	case 6:
		mustMake(tb, b, shop.Making{Job: id})
	case 7:
		if _, err := b.Drop(tb.Context(), morning(), id, ""); err != nil {
			tb.Fatal(err)
		}
	}
}

// What a shop asks all day of a book with 50,000 entries and 2,000 jobs.
func BenchmarkABookOf2000Jobs(b *testing.B) {
	book := crowded(b)
	for _, c := range []struct {
		name string
		do   func() error
	}{
		{"open jobs", func() error {
			_, err := book.Jobs(b.Context(), shop.Which{States: []shop.State{shop.Asked, shop.Promised, shop.Made}})
			return err
		}},
		{"all jobs", func() error { _, err := book.Jobs(b.Context(), shop.Which{}); return err }},
		{"jobs of a customer", func() error { _, err := book.Jobs(b.Context(), shop.Which{Customer: 7}); return err }},
		{"a job's history", func() error { _, err := book.Steps(b.Context(), 7); return err }},
		{"customers", func() error { _, err := book.Customers(b.Context(), "crew 499"); return err }},
		{"stock", func() error { _, err := book.Stock(b.Context()); return err }},
		{"shortages", func() error { _, err := book.Shortages(b.Context()); return err }},
		{"promise and drop", func() error {
			j, err := book.Ask(b.Context(), morning(), shop.Job{Lines: []shop.Line{{Design: 1, Quantity: 1, Destination: shop.ToShelf}}})
			if err == nil {
				_, err = book.Promise(b.Context(), morning(), j.ID, "")
			}
			if err == nil {
				_, err = book.Drop(b.Context(), morning(), j.ID, "")
			}
			return err
		}},
		{"check", func() error { _, err := book.Check(b.Context()); return err }},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if err := c.do(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// The shortages of 2,000 jobs and the exact buy list for them, of 36 kinds with three
// suppliers each.
func BenchmarkBuyFor2000Jobs(b *testing.B) {
	book := crowded(b)
	for _, h := range mustStock(b, book) {
		for n, s := range []string{"Reed & Co", "Marsh", "Quay Stones"} {
			p := shop.Pack{Supplier: s, Kind: h.Kind, Labelled: []int{1440, 720, 144}[n], Breaks: []shop.Break{{From: 1, Price: *amount(b, []string{"6.50", "3.40", "0.80"}[n])}, {From: 10, Price: *amount(b, []string{"5.90", "3.10", "0.70"}[n])}}}
			if _, err := book.SetPack(b.Context(), p); err != nil {
				b.Fatal(err)
			}
			if err := book.SetSupplier(b.Context(), shop.Supplier{Name: s, Delivery: *amount(b, "4.90")}); err != nil {
				b.Fatal(err)
			}
		}
	}
	for b.Loop() {
		short, err := book.Shortages(b.Context())
		if err != nil {
			b.Fatal(err)
		}
		onHand := map[shop.Kind]int{}
		for _, h := range mustStock(b, book) {
			onHand[h.Kind] = h.Pieces()
		}
		var m shop.Market
		if m.Suppliers, err = book.Suppliers(b.Context()); err != nil {
			b.Fatal(err)
		}
		if m.Packs, err = book.Packs(b.Context()); err != nil {
			b.Fatal(err)
		}
		if m.Overrun, err = book.Overrun(b.Context()); err != nil {
			b.Fatal(err)
		}
		list, err := shop.Buy(shop.Wants(short), onHand, m)
		if err != nil || !list.Goods.IsPositive() {
			b.Fatal(list, err)
		}
	}
}

func mustStock(tb testing.TB, b *Book) []shop.Holding {
	tb.Helper()
	stock, err := b.Stock(tb.Context())
	if err != nil {
		tb.Fatal(err)
	}
	return stock
}
