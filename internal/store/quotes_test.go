package store

import (
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
	"brushfall/internal/price"
	"brushfall/internal/shop"
)

// quoted gives a quote of twelve discs for a customer, and the book that has both.
func quoted(t *testing.T) (*Book, shop.Quote) {
	t.Helper()
	b := newBook(t)
	customers, err := b.AddCustomers(t.Context(), morning(), []shop.Customer{{Name: "Saltmarsh Herons", Email: "crew@herons.example"}})
	if err != nil {
		t.Fatal(err)
	}
	d, err := b.AddDesign(t.Context(), morning(), shop.Design{Name: "Heron badge", Digest: "ab", Stones: []shop.Stones{{Kind: crystal(), Pieces: 100, Take: 102}}})
	if err != nil {
		t.Fatal(err)
	}
	given := map[string]price.Value{}
	for name, text := range map[string]string{"labour": "18", "flock": "6.50", "tape": "0.80"} {
		given[name] = price.Value{Text: text, Source: price.Own}
	}
	piece := price.Piece{
		Design: "Heron badge", Stones: []price.Stones{{Kind: "SS10 crystal", Pieces: 100, Value: decimal.New(650, -2), Of: 1440, Source: "lots on hand"}},
		Holes: 100, Plates: 1, Sheets: 1, Flock: decimal.New(2, -1), Tape: price.Part{Number: 1, Of: 4}, Film: price.Part{Number: 1, Of: 4},
	}
	order := price.Order{Items: []price.Item{
		{Piece: piece, Quantity: 12, For: "disc", Blank: price.Blank{Name: "disc 3 in", Cost: decimal.New(14, -1)}},
		{Piece: piece, Quantity: 3, For: price.ForTransfer},
	}}
	return b, shop.Quote{Day: "2026-03-01", Until: "2026-03-31", Customer: customers[0].ID, Note: "for the regatta", Basis: shop.Basis{Order: order, Designs: []int64{d.ID, d.ID}, Settings: given}}
}

