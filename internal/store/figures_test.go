package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"flag"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"brushfall/internal/catalogue"
	"brushfall/internal/shop"
)

// figures makes TestFigures take the size of a shop after years and print its
// table: `make book-figures`.
var figures = flag.Bool("figures", false, "measure lists and searches of a large book, and print them")

// load is how much a generated book holds.
type load struct{ entries, templates, jobs, customers, designs int }

// years is the load that the figures are asked for; week is enough to see that every
// list and search gives something.
func years() load { return load{50_000, 5_000, 2_000, 800, 1_000} }
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
		n := 20 + f.IntN(700)
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
			for left := r.Pieces; left > 0 && n < entries && f.IntN(40) > 0; n++ {
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

// orders adds customers, designs and jobs.
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
			j.Lines = append(j.Lines, shop.Line{Design: designs[f.IntN(len(designs))], Quantity: 1 + f.IntN(30), Destination: shop.Destinations()[f.IntN(5)]})
		}
		if _, err := b.Ask(ctx, f.day(), j); err != nil {
			return err
		}
	}
	return nil
}

// suppliers adds packs of every kind.
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
	for what, err := range map[string]error{
		"orders":    f.orders(t.Context(), b, l),
		"ledger":    f.ledger(t.Context(), b, l.entries),
		"templates": f.templates(t.Context(), b, l.templates, l.customers),
		"packs":     f.packs(t.Context(), b),
	} {
		if err != nil {
			t.Fatal(what, err)
		}
	}
	return b, f
}

// question is one list or search: ask gives how many rows it found, most is how long
// it may take in the eyes of a person at the bench.
type question struct {
	name string
	most time.Duration
	ask  func(ctx context.Context, b *Book) (int, error)
}

// Allowed times: a list that is there at once, and a sum over all jobs.
const (
	atOnce = 50 * time.Millisecond
	soon   = 500 * time.Millisecond
)

func rows[T any](out []T, err error) (int, error) { return len(out), err }

func one[T any](_ T, err error) (int, error) { return 1, err }

func stockQuestions() []question {
	return []question{
		{"stock list", atOnce, func(ctx context.Context, b *Book) (int, error) { return rows(b.Stock(ctx)) }},
		{"stock history", atOnce, func(ctx context.Context, b *Book) (int, error) { return rows(b.History(ctx, 20)) }},
		{"pack list", atOnce, func(ctx context.Context, b *Book) (int, error) { return rows(b.Packs(ctx)) }},
		{"overrun", atOnce, func(ctx context.Context, b *Book) (int, error) { return one(b.Overrun(ctx)) }},
		{"customer list", atOnce, func(ctx context.Context, b *Book) (int, error) { return rows(b.Customers(ctx, "")) }},
		{"customers by words", atOnce, func(ctx context.Context, b *Book) (int, error) { return rows(b.Customers(ctx, "reed 1")) }},
		{"designs", atOnce, func(ctx context.Context, b *Book) (int, error) { return rows(b.Designs(ctx)) }},
		{"jobs, all", atOnce, func(ctx context.Context, b *Book) (int, error) { return rows(b.Jobs(ctx, shop.Which{})) }},
		{"jobs of a state", atOnce, func(ctx context.Context, b *Book) (int, error) {
			return rows(b.Jobs(ctx, shop.Which{States: []shop.State{shop.Asked}}))
		}},
		{"jobs of a customer", atOnce, func(ctx context.Context, b *Book) (int, error) { return rows(b.Jobs(ctx, shop.Which{Customer: 3})) }},
		{"one job", atOnce, func(ctx context.Context, b *Book) (int, error) { return one(b.Job(ctx, 2)) }},
		{"steps of a job", atOnce, func(ctx context.Context, b *Book) (int, error) { return rows(b.Steps(ctx, 2)) }},
		{"buy list of 30 kinds", soon, buyThirty},
	}
}

func buyThirty(ctx context.Context, b *Book) (int, error) {
	stock, err := b.Stock(ctx)
	if err != nil {
		return 0, err
	}
	var m shop.Market
	if m.Suppliers, err = b.Suppliers(ctx); err != nil {
		return 0, err
	}
	if m.Packs, err = b.Packs(ctx); err != nil {
		return 0, err
	}
	if m.Overrun, err = b.Overrun(ctx); err != nil {
		return 0, err
	}
	onHand := map[shop.Kind]int{}
	for _, h := range stock {
		onHand[h.Kind] = h.Pieces()
	}
	var wants []shop.Want
	for i, k := range newFiller().kinds[:30] {
		wants = append(wants, shop.Want{Kind: k, Pieces: 100_000 + 777*i})
	}
	list, err := shop.Buy(wants, onHand, m)
	return len(list.Needs), err
}

