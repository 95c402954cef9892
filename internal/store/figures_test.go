package store

import (
	"context"
	"flag"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"brushfall/internal/shop"
)

// figures makes TestFigures take the size of a shop after years and print its
// table: `make book-figures`.
var figures = flag.Bool("figures", false, "measure lists and searches of a large book, and print them")

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
		{"jobs, all there ever were", soon, func(ctx context.Context, b *Book) (int, error) { return rows(b.Jobs(ctx, shop.Which{})) }},
		{"jobs that are open", atOnce, func(ctx context.Context, b *Book) (int, error) {
			return rows(b.Jobs(ctx, shop.Which{States: []shop.State{shop.Asked, shop.Promised, shop.Made}}))
		}},
		{"jobs of a customer", atOnce, func(ctx context.Context, b *Book) (int, error) { return rows(b.Jobs(ctx, shop.Which{Customer: 3})) }},
		{"one job", atOnce, func(ctx context.Context, b *Book) (int, error) { return one(b.Job(ctx, 2)) }},
		{"steps of a job", atOnce, func(ctx context.Context, b *Book) (int, error) { return rows(b.Steps(ctx, 2)) }},
		{"shortages of all jobs", soon, func(ctx context.Context, b *Book) (int, error) { return rows(b.Shortages(ctx)) }},
		{"buy list of all jobs", soon, buyAll},
		{"buy list of 30 kinds", soon, buyThirty},
	}
}

func buyAll(ctx context.Context, b *Book) (int, error) {
	shortages, err := b.Shortages(ctx)
	if err != nil {
		return 0, err
	}
	return buy(ctx, b, shop.Wants(shortages))
}

func buyThirty(ctx context.Context, b *Book) (int, error) {
	var wants []shop.Want
	for i, k := range newFiller().kinds[:30] {
		wants = append(wants, shop.Want{Kind: k, Pieces: 100_000 + 777*i})
	}
	return buy(ctx, b, wants)
}

func buy(ctx context.Context, b *Book, wants []shop.Want) (int, error) {
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
		{"templates, all of them", atOnce, func(ctx context.Context, b *Book) (int, error) {
			return rows(b.FindTemplates(ctx, shop.Search{Gone: true}))
		}},
		{"can-brush", atOnce, brush(shop.BrushQuestion{})},
		{"can-brush with substitutes", atOnce, brush(shop.BrushQuestion{Swap: true})},
	}
}

// Every list and search of a book by lot gives something and the book is sound; with
// -figures it is large, each is asked 15 times, and the times are printed beside
// what is asked for.
func TestFigures(t *testing.T) {
	l, times := week(), 1
	if *figures {
		l, times = years(), 15
	}
	b, _ := filled(t, l)
	all, err := b.FindTemplates(t.Context(), shop.Search{Gone: true})
	if err != nil || len(all) != l.templates {
		t.Fatal(len(all), err)
	}
	start := time.Now()
	r := mustBeSound(t, b)
	check := time.Since(start)
	if r.Entries < l.entries || r.Templates != l.templates {
		t.Errorf("%+v", r)
	}
	table := []string{fmt.Sprintf("%-42s %6s %9s %9s %9s %9s", "ms", "rows", "fastest", "median", "slowest", "asked")}
	for _, q := range append(stockQuestions(), templateQuestions(all)...) {
		var took []time.Duration
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
		table = append(table, fmt.Sprintf("%-42s %6d %9.2f %9.2f %9.2f %9.0f%s", q.name, n, ms(took[0]), ms(took[len(took)/2]), ms(took[len(took)-1]), ms(q.most), mark))
	}
	if *figures {
		fmt.Printf("%d entries, %d templates, %d jobs, %d customers; the check of it all takes %.0f ms\n%s\n", r.Entries, r.Templates, l.jobs, l.customers, ms(check), strings.Join(table, "\n"))
	}
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
