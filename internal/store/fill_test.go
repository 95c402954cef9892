package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// load is how much a generated book holds.
type load struct{ entries, templates, jobs, customers, designs int }

// years is the load that the figures are asked for; week is enough to see that every
// list and search gives something.
func years() load { return load{40_000, 5_000, 2_000, 800, 1_000} }
func week() load  { return load{400, 60, 12, 8, 8} }

// filler fills a book by lot; the same seed gives the same book.
type filler struct {
	*rand.Rand
	kinds []shop.Kind
}

func newFiller() *filler {
	f := &filler{Rand: rand.New(rand.NewPCG(50_000, 5_000))}
	colours := catalogue.Colours()
	for _, size := range []string{"SS6", "SS10", "SS16", "SS20"} {
		for _, c := range colours[:min(18, len(colours))] {
			f.kinds = append(f.kinds, shop.Kind{Size: size, Colour: c.Name})
		}
	}
	return f
}

func (f *filler) of(words ...string) string { return words[f.IntN(len(words))] }

func (f *filler) person() string {
	return f.of("Łukasz", "Siân", "Nguyễn", "Marta", "Tom", "Zoë", "Bjørn", "Ana", "Wren", "Otto") + " " +
		f.of("Reed", "Marsh", "Müller", "Heron", "Sands", "Brandt", "Ortiz", "Falk", "Quay", "Sluice") + fmt.Sprint(" ", f.IntN(100))
}

func (f *filler) title() string {
	return f.of("Heron", "Regatta", "Oar", "Saltmarsh", "Crew", "Anchor", "Star", "Heart", "Name", "Crest") + " " +
		f.of("badge", "crest", "back", "sleeve", "cap", "disc", "bow", "bag") + fmt.Sprint(" ", f.IntN(1000))
}

// some gives a few kinds, no two alike.
func (f *filler) some() []shop.Stones {
	var out []shop.Stones
	for _, i := range f.Perm(len(f.kinds))[:1+f.IntN(5)] {
		n := 20 + f.IntN(150)
		out = append(out, shop.Stones{Kind: f.kinds[i], Pieces: n, Take: n + n/50 + 1})
	}
	return out
}

// day gives a moment of the last three years.
func (f *filler) day() time.Time { return morning().Add(-time.Duration(f.IntN(3*365*24)) * time.Hour) }

// ledger books lots, each used up bit by bit, until there are so many entries.
func (f *filler) ledger(ctx context.Context, b *Book, entries int) error {
	return b.within(ctx, func(tx *sql.Tx) error {
		for n := 0; n < entries; {
			cost := shop.Money{}
			r := shop.Receipt{Kind: f.kinds[f.IntN(len(f.kinds))], Labelled: 1440, Pieces: 1440 + f.IntN(80), Filled: shop.ByWeight, Place: shop.Shelf, Supplier: f.of("Reed & Co", "Marsh", "Quay"), Cost: &cost}
			d, err := receive(ctx, tx, f.day(), r, shop.Received)
			if err != nil {
				return err
			}
			n++
			for left := r.Pieces; left > 0 && n < entries && f.IntN(12) > 0; n++ {
				take := min(left, 1+f.IntN(120))
				left -= take
				deed := shop.Deed{At: f.day(), What: shop.Used, Kind: r.Kind, Pieces: take, Place: shop.Shelf, Note: f.title(), Parts: []shop.Part{{Lot: d.Parts[0].Lot, Place: shop.Shelf, Pieces: -take}}}
				if _, err := add(ctx, tx, deed, 0); err != nil {
					return err
				}
			}
		}
		return nil
	})
}