func templateQuestions(all []shop.TemplateSet) []question {
	find := func(name string, s shop.Search) question {
		if s.Most == 0 {
			s.Most = 50
		}
		return question{"template find: " + name, atOnce, func(ctx context.Context, b *Book) (int, error) { return rows(b.FindTemplates(ctx, s)) }}
	}
	some := all[len(all)/3]
	year := morning().AddDate(-1, 0, 0)
	brush := func(q shop.BrushQuestion) func(ctx context.Context, b *Book) (int, error) {
		q.Transfers, q.Least, q.Most = 30, 0.75, 50
		return func(ctx context.Context, b *Book) (int, error) { return rows(b.WhatToBrush(ctx, q)) }
	}
	return []question{
		find("the newest", shop.Search{}),
		find("one letter", shop.Search{Words: "h"}),
		find("one word", shop.Search{Words: "heron"}),
		find("three words", shop.Search{Words: "heron bad ss10"}),
		find("a name", shop.Search{Words: "nguyen"}),
		find("a word of every template", shop.Search{Words: "drawer"}),
		find("nothing there", shop.Search{Words: "xylophone"}),
		find("colours and sizes", shop.Search{Colours: []string{some.Kinds[0].Kind.Colour}, Sizes: []string{some.Kinds[0].Kind.Size}}),
		find("customer", shop.Search{Customer: max(1, some.CustomerID)}),
		find("place", shop.Search{Place: some.Place}),
		find("days", shop.Search{Since: year, Until: year.AddDate(0, 1, 0)}),
		find("words and all else", shop.Search{Words: "heron", Colours: []string{some.Kinds[0].Kind.Colour}, Since: year.AddDate(-1, 0, 0), Gone: true}),
		{"template by its code", atOnce, func(ctx context.Context, b *Book) (int, error) { return one(b.Template(ctx, some.Code)) }},
		{"template by its frame", atOnce, func(ctx context.Context, b *Book) (int, error) {
			_, err := b.Template(ctx, some.Mark)
			if err != nil && strings.Contains(err.Error(), some.Code) { // two have it
				err = nil
			}
			return 1, err
		}},
		{"template by a code with a slip", atOnce, func(ctx context.Context, b *Book) (int, error) {
			slip := "3" + some.Code[1:]
			if slip == some.Code {
				slip = "4" + some.Code[1:]
			}
			if _, err := b.Template(ctx, slip); err == nil || !strings.Contains(err.Error(), some.Code) {
				return 0, fmt.Errorf("%s is not told for %s: %w", some.Code, slip, err)
			}
			return 1, nil
		}},
		{"template history", atOnce, func(ctx context.Context, b *Book) (int, error) { return rows(b.TemplateHistory(ctx, some.ID)) }},
		{"template files", atOnce, func(ctx context.Context, b *Book) (int, error) { return rows(b.TemplateFiles(ctx, some.ID)) }},
		{"templates, all of them", soon, func(ctx context.Context, b *Book) (int, error) {
			return rows(b.FindTemplates(ctx, shop.Search{Gone: true}))
		}},
		{"can-brush", atOnce, brush(shop.BrushQuestion{})},
		{"can-brush with substitutes", atOnce, brush(shop.BrushQuestion{Swap: true})},
	}
}

// Every list and search of a book by lot gives something and the book is sound; with
// -figures it is large, each is asked 25 times, and the times are printed beside
// what is asked for.
func TestFigures(t *testing.T) {
	l, times := week(), 1
	if *figures {
		l, times = years(), 25
	}
	b, _ := filled(t, l)
	all, err := b.FindTemplates(t.Context(), shop.Search{Gone: true})
	if err != nil || len(all) != l.templates {
		t.Fatal(len(all), err)
	}
	start := time.Now()
	r := mustBeSound(t, b)
	check := time.Since(start)
	if r.Entries != l.entries || r.Templates != l.templates {
		t.Errorf("%+v", r)
	}
	table := []string{fmt.Sprintf("%-42s %6s %9s %9s %9s %9s", "ms", "rows", "fastest", "median", "slowest", "asked")}
	for _, q := range append(stockQuestions(), templateQuestions(all)...) {
		var took []time.Duration
		c0 := cpu()
		n := 0
		for range times {
			start := time.Now()
			if n, err = q.ask(t.Context(), b); err != nil {
				t.Fatal(q.name, err)
			}
			took = append(took, time.Since(start))
		}
		if n == 0 && !strings.Contains(q.name, "nothing") && *figures {
			t.Errorf("%s finds nothing", q.name)
		}
		slices.Sort(took)
		mark := ""
		if took[len(took)/2] > q.most {
			mark = "  over"
		}
		table = append(table, fmt.Sprintf("%-42s %6d %9.2f %9.2f %9.2f %9.0f%s", q.name, n, ms(took[0]), ms(took[len(took)/2]), ms(took[len(took)-1]), ms(q.most), mark)+fmt.Sprintf(" cpu %.2f", ms((cpu()-c0)/time.Duration(times))))
	}
	if *figures {
		fmt.Printf("%d entries, %d templates, %d jobs, %d customers; the check of it all takes %.0f ms\n%s\n", r.Entries, r.Templates, l.jobs, l.customers, ms(check), strings.Join(table, "\n"))
	}
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }

func cpu() time.Duration {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u)
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
