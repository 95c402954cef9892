package store

import (
	"database/sql"
	"fmt"
	"slices"
	"testing"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// Packed rows come back as they were put in, empty texts and other alphabets too; one
// that has more or fewer fields than were asked for, or letters for a number, is told.
func TestPackedRows(t *testing.T) {
	b := newBook(t)
	var got []string
	err := b.packed(t.Context(), b.db, `a, b, c`, `(SELECT 1 AS a, '' AS b, 'Łukasz, "Ñ"' AS c UNION ALL SELECT -2, 'x', '')`, nil, func(f *fields) {
		got = append(got, fmt.Sprint(f.int(), "|", f.text(), "|", f.text()))
	})
	if want := []string{`1||Łukasz, "Ñ"`, `-2|x|`}; err != nil || !slices.Equal(got, want) {
		t.Errorf("%q, %v", got, err)
	}
	if err := b.packed(t.Context(), b.db, `id, code`, `templates`, nil, func(*fields) { t.Error("a row of an empty table") }); err != nil {
		t.Error(err)
	}
	mustReceive(t, b, receipt(t, 10))
	for name, read := range map[string]func(f *fields){
		"more fields":  func(f *fields) { f.int() },
		"fewer fields": func(f *fields) { f.int(); f.text(); f.text() },
		"letters":      func(f *fields) { f.text(); f.int() },
	} {
		if err := b.packed(t.Context(), b.db, `1, 'x'`, `lots`, nil, read); fault.CodeOf(err) != "book-damaged" {
			t.Error(name, err)
		}
	}
}

// A name in the file with a sign that the checks keep out is told as damage, not taken
// for another name.
func TestPackedRowsOfAFileThatWasWrittenByOthers(t *testing.T) {
	b := newBook(t)
	n := cutBadge(1)
	mustEnter(t, b, n)
	n.Design, n.Lasts = "a\x1fb", 300
	if _, err := n.Check(); fault.CodeOf(err) != "text" {
		t.Fatal(err)
	}
	err := b.within(t.Context(), func(tx *sql.Tx) error {
		id, err := insertTemplate(t.Context(), tx, n)
		if err != nil {
			return err
		}
		return insertTemplateEvent(t.Context(), tx, id, shop.TemplateEvent{At: morning(), What: shop.TemplateCut, Place: "shelf"})
	})
	if err != nil {
		t.Fatal(err)
	}
	if found, err := b.FindTemplates(t.Context(), shop.Search{}); fault.CodeOf(err) != "book-damaged" {
		t.Errorf("%+v, %v", found, err)
	}
}