// templates enters so many, with what was done with them.
func (f *filler) templates(ctx context.Context, b *Book, many, customers int) error {
	return b.within(ctx, func(tx *sql.Tx) error {
		for n := range many {
			layout := fmt.Append(nil, "layout ", n)
			sum := sha256.Sum256(layout)
			t := shop.NewTemplate{
				Print: sum, Mark: fmt.Sprint("MARK ", n/2), Digest: hex.EncodeToString(sum[:]), Design: f.title(), Width: 100, Height: 80, FrameWidth: 112, FrameHeight: 92, Plates: 1 + f.IntN(3),
				Kinds: f.some(), Place: fmt.Sprint("drawer ", f.IntN(60)), Note: f.of("", "", "school", "for the regatta", "red bag only"), Files: []shop.TemplateFile{{Name: "layout.json", Data: layout}}, Picture: make([]byte, 2000),
			}
			if f.IntN(3) > 0 {
				t.Customer = int64(1 + f.IntN(customers))
			}
			t, err := t.Check()
			if err != nil {
				return err
			}
			id, err := insertTemplate(ctx, tx, t)
			if err != nil {
				return err
			}
			events := []shop.TemplateEvent{{At: f.day(), What: shop.TemplateCut, Place: t.Place}}
			for range f.IntN(8) {
				events = append(events, shop.TemplateEvent{At: f.day(), What: shop.TemplateBrushed, Times: 1 + f.IntN(30)})
			}
			switch f.IntN(20) {
			case 0:
				events = append(events, shop.TemplateEvent{At: f.day(), What: shop.TemplateGone})
			case 1:
				events = append(events, shop.TemplateEvent{At: f.day(), What: shop.TemplateMoved, Place: "market"})
			}
			for _, e := range events {
				if err := insertTemplateEvent(ctx, tx, id, e); err != nil {
					return err
				}
			}
		}
		return nil
	})
}

// orders adds customers, designs and jobs, of which most are promised and some made.
func (f *filler) orders(ctx context.Context, b *Book, l load) error {
	var customers []shop.Customer
	for range l.customers {
		customers = append(customers, shop.Customer{Name: f.person(), Email: "crew@herons.example", Address: f.title()})
	}
	if _, err := b.AddCustomers(ctx, morning(), customers); err != nil {
		return err
	}
	var designs []int64
	for n := range l.designs {
		d, err := b.AddDesign(ctx, f.day(), shop.Design{Name: f.title(), Digest: fmt.Sprint("digest ", n), Width: 100, Height: 80, Plates: 1, Flock: 1, Tape: shop.Cover{PerSheet: 4}, Film: shop.Cover{PerSheet: 4}, Stones: f.some()})
		if err != nil {
			return err
		}
		designs = append(designs, d.ID)
	}
	for range l.jobs {
		j := shop.Job{Customer: int64(f.IntN(l.customers + 1)), Due: f.day().Format(time.DateOnly), Note: f.of("", "collected", "ring first")}
		for range 1 + f.IntN(4) {
			j.Lines = append(j.Lines, shop.Line{Design: designs[f.IntN(len(designs))], Quantity: 1 + f.IntN(2), Destination: shop.Destinations()[f.IntN(5)]})
		}
		j, err := b.Ask(ctx, f.day(), j)
		if err != nil {
			return err
		}
		if err := f.work(ctx, b, j.ID); err != nil {
			return err
		}
	}
	return nil
}

// work promises most jobs, and makes and hands over most of those, as far as the
// stones are there: as a shop stands after years.
func (f *filler) work(ctx context.Context, b *Book, job int64) error {
	if f.IntN(20) == 0 {
		return nil
	}
	_, err := b.Promise(ctx, f.day(), job, "")
	if err == nil && f.IntN(15) > 0 {
		_, err = b.Make(ctx, f.day(), shop.Making{Job: job})
		if err == nil && f.IntN(30) > 0 {
			_, err = b.HandOver(ctx, f.day(), job, "")
		}
	}
	if fault.CodeOf(err) == "stock-short" {
		return nil
	}
	return err
}

// packs adds packs of every kind.
func (f *filler) packs(ctx context.Context, b *Book) error {
	for _, k := range f.kinds {
		for _, s := range []string{"Reed & Co", "Marsh", "Quay"} {
			price := shop.Money{}.Add(*mustMoney(fmt.Sprintf("%d.%02d", 4+f.IntN(4), f.IntN(100))))
			if _, err := b.SetPack(ctx, shop.Pack{Supplier: s, Kind: k, Labelled: 1440, Filled: shop.ByPieces, Breaks: []shop.Break{{From: 1, Price: price}}}); err != nil {
				return err
			}
		}
	}
	return nil
}

func mustMoney(text string) *shop.Money {
	m, err := shop.ParseMoney(text)
	if err != nil {
		panic(err)
	}
	return &m
}

func filled(t *testing.T, l load) (*Book, *filler) {
	t.Helper()
	b, f := newBook(t), newFiller()
	err := f.ledger(t.Context(), b, l.entries)
	if err == nil {
		err = f.orders(t.Context(), b, l)
	}
	if err == nil {
		err = f.templates(t.Context(), b, l.templates, l.customers)
	}
	if err == nil {
		err = f.packs(t.Context(), b)
	}
	if err != nil {
		t.Fatal(err)
	}
	return b, f
}
