package store

import (
	"bytes"
	"os"
	"testing"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

func mustAdd(t testing.TB, b *Book, c ...shop.Customer) []shop.Customer {
	t.Helper()
	out, err := b.AddCustomers(t.Context(), morning(), c)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestCustomers(t *testing.T) {
	b := newBook(t)
	added := mustAdd(t, b, shop.Customer{Name: "  Saltmarsh   Herons ", Email: "crew@herons.example", Phone: "+44 20 7946 0123"}, shop.Customer{Name: "Ångström Zoë"})
	if added[0].ID != 1 || added[0].Name != "Saltmarsh Herons" || added[1].ID != 2 {
		t.Errorf("%+v", added)
	}
	if _, err := b.AddCustomers(t.Context(), morning(), []shop.Customer{{Name: "Third"}, {Name: ""}}); fault.CodeOf(err) != "customer" {
		t.Error(err)
	}
	added[0].Note = "pays in May"
	if err := b.ChangeCustomer(t.Context(), added[0]); err != nil {
		t.Fatal(err)
	}
	for words, want := range map[string]int{"": 2, "MAY herons": 1, "ångSTRÖM": 1, "0123": 1, "third": 0} {
		if got, err := b.Customers(t.Context(), words); err != nil || len(got) != want {
			t.Errorf("%q finds %+v, %v", words, got, err)
		}
	}
	for _, c := range []struct {
		err  error
		code string
	}{
		{b.ChangeCustomer(t.Context(), shop.Customer{ID: 9, Name: "Nobody"}), "customer-unknown"},
		{b.ChangeCustomer(t.Context(), shop.Customer{ID: 2, Name: "Zoë", Email: "zoë"}), "customer"},
		{b.EraseCustomer(t.Context(), morning(), 9), "customer-unknown"},
	} {
		if fault.CodeOf(c.err) != c.code {
			t.Errorf("%v, want %s", c.err, c.code)
		}
	}
	mustBeSound(t, b)
}

// The bytes of an erased customer are in none of the book's files; all that was
// sold, used and promised is still there.
func TestErasedForGood(t *testing.T) {
	b := newBook(t)
	secrets := []string{"Wilhelmina Quagmire", "quagmire@post.example", "5550199", "12 Eel Lane", "deaf in one ear", "for her wedding", "call her twice"}
	who := mustAdd(t, b, shop.Customer{Name: secrets[0], Email: secrets[1], Phone: secrets[2], Address: secrets[3], Note: secrets[4]}, shop.Customer{Name: "Saltmarsh Herons"})
	for n := range 200 { // earlier copies of her page, all over the file
		c := who[0]
		c.Note = secrets[4] + string(rune('a'+n%26))
		if err := b.ChangeCustomer(t.Context(), c); err != nil {
			t.Fatal(err)
		}
		mustReceive(t, b, receipt(t, 10))
	}
	d := mustDesign(t, b, 1)
	job := mustAsk(t, b, shop.Job{Customer: who[0].ID, Note: secrets[5], Lines: []shop.Line{{Design: d.ID, Quantity: 3, Destination: shop.ToDisc}}})
	if _, err := b.db.Exec(`INSERT INTO job_steps (job, at, what, state, line, transfers, drawn, note) VALUES (1, '2026-03-14T08:30:00.000Z', 'changed', 'asked', 0, 0, 0, ?)`, secrets[6]); err != nil {
		t.Fatal(err)
	}
	holds := func() (found []string) {
		for _, name := range []string{b.path, b.path + "-wal", b.path + "-shm"} {
			text, err := os.ReadFile(name)
			if err != nil && !os.IsNotExist(err) {
				t.Fatal(err)
			}
			for _, s := range secrets {
				if bytes.Contains(text, []byte(s)) {
					found = append(found, s+" in "+name)
				}
			}
		}
		return found
	}
	if len(holds()) < len(secrets) {
		t.Fatalf("before: only %q", holds())
	}
	before := mustBeSound(t, b)
	for range 2 { // a second time does no harm
		if err := b.EraseCustomer(t.Context(), morning(), who[0].ID); err != nil {
			t.Fatal(err)
		}
		if found := holds(); len(found) > 0 {
			t.Errorf("still there: %q", found)
		}
	}
	if after := mustBeSound(t, b); after.Pieces != before.Pieces || after.Entries != before.Entries {
		t.Errorf("%+v became %+v", before, after)
	}
	j, err := b.Job(t.Context(), job.ID)
	if err != nil || j.Called != "erased customer 1" || j.Customer != 1 || len(j.Lines) != 1 {
		t.Errorf("%+v, %v", j, err)
	}
	if c, err := b.Customer(t.Context(), 1); err != nil || c.Called() != "erased customer 1" || c.Erased == nil {
		t.Errorf("%+v, %v", c, err)
	}
	if all, err := b.Customers(t.Context(), ""); err != nil || len(all) != 1 {
		t.Errorf("%+v, %v", all, err)
	}
	if _, err := b.Ask(t.Context(), morning(), shop.Job{Customer: 1, Lines: j.Lines}); fault.CodeOf(err) != "customer-erased" {
		t.Error(err)
	}
	if err := b.ChangeCustomer(t.Context(), shop.Customer{ID: 1, Name: secrets[0]}); fault.CodeOf(err) != "customer-erased" {
		t.Error(err)
	}
}
