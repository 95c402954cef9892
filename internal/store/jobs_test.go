package store

import (
	"fmt"
	"testing"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// badge is a design of two kinds of stone, told from others by a number.
func badge(n int) shop.Design {
	return shop.Design{
		Name: fmt.Sprintf("Heron badge %d", n), Digest: fmt.Sprintf("%064x", n), Width: 60, Height: 36, Plates: 2, Flock: 1,
		Tape: shop.Cover{PerSheet: 8}, Film: shop.Cover{PerSheet: 12},
		Stones: []shop.Stones{{Kind: shop.Kind{Size: "SS16", Colour: "sun"}, Pieces: 12, Take: 13}, {Kind: crystal(), Pieces: 100, Take: 102}},
	}
}

func mustDesign(t testing.TB, b *Book, n int) shop.Design {
	t.Helper()
	d, err := b.AddDesign(t.Context(), morning(), badge(n))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func mustAsk(t testing.TB, b *Book, j shop.Job) shop.Job {
	t.Helper()
	j, err := b.Ask(t.Context(), morning(), j)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func TestDesigns(t *testing.T) {
	b := newBook(t)
	d := mustDesign(t, b, 1)
	if d.ID != 1 || len(d.Stones) != 2 || d.Stones[0].Kind != crystal() || d.Tape.For(9) != 2 || !d.Added.Equal(morning()) {
		t.Errorf("%+v", d)
	}
	if again := mustDesign(t, b, 1); again.ID != 1 {
		t.Errorf("%+v", again)
	}
	mustDesign(t, b, 2)
	if all, err := b.Designs(t.Context()); err != nil || len(all) != 2 || all[1].Name != "Heron badge 2" {
		t.Errorf("%+v, %v", all, err)
	}
	if _, err := b.Design(t.Context(), 3); fault.CodeOf(err) != "design-unknown" {
		t.Error(err)
	}
	twice := badge(3)
	twice.Stones = append(twice.Stones, twice.Stones[0])
	if _, err := b.AddDesign(t.Context(), morning(), twice); fault.CodeOf(err) != "design" {
		t.Error(err)
	}
	mustBeSound(t, b)
}

func TestAsking(t *testing.T) {
	b := newBook(t)
	who := mustAdd(t, b, shop.Customer{Name: "Saltmarsh Herons"})[0]
	d := mustDesign(t, b, 1)
	line := shop.Line{Design: d.ID, Quantity: 12, Destination: shop.ToDisc, Blank: "Disc 3 in"}
	late := mustAsk(t, b, shop.Job{Customer: who.ID, Lines: []shop.Line{line}})
	soon := mustAsk(t, b, shop.Job{Customer: who.ID, Due: "2026-04-01", Lines: []shop.Line{line, {Design: d.ID, Quantity: 4, Destination: shop.ToShelf}}})
	own := mustAsk(t, b, shop.Job{Due: "2026-05-01", Lines: []shop.Line{{Design: d.ID, Quantity: 4, Destination: shop.ToShelf}}})
	all, err := b.Jobs(t.Context(), shop.Which{})
	if err != nil || len(all) != 3 || all[0].ID != soon.ID || all[1].ID != own.ID || all[2].ID != late.ID || len(all[0].Lines) != 2 {
		t.Errorf("%+v, %v", all, err)
	}
	if l := all[0].Lines[0]; l.Number != 1 || l.Name != "Heron badge 1" || l.Blank != "disc 3 in" || l.Template != shop.AsNeeded || l.ToMake() != 12 || all[0].Called != "Saltmarsh Herons" {
		t.Errorf("%+v", all[0])
	}
	if some, err := b.Jobs(t.Context(), shop.Which{States: []shop.State{shop.Asked, shop.Made}, Customer: who.ID}); err != nil || len(some) != 2 {
		t.Errorf("%+v, %v", some, err)
	}
	if steps, err := b.Steps(t.Context(), soon.ID); err != nil || len(steps) != 1 || steps[0].What != "asked" || steps[0].State != shop.Asked {
		t.Errorf("%+v, %v", steps, err)
	}
	for code, j := range map[string]shop.Job{
		"job":              {Customer: who.ID},
		"job-line":         {Customer: who.ID, Lines: []shop.Line{{Design: d.ID, Destination: shop.ToDisc}}},
		"destination":      {Customer: who.ID, Lines: []shop.Line{{Design: d.ID, Quantity: 1, Destination: "moon"}}},
		"design-unknown":   {Customer: who.ID, Lines: []shop.Line{{Design: 7, Quantity: 1, Destination: shop.ToDisc}}},
		"customer-unknown": {Customer: 7, Lines: []shop.Line{line}},
	} {
		if _, err := b.Ask(t.Context(), morning(), j); fault.CodeOf(err) != code {
			t.Errorf("%v, want %s", err, code)
		}
	}
	if _, err := b.Job(t.Context(), 4); fault.CodeOf(err) != "job-unknown" {
		t.Error(err)
	}
	mustBeSound(t, b)
}