// A quote stays what it was whatever is set later: reckoned anew from what was kept
// with it, to the last decimal.
func TestAnOldQuoteIsReckonedAgain(t *testing.T) {
	b, q := quoted(t)
	before, _, err := q.Basis.Reckon()
	if err != nil {
		t.Fatal(err)
	}
	kept, err := b.AddQuote(t.Context(), morning(), q, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	if kept.Number != 1 || kept.Called != "Saltmarsh Herons" || kept.Answer != shop.Given || !kept.Total.Equal(before.Sale.Total) || !kept.At.Equal(moment(morning())) {
		t.Errorf("%+v", kept)
	}
	if err := b.SetRates(t.Context(), morning(), []shop.Rate{{Name: "labour", Value: "99"}}); err != nil {
		t.Fatal(err)
	}
	again, err := b.Quote(t.Context(), 1)
	if err != nil {
		t.Fatal(err)
	}
	after, _, err := again.Basis.Reckon()
	if err != nil || !after.Cost.Equal(before.Cost) || !after.Sale.Total.Equal(kept.Total) || len(after.Offers) != 2 || len(after.Offers[0].Cost.Lines) != len(before.Offers[0].Cost.Lines) {
		t.Errorf("%+v, %v", after, err)
	}
	for _, change := range []string{`UPDATE quotes SET total = '1'`, `UPDATE quotes SET made = '{}'`, `DELETE FROM quotes`, `UPDATE quotes SET note = 'other'`} {
		if _, err := b.db.Exec(change); err == nil {
			t.Errorf("%s was done", change)
		}
	}
}

// A quote in the place of another is one thing: its new design, the quote and the other's
// answer come into the book together or not at all (common practice of transactions).
func TestAQuoteInThePlaceOfAnother(t *testing.T) {
	b, q := quoted(t)
	first, err := b.AddQuote(t.Context(), morning(), q, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	other := shop.Design{Name: "Crest", Digest: "cd", Stones: []shop.Stones{{Kind: crystal(), Pieces: 10, Take: 11}}}
	q.Basis.Designs = []int64{q.Basis.Designs[0], 0}
	lost := q
	lost.Basis.Designs = []int64{0, 99}
	for code, ask := range map[string]func() error{
		"design-unknown": func() error {
			_, err := b.AddQuote(t.Context(), morning(), lost, []shop.Design{other}, first.Number)
			return err
		},
		"quote-unknown": func() error {
			_, err := b.AddQuote(t.Context(), morning(), q, []shop.Design{other}, 7)
			return err
		},
		"quote": func() error {
			_, err := b.AddQuote(t.Context(), morning(), q, nil, first.Number)
			return err
		},
	} {
		if err := ask(); fault.CodeOf(err) != code {
			t.Errorf("%v, want %s", err, code)
		}
		quotes, err := b.Quotes(t.Context())
		if err != nil || len(quotes) != 1 || quotes[0].Answer != shop.Given {
			t.Errorf("after %s the quotes are %+v, %v", code, quotes, err)
		}
		if designs, err := b.Designs(t.Context()); err != nil || len(designs) != 1 {
			t.Errorf("after %s there are %d designs, %v", code, len(designs), err)
		}
	}
	second, err := b.AddQuote(t.Context(), morning(), q, []shop.Design{other}, first.Number)
	if err != nil {
		t.Fatal(err)
	}
	before, err := b.Quote(t.Context(), first.Number)
	if err != nil || before.Answer != shop.TurnedDown || second.Answer != shop.Given || second.Basis.Designs[1] == 0 {
		t.Errorf("%+v in the place of %+v, %v", second, before, err)
	}
	if _, err := b.AddQuote(t.Context(), morning(), q, []shop.Design{other}, first.Number); fault.CodeOf(err) != "quote-answered" {
		t.Error(err)
	}
}

func TestATakenQuoteIsAJob(t *testing.T) {
	b, q := quoted(t)
	for range 2 {
		if _, err := b.AddQuote(t.Context(), morning(), q, nil, 0); err != nil {
			t.Fatal(err)
		}
	}
	taken, j, err := b.TakeQuote(t.Context(), morning(), 1, "2026-03-20")
	if err != nil {
		t.Fatal(err)
	}
	if taken.Answer != shop.Taken || taken.Job != j.ID || j.State != shop.Asked || j.Due != "2026-03-20" || j.Called != "Saltmarsh Herons" || len(j.Lines) != 2 {
		t.Errorf("%+v, %+v", taken, j)
	}
	if l := j.Lines[0]; l.Quantity != 12 || l.Destination != shop.ToDisc || l.Blank != "disc 3 in" || l.Name != "Heron badge" {
		t.Errorf("%+v", l)
	}
	if l := j.Lines[1]; l.Quantity != 3 || l.Destination != shop.ToGarment || l.Blank != "" {
		t.Errorf("%+v", l)
	}
	down, err := b.TurnDownQuote(t.Context(), 2)
	if err != nil || down.Answer != shop.TurnedDown || down.Job != 0 {
		t.Errorf("%+v, %v", down, err)
	}
	for _, number := range []int64{1, 2} {
		if _, _, err := b.TakeQuote(t.Context(), morning(), number, ""); fault.CodeOf(err) != "quote-answered" {
			t.Error(err)
		}
	}
	if _, err := b.TurnDownQuote(t.Context(), 3); fault.CodeOf(err) != "quote-unknown" {
		t.Error(err)
	}
	if _, _, err := b.TakeQuote(t.Context(), morning(), 3, "soon"); fault.CodeOf(err) != "quote-unknown" {
		t.Error(err)
	}
	all, err := b.Jobs(t.Context(), shop.Which{})
	if err != nil || len(all) != 1 {
		t.Errorf("%+v, %v", all, err)
	}
	mustBeSound(t, b)
}

// An erased customer's name and notes go; the quote and its sums stay.
func TestQuotesOfAnErasedCustomer(t *testing.T) {
	b, q := quoted(t)
	kept, err := b.AddQuote(t.Context(), morning(), q, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.EraseCustomer(t.Context(), morning(), q.Customer); err != nil {
		t.Fatal(err)
	}
	all, err := b.Quotes(t.Context())
	if err != nil || len(all) != 1 || all[0].Called != "erased customer 1" || all[0].Note != "" || !all[0].Total.Equal(kept.Total) {
		t.Errorf("%+v, %v", all, err)
	}
	if _, err := b.AddQuote(t.Context(), morning(), q, nil, 0); fault.CodeOf(err) != "customer-erased" {
		t.Error(err)
	}
	if _, _, err := b.TakeQuote(t.Context(), morning(), 1, ""); fault.CodeOf(err) != "customer-erased" {
		t.Error(err)
	}
}

func TestQuotesThatCannotBe(t *testing.T) {
	b, good := quoted(t)
	for code, change := range map[string]func(*shop.Quote){
		"quote":          func(q *shop.Quote) { q.Until = "2026-02-28" },
		"text":           func(q *shop.Quote) { q.Note = "a\x00" },
		"price-order":    func(q *shop.Quote) { q.Basis.Order.Items, q.Basis.Designs = nil, nil },
		"price-unset":    func(q *shop.Quote) { q.Basis.Settings = nil },
		"design-unknown": func(q *shop.Quote) { q.Basis.Designs = []int64{1, 9} },
	} {
		q := good
		change(&q)
		if _, err := b.AddQuote(t.Context(), morning(), q, nil, 0); fault.CodeOf(err) != code {
			t.Errorf("%v, want %s", err, code)
		}
	}
	good.Day = "soon"
	if _, err := b.AddQuote(t.Context(), morning(), good, nil, 0); fault.CodeOf(err) != "quote" {
		t.Error(err)
	}
	good.Answer = shop.Given
	if good.On("2026-03-31") != shop.Given || good.On("2026-04-01") != shop.Lapsed {
		t.Error("a quote lapses after its last day")
	}
}

// A file that was changed without the guards is told of.
func TestCheckTellsOfPricesAndQuotes(t *testing.T) {
	b, q := quoted(t)
	for range 2 {
		if _, err := b.AddQuote(t.Context(), morning(), q, nil, 0); err != nil {
			t.Fatal(err)
		}
	}
	for _, s := range []string{`DROP TRIGGER quotes_keep_delete`, `DROP TRIGGER rates_keep_update`, `DELETE FROM quotes WHERE id = 1`} {
		if _, err := b.db.Exec(s); err != nil {
			t.Fatal(err)
		}
	}
	r, err := b.Check(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"the guards of prices are there: rates_keep_update is missing",
		"the guards of quotes are there: quotes_keep_delete is missing",
		"no number is missing: of 2 quotes 1 are there",
	}
	if !slices.Equal(r.Problems, want) {
		t.Errorf("%q", r.Problems)
	}
}
