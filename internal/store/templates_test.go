package store

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"
	"testing"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// cutBadge is a set of templates that was cut; n tells one from another.
func cutBadge(n byte) shop.NewTemplate {
	layout := []byte(strings.Repeat("{\"stones\":[]}", int(n)))
	sum := sha256.Sum256(layout)
	return shop.NewTemplate{
		Print: sha256.Sum256([]byte{n}), Mark: "HERON", Digest: hex.EncodeToString(sum[:]), Design: "Heron badge",
		Width: 228.6, Height: 228.6, FrameWidth: 240.6, FrameHeight: 240.6, Plates: 2, Place: "Drawer 3", Note: "for the regatta",
		Kinds:   []shop.Stones{{Kind: shop.Kind{Size: "SS6", Colour: "jet"}, Pieces: 200, Take: 204}, {Kind: crystal(), Pieces: 76, Take: 78}},
		Picture: []byte("\x89PNG"),
		Files:   []shop.TemplateFile{{Name: "layout.json", Data: layout}, {Name: "sheet-1.plt", Data: bytes.Repeat([]byte("PU;"), 1000)}, {Name: "empty"}},
	}
}

func mustEnter(t testing.TB, b *Book, n shop.NewTemplate) shop.TemplateSet {
	t.Helper()
	s, err := b.AddTemplate(t.Context(), morning(), n)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func mustNote(t testing.TB, b *Book, code string, e shop.TemplateEvent) shop.TemplateSet {
	t.Helper()
	s, err := b.NoteTemplate(t.Context(), morning().Add(time.Hour), code, e)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestALifeOfATemplate(t *testing.T) {
	b := newBook(t)
	s := mustEnter(t, b, cutBadge(1))
	if s.Code != shop.TemplateCode(cutBadge(1).Print, 0) || s.Place != "drawer 3" || s.Stones != 276 || s.Condition != shop.Good || !s.Made.Equal(morning()) || !s.Last.IsZero() {
		t.Errorf("%+v", s)
	}
	if s.Kinds[0].Kind.Size != "SS10" || s.Kinds[1].Take != 204 {
		t.Errorf("the largest is not first: %+v", s.Kinds)
	}
	mustNote(t, b, strings.ToLower(s.Code), shop.TemplateEvent{What: shop.TemplateBrushed, Times: 12, Note: "Herons"})
	mustNote(t, b, s.Code+" 2/2", shop.TemplateEvent{What: shop.TemplateBrushed, Times: 30})
	mustNote(t, b, "heron 1/2", shop.TemplateEvent{What: shop.TemplateMoved, Place: "Market  box"})
	s = mustNote(t, b, s.Code, shop.TemplateEvent{What: shop.TemplateWorn})
	if s.Uses != 42 || s.Place != "market box" || s.Condition != shop.Worn || s.Last.IsZero() || s.Worked() != 42.0/300 {
		t.Errorf("%+v", s)
	}
	mustNote(t, b, s.Code, shop.TemplateEvent{What: shop.TemplateGone, Note: "torn"})
	if _, err := b.NoteTemplate(t.Context(), morning(), s.Code, shop.TemplateEvent{What: shop.TemplateBrushed, Times: 1}); fault.CodeOf(err) != "template-gone" {
		t.Error(err)
	}
	if got, err := b.FindTemplates(t.Context(), shop.Search{Words: "heron"}); err != nil || len(got) != 0 {
		t.Errorf("found though gone: %+v, %v", got, err)
	}
	s = mustNote(t, b, s.Code, shop.TemplateEvent{What: shop.TemplateGood, Place: "drawer 3"})
	if s.Place != "drawer 3" || s.Condition != shop.Good {
		t.Errorf("%+v", s)
	}
	history, err := b.TemplateHistory(t.Context(), s.ID)
	if err != nil || len(history) != 7 || history[0].What != shop.TemplateCut || history[0].Place != "drawer 3" || history[1].Note != "Herons" || history[1].Times != 12 {
		t.Errorf("%+v, %v", history, err)
	}
	files, err := b.TemplateFiles(t.Context(), s.ID)
	if err != nil || len(files) != 3 {
		t.Fatal(files, err)
	}
	for i, f := range files {
		if want := cutBadge(1).Files[i]; f.Name != want.Name || !bytes.Equal(f.Data, want.Data) {
			t.Errorf("%s is not what was kept", f.Name)
		}
	}
	if p, err := b.TemplatePicture(t.Context(), s.ID); err != nil || string(p) != "\x89PNG" {
		t.Errorf("%q, %v", p, err)
	}
	if r := mustBeSound(t, b); r.Templates != 1 {
		t.Errorf("%+v", r)
	}
}

// Two sets of one design have codes of their own, and the frames' word for both is
// told to be that of both.
func TestCodesAreOnlyOnceInABook(t *testing.T) {
	b := newBook(t)
	one, two := mustEnter(t, b, cutBadge(1)), mustEnter(t, b, cutBadge(1))
	if one.Code == two.Code || two.Code != shop.TemplateCode(cutBadge(1).Print, 1) {
		t.Error(one.Code, two.Code)
	}
	if _, err := b.Template(t.Context(), "HERON 1/2"); fault.CodeOf(err) != "template-several" || !containsAll(err.Error(), one.Code, two.Code) {
		t.Error(err)
	}
	slip := []byte(one.Code)
	slip[0] = "34"[(slip[0]-'3'+1)&1]
	if _, err := b.Template(t.Context(), string(slip)); fault.CodeOf(err) != "template-code" || !containsAll(err.Error(), "did you mean", one.Code, "Heron badge") {
		t.Errorf("%s for %s: %v", slip, one.Code, err)
	}
	if _, err := b.Template(t.Context(), shop.TemplateCode(cutBadge(9).Print, 0)); fault.CodeOf(err) != "template-unknown" {
		t.Error(err)
	}
	if _, err := b.Template(t.Context(), "no such thing"); fault.CodeOf(err) != "template-code" {
		t.Error(err)
	}
	mustBeSound(t, b)
}

func TestTemplatesThatCannotBe(t *testing.T) {
	b := newBook(t)
	for code, spoil := range map[string]func(*shop.NewTemplate){
		"template":         func(n *shop.NewTemplate) { n.Kinds = nil },
		"template ":        func(n *shop.NewTemplate) { n.Kinds[0] = n.Kinds[1] },
		"template  ":       func(n *shop.NewTemplate) { n.FrameWidth = 0 },
		"template-lasts":   func(n *shop.NewTemplate) { n.Lasts = -1 },
		"text":             func(n *shop.NewTemplate) { n.Note = "\x00" },
		"customer-unknown": func(n *shop.NewTemplate) { n.Customer = 7 },
	} {
		n := cutBadge(1)
		spoil(&n)
		if _, err := b.AddTemplate(t.Context(), morning(), n); fault.CodeOf(err) != strings.TrimSpace(code) {
			t.Errorf("%v, want %s", err, code)
		}
	}
	if _, err := b.NoteTemplate(t.Context(), morning(), "x", shop.TemplateEvent{What: shop.TemplateBrushed}); fault.CodeOf(err) != "template-uses" {
		t.Error(err)
	}
	if r := mustBeSound(t, b); r.Templates != 0 {
		t.Errorf("%+v", r)
	}
}

// What stands of templates cannot be changed or taken away by any statement.
func TestTemplatesAreOnlyAddedTo(t *testing.T) {
	b := newBook(t)
	mustEnter(t, b, cutBadge(1))
	mustEnter(t, b, cutBadge(2))
	mustNote(t, b, shop.TemplateCode(cutBadge(1).Print, 0), shop.TemplateEvent{What: shop.TemplateGone})
	for _, recursive := range []string{"ON", "OFF"} {
		if _, err := b.db.Exec("PRAGMA recursive_triggers = " + recursive); err != nil {
			t.Fatal(err)
		}
		for _, s := range []string{
			`UPDATE templates SET design = 'x'`, `UPDATE templates SET note = 'x'`, `DELETE FROM templates`, `REPLACE INTO templates SELECT * FROM templates`,
			`UPDATE template_kinds SET pieces = 1`, `DELETE FROM template_kinds`, `REPLACE INTO template_kinds SELECT * FROM template_kinds`,
			`INSERT INTO template_kinds VALUES (1, 'SS16', 'jet', 1, 1)`,
			`UPDATE template_files SET packed = x''`, `DELETE FROM template_files`, `REPLACE INTO template_files SELECT * FROM template_files`,
			`UPDATE template_events SET times = 9 WHERE what = 'brushed' OR 1`, `DELETE FROM template_events`, `REPLACE INTO template_events SELECT * FROM template_events`,
			`INSERT INTO template_events (template, at, what, times, place, note) VALUES (1, '', 'brushed', 1, '', '')`, // it is gone
			`INSERT INTO template_events (template, at, what, times, place, note) VALUES (2, '', 'cut', 0, 'shelf', '')`,
			`INSERT INTO template_events (template, at, what, times, place, note) VALUES (2, '', 'brushed', 0, '', '')`,
			`INSERT INTO template_events (template, at, what, times, place, note) VALUES (2, '', 'moved', 0, '', '')`,
			`INSERT INTO template_events (template, at, what, times, place, note) VALUES (9, '', 'worn', 0, '', '')`,
		} {
			if _, err := b.db.Exec(s); err == nil {
				t.Errorf("recursive triggers %s: %s was done", recursive, s)
			}
		}
	}
	mustBeSound(t, b)
}

// The check finds what was changed without the guards.
func TestCheckFindsChangedTemplates(t *testing.T) {
	for want, s := range map[string][]string{
		"was cut once":               {`DROP TRIGGER template_events_keep_delete`, `DELETE FROM template_events WHERE what = 'cut'`},
		"where and what":             {`UPDATE template_states SET uses = 1`},
		"found by their words":       {`UPDATE template_words SET design = 'x'`},
		"found by their words: ":     {`DELETE FROM template_words`},
		"the guards":                 {`DROP TRIGGER template_kinds_keep_update`},
		"checks itself":              {`DROP TRIGGER templates_keep_update`, `UPDATE templates SET code = 'AAAA-AAAA' WHERE id = 1`},
		"a kept file is as it":       {`DROP TRIGGER template_files_keep_update`, `UPDATE template_files SET packed = x'1f8b' WHERE name = 'empty'`},
		"the one that was cut":       {`DROP TRIGGER templates_keep_update`, `UPDATE templates SET digest = print`},
		"the file is sound: fts5":    {`DELETE FROM template_words_data WHERE id > 10`},
		"the file is sound: malform": {`UPDATE template_words_content SET c1 = 'Marsh'`}, // words that the index does not have
		"has stones":                 {`DROP TRIGGER template_kinds_keep_delete`, `DELETE FROM template_kinds`},
		"between events":             {`DROP TRIGGER template_events_keep_delete`, `DELETE FROM template_events WHERE id = 2`},
	} {
		b := newBook(t)
		mustEnter(t, b, cutBadge(1))
		mustNote(t, b, "heron", shop.TemplateEvent{What: shop.TemplateBrushed, Times: 3})
		mustNote(t, b, "heron", shop.TemplateEvent{What: shop.TemplateBrushed, Times: 3})
		mustBeSound(t, b)
		for _, q := range s {
			if _, err := b.db.Exec(q); err != nil {
				t.Fatal(q, err)
			}
		}
		r, err := b.Check(t.Context())
		if found := slices.ContainsFunc(r.Problems, func(p string) bool { return strings.Contains(p, want) }); err != nil || !found {
			t.Errorf("%q: %q, %v", s, r.Problems, err)
		}
	}
}

// A customer who is erased leaves the words, the index and the notes of templates.
func TestErasedCustomersLeaveTheTemplates(t *testing.T) {
	b := newBook(t)
	all, err := b.AddCustomers(t.Context(), morning(), []shop.Customer{{Name: "Łukasz Nguyễn"}, {Name: "Siân"}})
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range all {
		n := cutBadge(byte(i + 1))
		n.Customer, n.Note = c.ID, "ask Xanthippe"
		mustNote(t, b, mustEnter(t, b, n).Code, shop.TemplateEvent{What: shop.TemplateWorn, Note: "Xanthippe says"})
	}
	found := func(words string) int {
		got, err := b.FindTemplates(t.Context(), shop.Search{Words: words})
		if err != nil {
			t.Fatal(err)
		}
		return len(got)
	}
	if found("lukasz nguyen") != 1 || found("SIAN") != 1 || found("xanth") != 2 {
		t.Error(found("lukasz nguyen"), found("SIAN"), found("xanth"))
	}
	all[1].Name = "Æthelred"
	if err := b.ChangeCustomer(t.Context(), all[1]); err != nil {
		t.Fatal(err)
	}
	if found("sian") != 0 || found("aethel") != 1 {
		t.Error("a new name is not found")
	}
	mustBeSound(t, b)
	if err := b.EraseCustomer(t.Context(), morning(), all[0].ID); err != nil {
		t.Fatal(err)
	}
	if found("lukasz") != 0 || found("nguyen") != 0 || found("xanth") != 1 || found("heron") != 2 {
		t.Error("the name is still found")
	}
	mustBeSound(t, b)
	var left int
	if err := b.db.QueryRow(`SELECT COUNT(*) FROM template_words_data WHERE instr(block, CAST('lukasz' AS BLOB)) OR instr(block, CAST('nguyen' AS BLOB))`).Scan(&left); err != nil || left > 0 {
		t.Errorf("%d pages of the index have the name, %v", left, err)
	}
}
