package store

import (
	"context"
	"database/sql"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// earlier gives statements that a program of that schema wrote: a lot for 6.50 of
// which some were used, and from schema 2 on what that added.
func earlier(version int64) []string {
	out := []string{
		`INSERT INTO lots (id, size, colour, supplier, cost) VALUES (1, 'SS10', 'crystal', 'Reed & Co', '6.5')`,
		`INSERT INTO deeds VALUES (1, '2026-01-05T09:00:00.000Z', 'received', 'SS10', 'crystal', 1440, 'shelf', '', NULL, '')`,
		`INSERT INTO entries VALUES (1, 1, 'received', 1, 'shelf', 1440)`,
		`INSERT INTO deeds VALUES (2, '2026-01-06T09:00:00.000Z', 'used', 'SS10', 'crystal', 440, 'shelf', '', NULL, 'Herons')`,
		`INSERT INTO entries VALUES (2, 2, 'used', 1, 'shelf', -440)`,
	}
	if version >= 2 {
		out[0] = `INSERT INTO lots VALUES (1, 'SS10', 'crystal', 'Reed & Co', '6.5', 1440, 'pieces')`
		out = append(out, `INSERT INTO weighings VALUES (1, '2026-01-06T09:00:00.000Z', 'SS10', 'crystal', 100, 1.5)`)
	}
	if version >= 3 {
		out = append(out, `INSERT INTO suppliers VALUES ('Reed & Co', '0')`)
	}
	if version >= 4 {
		out = append(out,
			`INSERT INTO customers VALUES (1, '2026-01-07T09:00:00.000Z', NULL, 'Saltmarsh Herons', '', '', '', '')`,
			`INSERT INTO designs VALUES (1, '2026-01-07T09:00:00.000Z', 'Heron badge', 'ab', 60, 36, 1, 1, 8, 0, 12, 0)`,
			`INSERT INTO design_stones VALUES (1, 'SS10', 'crystal', 100, 102)`,
			`INSERT INTO jobs VALUES (1, 1, 'asked', '2026-04-01', '')`,
			`INSERT INTO job_lines VALUES (1, 1, 1, 5, 'disc', '', 'as needed', 0, 0, 0)`,
			`INSERT INTO job_steps VALUES (1, 1, '2026-01-07T09:00:00.000Z', 'asked', 'asked', 0, 0, 0, NULL, '')`)
	}
	if version >= 5 {
		sum := strings.Repeat("0", 64)
		out = append(out,
			`INSERT INTO templates VALUES (1, '7K4M-9AC4', 'HERON', '`+sum+`', '`+sum+`', 'Heron badge', 60, 36, 72, 48, 1, 1, '', 300)`,
			`INSERT INTO template_kinds VALUES (1, 'SS10', 'crystal', 100, 102)`,
			`INSERT INTO template_events VALUES (1, 1, '2026-01-08T09:00:00.000Z', 'cut', 0, 'drawer 3', '')`,
			`INSERT INTO template_events VALUES (2, 1, '2026-01-09T09:00:00.000Z', 'brushed', 12, '', '')`)
	}
	if version >= 6 {
		out = append(out, `INSERT INTO rates VALUES (1, '2026-01-07T09:00:00.000Z', 'labour', '18', 0)`,
			`INSERT INTO price_list VALUES (1, '2026-01-07T09:00:00.000Z', 'Heron badge', 'disc', 1, '14.95')`)
	}
	if version >= 7 {
		out = append(out, `INSERT INTO goods VALUES ('flock', 'white', 304.8, 508, '3.1', 1, 0, '')`,
			`INSERT INTO colours VALUES ('harbour blue', 'ab', '#27567f', 'SS6 SS10', 0, '')`)
	}
	if version >= 8 {
		out = append(out, `INSERT INTO quotes VALUES (1, '2026-01-10T09:00:00.000Z', '2026-01-10', '2026-02-09', 1, '', 'given', NULL, '179.4', '{}')`)
	}
	if version >= 10 {
		out = append(out, `INSERT INTO design_plates VALUES (1, 'HERON', '`+strings.Repeat("0", 64)+`', 72, 48, NULL, 2, x'00')`)
	}
	return out
}

// written makes a book of an earlier schema.
func written(t *testing.T, version int64) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "shop.book")
	b, err := connect(path, "rwc", "foreign_keys(1)")
	if err != nil {
		t.Fatal(err)
	}
	if err := b.migrate(t.Context(), version); err != nil {
		t.Fatal(err)
	}
	err = b.within(t.Context(), func(tx *sql.Tx) error {
		for _, s := range earlier(version) {
			if _, err := tx.Exec(s); err != nil {
				return fmt.Errorf("%s: %w", s, err)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

// A book of every earlier schema opens, with all that was in it, and goes on; it can
// be checked and backed up before that, as it is.
func TestBooksOfEveryEarlierSchema(t *testing.T) {
	for version := int64(1); version <= latest; version++ {
		path := written(t, version)
		old, err := Look(t.Context(), path)
		if err != nil {
			t.Fatal(version, err)
		}
		if r := mustBeSound(t, old); r.Schema != version || r.Pieces != 1000 {
			t.Errorf("%d: %+v", version, r)
		}
		copied := path + ".copy"
		if _, err := old.Backup(t.Context(), copied, false); err != nil {
			t.Error(version, err)
		}
		_ = old.Close()
		for _, p := range []string{path, copied} {
			b, err := Open(t.Context(), p)
			if err != nil {
				t.Fatal(version, err)
			}
			if r := mustBeSound(t, b); r.Schema != latest || r.Pieces != 1000 || r.Deeds != 2 {
				t.Errorf("%d: %+v", version, r)
			}
			stock, err := b.Stock(t.Context())
			if err != nil || len(stock) != 1 {
				t.Fatal(stock, err)
			}
			l := stock[0].Lots[0]
			if l.Labelled != 1440 || l.Filled != shop.ByPieces || l.Cost.String() != "6.5" || l.OnHand() != 1000 || l.Gone != 440 {
				t.Errorf("%d: %+v", version, l)
			}
			if s, err := b.Suppliers(t.Context()); err != nil || len(s) != 1 || s[0].Name != "Reed & Co" {
				t.Errorf("%d: %+v, %v", version, s, err)
			}
			if _, n, err := b.Mass(t.Context(), crystal()); err != nil || (n == 100) != (version >= 2) {
				t.Errorf("%d: mass of %d, %v", version, n, err)
			}
			if all, err := b.Jobs(t.Context(), shop.Which{}); err != nil || (len(all) == 1 && all[0].Called == "Saltmarsh Herons") != (version >= 4) {
				t.Errorf("%d: %+v, %v", version, all, err)
			}
			if found, err := b.FindTemplates(t.Context(), shop.Search{Words: "saltmarsh"}); err != nil || (len(found) == 1 && found[0].Uses == 12) != (version >= 5) {
				t.Errorf("%d: %+v, %v", version, found, err)
			}
			mustEnter(t, b, cutBadge(1))
			if k, err := b.Find(t.Context(), "ss10", "Harbour Blue"); (err == nil && k.Colour == "harbour blue") != (version >= 7) {
				t.Errorf("%d: %v, %v", version, k, err)
			}
			if rates, err := b.Rates(t.Context()); err != nil || (len(rates) == 1 && rates[0].Value == "18") != (version >= 6) {
				t.Errorf("%d: %+v, %v", version, rates, err)
			}
			if list, err := b.PriceList(t.Context()); err != nil || (len(list) == 1 && list[0].Price.String() == "14.95") != (version >= 6) {
				t.Errorf("%d: %+v, %v", version, list, err)
			}
			if quotes, err := b.Quotes(t.Context()); err != nil || (len(quotes) == 1 && quotes[0].Called == "Saltmarsh Herons") != (version >= 8) {
				t.Errorf("%d: %+v, %v", version, quotes, err)
			}
			mustReceive(t, b, receipt(t, 10))
			mustBeSound(t, b)
			_ = b.Close()
		}
	}
}

func TestLatestIsTheLastMigration(t *testing.T) {
	files, err := fs.Glob(migrations, "migrations/*.sql")
	if err != nil || len(files) != latest {
		t.Errorf("%d migrations, latest is %d; %v", len(files), latest, err)
	}
}

func TestFilesThatAreNoBookOfOurs(t *testing.T) {
	dir := t.TempDir()
	newer := written(t, latest)
	b, err := Open(t.Context(), newer)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.db.Exec(`INSERT INTO goose_db_version (version_id, is_applied) VALUES (99, 1)`); err != nil {
		t.Fatal(err)
	}
	_ = b.Close()
	other := filepath.Join(dir, "other.db")
	o, err := connect(other, "rwc")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := o.db.Exec(`CREATE TABLE songs (title TEXT)`); err != nil {
		t.Fatal(err)
	}
	_ = o.Close()
	prose := filepath.Join(dir, "prose")
	if err := os.WriteFile(prose, []byte("Dear Herons, the stones have come, all of them, in a box."), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ path, code string }{
		{newer, "book-newer"},
		{other, "book-not"},
		{prose, "book-not"},
		{dir, "book-not"},
		{filepath.Join(dir, "lost"), "book-missing"},
	} {
		before, _ := os.ReadFile(c.path)
		for name, open := range map[string]func(context.Context, string) (*Book, error){"Open": Open, "Look": Look} {
			if b, err := open(t.Context(), c.path); fault.CodeOf(err) != c.code {
				t.Errorf("%s of %s: %v, want %s", name, c.path, err, c.code)
				if b != nil {
					_ = b.Close()
				}
			}
		}
		if after, _ := os.ReadFile(c.path); string(after) != string(before) {
			t.Errorf("%s was changed", c.path)
		}
	}
}

// large is a book of 50,000 entries, 36 kinds in 2,000 lots.
func large(b *testing.B) *Book {
	b.Helper()
	book := newBook(b)
	colours := []string{"crystal", "jet", "siam", "sun", "emerald", "sapphire", "rose", "gold", "silver", "peridot", "topaz", "olivine"}
	err := book.within(b.Context(), func(tx *sql.Tx) error {
		for n := range 2000 {
			k := shop.Kind{Size: []string{"SS6", "SS10", "SS16"}[n%3], Colour: colours[n/3%12]}
			r := shop.Receipt{Kind: k, Labelled: 1440, Pieces: 1440, Filled: shop.ByPieces, Place: shop.Shelf, Cost: amount(b, "6.50")}
			d, err := receive(b.Context(), tx, morning(), r, shop.Received)
			if err != nil {
				return err
			}
			for range 24 {
				used := shop.Deed{At: morning(), What: shop.Used, Kind: k, Pieces: 50, Place: shop.Shelf, Parts: []shop.Part{{Lot: d.Parts[0].Lot, Place: shop.Shelf, Pieces: -50}}}
				if _, err := add(b.Context(), tx, used, 0); err != nil {
					return err
				}
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	return book
}

func BenchmarkStockOf50000Entries(b *testing.B) {
	book := large(b)
	for b.Loop() {
		if _, err := book.Stock(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCheckOf50000Entries(b *testing.B) {
	book := large(b)
	for b.Loop() {
		mustBeSound(b, book)
	}
}

func BenchmarkUse(b *testing.B) {
	book := large(b)
	for b.Loop() {
		if _, err := book.Change(b.Context(), morning(), shop.Change{What: shop.Used, Kind: crystal(), Pieces: 1}); err != nil {
			b.Fatal(err)
		}
	}
}
