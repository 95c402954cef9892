package store

import (
	"context"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// morning is when the deeds of tests are done.
func morning() time.Time { return time.Date(2026, time.March, 14, 8, 30, 0, 0, time.UTC) }

func crystal() shop.Kind { return shop.Kind{Size: "SS10", Colour: "crystal"} }

// newBook begins a book with an awkward name.
func newBook(t testing.TB) *Book {
	t.Helper()
	b, err := Create(context.Background(), filepath.Join(t.TempDir(), "a", "Böok 100% #1?.book"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = b.Close() })
	return b
}

func amount(t testing.TB, text string) *shop.Money {
	t.Helper()
	m, err := shop.ParseMoney(text)
	if err != nil {
		t.Fatal(err)
	}
	return &m
}

func receipt(t testing.TB, pieces int) shop.Receipt {
	return shop.Receipt{Kind: crystal(), Labelled: pieces, Pieces: pieces, Supplier: "Reed & Co", Cost: amount(t, "6.50")}
}

func mustReceive(t testing.TB, b *Book, r ...shop.Receipt) {
	t.Helper()
	if _, err := b.Receive(t.Context(), morning(), r); err != nil {
		t.Fatal(err)
	}
}

func mustChange(t testing.TB, b *Book, c shop.Change) shop.Deed {
	t.Helper()
	d, err := b.Change(t.Context(), morning(), c)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// mustBeSound checks the book and gives the report.
func mustBeSound(t testing.TB, b *Book) Report {
	t.Helper()
	r, err := b.Check(t.Context())
	if err != nil || len(r.Problems) > 0 {
		t.Fatalf("%v, %q", err, r.Problems)
	}
	return r
}

func TestADayOfStock(t *testing.T) {
	b := newBook(t)
	mustReceive(t, b, receipt(t, 1440), receipt(t, 1440))
	mustChange(t, b, shop.Change{What: shop.Used, Kind: crystal(), Pieces: 1500})
	mustChange(t, b, shop.Change{What: shop.Moved, Kind: crystal(), Pieces: 300, Towards: "market"})
	mustChange(t, b, shop.Change{What: shop.Spoiled, Kind: crystal(), Pieces: 7, Place: "market"})
	d := mustChange(t, b, shop.Change{What: shop.Counted, Kind: crystal(), Pieces: 1050, Note: "by hand"})
	if want := []shop.Part{{Lot: 2, Place: "shelf", Pieces: -30}}; !slices.Equal(d.Parts, want) {
		t.Errorf("the count did %v", d.Parts)
	}
	stock, err := b.Stock(t.Context())
	if err != nil || len(stock) != 1 {
		t.Fatal(stock, err)
	}
	h := stock[0]
	if h.Pieces() != 1343 || len(h.Lots) != 2 || h.Lots[0].OnHand() != 0 || h.Lots[0].Gone != 1440 || h.Lots[1].Gone != 67 {
		t.Errorf("%+v", h)
	}
	// 6.50 × 1343 ÷ (1343 + 67), worked by hand.
	if v, all := h.Value(); !all || v.String() != "6.1911" {
		t.Errorf("value %s", v)
	}
	if l := h.Lots[1]; !l.At.Equal(morning()) || l.Supplier != "Reed & Co" || l.Labelled != 1440 || l.Filled != shop.ByPieces {
		t.Errorf("%+v", l)
	}
	deeds, err := b.History(t.Context(), 3)
	if err != nil || len(deeds) != 3 || deeds[0].What != shop.Counted || deeds[0].Note != "by hand" || deeds[2].Towards != "market" || len(deeds[2].Parts) != 2 {
		t.Errorf("%+v, %v", deeds, err)
	}
	if r := mustBeSound(t, b); r.Deeds != 6 || r.Lots != 2 || r.Pieces != 1343 || r.Schema != latest {
		t.Errorf("%+v", r)
	}
}

// Where a deed cannot be done, nothing of it is there.
func TestADeedIsDoneWholeOrNot(t *testing.T) {
	b := newBook(t)
	mustReceive(t, b, receipt(t, 100))
	for _, c := range []struct {
		code string
		do   func() error
	}{
		{"stock-short", func() error {
			_, err := b.Change(t.Context(), morning(), shop.Change{What: shop.Used, Kind: crystal(), Pieces: 101})
			return err
		}},
		{"stock-short", func() error {
			_, err := b.Change(t.Context(), morning(), shop.Change{What: shop.Used, Kind: crystal(), Pieces: 1, Place: "market"})
			return err
		}},
		{"count-lot", func() error {
			_, err := b.Change(t.Context(), morning(), shop.Change{What: shop.Counted, Kind: crystal(), Pieces: 1, Lot: 9})
			return err
		}},
		{"pieces", func() error {
			_, err := b.Receive(t.Context(), morning(), []shop.Receipt{receipt(t, 5), receipt(t, 0)})
			return err
		}},
	} {
		if err := c.do(); fault.CodeOf(err) != c.code {
			t.Errorf("%v, want %s", err, c.code)
		}
	}
	if r := mustBeSound(t, b); r.Deeds != 1 || r.Lots != 1 || r.Pieces != 100 {
		t.Errorf("%+v", r)
	}
}

func TestCountsFindStones(t *testing.T) {
	b := newBook(t)
	jet := shop.Kind{Size: "SS6", Colour: "jet"}
	mustChange(t, b, shop.Change{What: shop.Counted, Kind: jet, Pieces: 500}) // of no lot so far
	mustReceive(t, b, receipt(t, 100))
	mustChange(t, b, shop.Change{What: shop.Counted, Kind: crystal(), Pieces: 20, Lot: 2, Place: "market"}) // never there
	mustChange(t, b, shop.Change{What: shop.Counted, Kind: jet, Pieces: 500})                               // nothing to mend
	stock, err := b.Stock(t.Context())
	if err != nil || len(stock) != 2 || stock[0].Pieces() != 500 || stock[0].Lots[0].Cost != nil || stock[1].Pieces() != 120 {
		t.Errorf("%+v, %v", stock, err)
	}
	mustBeSound(t, b)
}

func TestTheShopLearns(t *testing.T) {
	b := newBook(t)
	r := receipt(t, 1440)
	r.Filled, r.Pieces = shop.ByWeight, 1500
	mustReceive(t, b, r, r, r)
	mustChange(t, b, shop.Change{What: shop.Counted, Kind: crystal(), Lot: 1, Pieces: 1512})
	mustChange(t, b, shop.Change{What: shop.Counted, Kind: crystal(), Lot: 1, Pieces: 1500}) // a second count tells of loss, not of the fill
	mustChange(t, b, shop.Change{What: shop.Used, Kind: crystal(), Lot: 2, Pieces: 10})
	mustChange(t, b, shop.Change{What: shop.Counted, Kind: crystal(), Lot: 2, Pieces: 1400}) // begun: tells nothing of the fill
	o, err := b.Overrun(t.Context())
	if err != nil || o.Lots != 1 || o.Mean != 1512.0/1440 || o.Least != o.Mean {
		t.Errorf("%+v, %v", o, err)
	}
	if err := b.Weighed(t.Context(), morning(), crystal(), []shop.Sample{{Stones: 100, Grams: 1.42}, {Stones: 50, Grams: 0.7}}); err != nil {
		t.Fatal(err)
	}
	if g, n, err := b.Mass(t.Context(), crystal()); err != nil || n != 150 || g < 0.01413 || g > 0.01414 {
		t.Errorf("%g of %d, %v", g, n, err)
	}
	if g, n, err := b.Mass(t.Context(), shop.Kind{Size: "SS6", Colour: "jet"}); err != nil || n != 0 || g != 0.0058 {
		t.Errorf("%g of %d, %v", g, n, err)
	}
}

func TestPacksAndSuppliers(t *testing.T) {
	b := newBook(t)
	p := shop.Pack{Supplier: "Reed & Co", Kind: crystal(), Labelled: 1440, Filled: shop.ByPieces, Breaks: []shop.Break{{From: 10, Price: *amount(t, "5.90")}, {From: 1, Price: *amount(t, "6.50")}}}
	first, err := b.SetPack(t.Context(), p)
	if err != nil {
		t.Fatal(err)
	}
	p.Breaks = []shop.Break{{From: 1, Price: *amount(t, "6.80")}}
	again, err := b.SetPack(t.Context(), p)
	if err != nil || again.ID != first.ID {
		t.Fatal(again, err)
	}
	if err := b.SetSupplier(t.Context(), shop.Supplier{Name: " Reed  & Co", Delivery: *amount(t, "4.90")}); err != nil {
		t.Fatal(err)
	}
	packs, err := b.Packs(t.Context())
	if err != nil || len(packs) != 1 || len(packs[0].Breaks) != 1 || packs[0].Breaks[0].Price.String() != "6.8" {
		t.Errorf("%+v, %v", packs, err)
	}
	suppliers, err := b.Suppliers(t.Context())
	if err != nil || len(suppliers) != 1 || suppliers[0].Delivery.String() != "4.9" {
		t.Errorf("%+v, %v", suppliers, err)
	}
	if err := b.RemovePack(t.Context(), first.ID); err != nil {
		t.Error(err)
	}
	if err := b.RemovePack(t.Context(), first.ID); fault.CodeOf(err) != "pack" {
		t.Error(err)
	}
	if packs, err := b.Packs(t.Context()); err != nil || len(packs) != 0 {
		t.Error(packs, err)
	}
}

// What stands in the ledger cannot be changed or taken away, by any statement, nor
// made untrue.
func TestTheLedgerIsOnlyAddedTo(t *testing.T) {
	b := newBook(t)
	mustReceive(t, b, receipt(t, 100))
	mustChange(t, b, shop.Change{What: shop.Used, Kind: crystal(), Pieces: 40})
	before := mustBeSound(t, b)
	for _, recursive := range []string{"ON", "OFF"} { // other programs have it off
		if _, err := b.db.Exec("PRAGMA recursive_triggers = " + recursive); err != nil {
			t.Fatal(err)
		}
		for _, s := range []string{
			`UPDATE entries SET pieces = 50 WHERE id = 2`, `DELETE FROM entries`, `INSERT OR REPLACE INTO entries SELECT * FROM entries`,
			`UPDATE deeds SET note = 'x'`, `DELETE FROM deeds WHERE id = 2`, `REPLACE INTO deeds SELECT * FROM deeds`,
			`UPDATE lots SET cost = '1'`, `DELETE FROM lots`, `REPLACE INTO lots SELECT * FROM lots`,
			`INSERT INTO entries (deed, what, lot, place, pieces) VALUES (2, 'used', 1, 'shelf', -61)`,   // more than there is
			`INSERT INTO entries (deed, what, lot, place, pieces) VALUES (2, 'used', 1, 'shelf', 5)`,     // using adds
			`INSERT INTO entries (deed, what, lot, place, pieces) VALUES (2, 'spoiled', 1, 'shelf', -5)`, // another deed
			`INSERT INTO entries (deed, what, lot, place, pieces) VALUES (9, 'used', 1, 'shelf', -5)`,    // of no deed
			`INSERT INTO entries (deed, what, lot, place, pieces) VALUES (2, 'used', 1, 'shelf', 'x')`,
			`INSERT INTO lots (size, colour, supplier, cost) VALUES ('SS10', 'jet', '', 'free')`,
		} {
			if _, err := b.db.Exec(s); err == nil {
				t.Errorf("recursive triggers %s: %s was done", recursive, s)
			}
		}
	}
	if after := mustBeSound(t, b); after.Pieces != before.Pieces || after.Entries != before.Entries || after.Deeds != before.Deeds {
		t.Errorf("%+v became %+v", before, after)
	}
}

// The laws of the check find what the guards would not have let in.
func TestTheCheckBites(t *testing.T) {
	for name, harm := range map[string]string{
		"less than nothing":     `DROP TRIGGER entries_below; INSERT INTO entries (deed, what, lot, place, pieces) VALUES (2, 'used', 1, 'shelf', -99)`,
		"moving adds":           `DROP TRIGGER entries_fit; INSERT INTO entries (deed, what, lot, place, pieces) VALUES (3, 'moved', 1, 'shelf', 9)`,
		"fits its deed":         `DROP TRIGGER entries_fit; INSERT INTO entries (deed, what, lot, place, pieces) VALUES (2, 'spoiled', 1, 'shelf', -1)`,
		"does what it says":     `DROP TRIGGER entries_keep_update; UPDATE entries SET pieces = 101 WHERE id = 1`,
		"leaves what it found":  `DROP TRIGGER deeds_keep_update; UPDATE deeds SET pieces = 58 WHERE what = 'counted'`,
		"every lot came in":     `INSERT INTO lots (size, colour, supplier) VALUES ('SS10', 'jet', '')`,
		"missing between":       `DROP TRIGGER deeds_keep_delete; DROP TRIGGER entries_keep_delete; DELETE FROM entries WHERE deed = 2; DELETE FROM deeds WHERE id = 2`,
		"the ledger are right":  `UPDATE lot_places SET gone = 1`,
		"ledger are right: lot": `DELETE FROM lot_places WHERE place = 'market'`,
		"the ledger are kept":   `DROP TRIGGER entries_sum`,
		"guards":                `DROP TRIGGER lots_keep_insert`,
		"every reference":       `PRAGMA foreign_keys = OFF; DROP TRIGGER lots_keep_delete; DELETE FROM lots`,
	} {
		b := newBook(t)
		mustReceive(t, b, receipt(t, 100))
		mustChange(t, b, shop.Change{What: shop.Used, Kind: crystal(), Pieces: 40})
		mustChange(t, b, shop.Change{What: shop.Moved, Kind: crystal(), Pieces: 3, Towards: "market"})
		mustChange(t, b, shop.Change{What: shop.Counted, Kind: crystal(), Pieces: 57})
		mustTellOfHarm(t, b, name, harm)
	}
}

// mustTellOfHarm harms a sound book and has its check tell of it, in the words of name.
func mustTellOfHarm(t *testing.T, b *Book, name, harm string) {
	t.Helper()
	mustBeSound(t, b)
	if _, err := b.db.Exec(harm); err != nil {
		t.Fatal(name, err)
	}
	r, err := b.Check(t.Context())
	if err != nil || !slices.ContainsFunc(r.Problems, func(p string) bool { return containsAll(p, name) }) {
		t.Errorf("%s: %q, %v", name, r.Problems, err)
	}
}
