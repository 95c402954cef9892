package store

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// plain is the search without an index: every term begins a word of the template.
func plain(all []shop.TemplateSet, s shop.Search) []string {
	terms := shop.Words(s.Words)
	var out []string
	for _, t := range all {
		text := []string{t.Code, t.Mark, t.Design, t.Customer, t.Place, t.Note}
		for _, k := range t.Kinds {
			text = append(text, k.Kind.String())
		}
		words := shop.Words(strings.Join(text, " "))
		fits := t.Condition != shop.Gone || s.Gone
		for _, term := range terms {
			fits = fits && slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(w, term) })
		}
		for _, c := range s.Colours {
			fits = fits && slices.ContainsFunc(t.Kinds, func(k shop.Stones) bool { return k.Kind.Colour == c })
		}
		for _, size := range s.Sizes {
			fits = fits && slices.ContainsFunc(t.Kinds, func(k shop.Stones) bool { return k.Kind.Size == size })
		}
		fits = fits && (s.Customer == 0 || t.CustomerID == s.Customer) && (s.Place == "" || t.Place == s.Place)
		fits = fits && !t.Made.Before(s.Since) && (s.Until.IsZero() || t.Made.Before(s.Until))
		if fits {
			out = append(out, t.Code)
		}
	}
	slices.Sort(out)
	return out
}

// names are words with every kind of accent, in several scripts, some of them those
// of FTS5's own language.
func names() []string {
	return strings.Fields("Łukasz Siân Nguyễn Müller MÜLLER Strauß STRASSE Ærø Þórr Đorđe İstanbul ılgın Žofie Ångström Übung naïve " +
		"Ελλάδα Москва 漢字 한국어 heron Herons regatta AND OR NOT NEAR 2026 12-oz O'Neill co. \"quoted\" (brackets) a*b e\u0301te x^2 design:heron ² Ⅷ ﬁn")
}

// entered fills a book with templates made by lot.
func entered(t testing.TB, b *Book, rng *rand.Rand, many int) []shop.TemplateSet {
	t.Helper()
	word := func() string { return names()[rng.IntN(len(names()))] }
	var customers []shop.Customer
	for range 5 {
		customers = append(customers, shop.Customer{Name: word() + " " + word()})
	}
	customers, err := b.AddCustomers(t.Context(), morning(), customers)
	if err != nil {
		t.Fatal(err)
	}
	for n := range many {
		s := cutBadge(byte(n))
		s.Design, s.Mark, s.Note, s.Place = word()+" "+word(), word(), word()+", "+word(), []string{"drawer 1", "drawer 2", word()}[rng.IntN(3)]
		s.Kinds[0].Kind.Colour = []string{"jet", "siam", "light sapphire"}[rng.IntN(3)]
		s.Kinds[1].Kind.Size = []string{"SS10", "SS16", "SS20"}[rng.IntN(3)]
		if rng.IntN(2) == 0 {
			s.Customer = customers[rng.IntN(len(customers))].ID
		}
		got, err := b.AddTemplate(t.Context(), morning().AddDate(0, 0, rng.IntN(30)), s)
		if err != nil {
			t.Fatal(err)
		}
		switch rng.IntN(8) {
		case 0:
			mustNote(t, b, got.Code, shop.TemplateEvent{What: shop.TemplateGone})
		case 1:
			mustNote(t, b, got.Code, shop.TemplateEvent{What: shop.TemplateMoved, Place: word()})
		}
	}
	all, err := b.FindTemplates(t.Context(), shop.Search{Gone: true})
	if err != nil || len(all) != many {
		t.Fatal(len(all), err)
	}
	return all
}

func codesOf(found []shop.TemplateSet) []string {
	var out []string
	for _, f := range found {
		out = append(out, f.Code)
	}
	slices.Sort(out)
	return out
}

// The index finds what a plain search finds, whatever is typed.
func TestTheIndexFindsWhatAPlainSearchFinds(t *testing.T) {
	b := newBook(t)
	rng := rand.New(rand.NewPCG(5, 4))
	all := entered(t, b, rng, 120)
	hits, several := 0, 0
	for n := range 1500 {
		var words []string
		for range 1 + rng.IntN(3) {
			w := []rune(names()[rng.IntN(len(names()))])
			words = append(words, string(w[:1+rng.IntN(len(w))]))
		}
		s := shop.Search{Words: strings.Join(words, " "), Gone: rng.IntN(2) == 0}
		switch rng.IntN(6) {
		case 0:
			s.Words = strings.ToUpper(s.Words)
		case 1:
			s.Words = "" // the filters alone
		case 2:
			s.Words = all[rng.IntN(len(all))].Code[:1+rng.IntN(9)]
		}
		if rng.IntN(3) == 0 {
			s.Colours = []string{"siam"}
		}
		if rng.IntN(3) == 0 {
			s.Sizes = []string{"SS16", "SS6"}
		}
		if rng.IntN(4) == 0 {
			s.Customer = int64(1 + rng.IntN(5))
		}
		if rng.IntN(4) == 0 {
			s.Place = "drawer 1"
		}
		if rng.IntN(4) == 0 {
			s.Since = morning().AddDate(0, 0, rng.IntN(20))
			s.Until = s.Since.AddDate(0, 0, rng.IntN(20))
		}
		got, err := b.FindTemplates(t.Context(), s)
		if fault.CodeOf(err) == "search-words" && len(shop.Words(s.Words)) == 0 {
			continue
		}
		want := plain(all, s)
		if err != nil || !slices.Equal(codesOf(got), want) {
			t.Fatalf("search %d, %+v: %v, want %v; %v", n, s, codesOf(got), want, err)
		}
		hits += min(1, len(want))
		several += min(1, len(want)/2)
	}
	t.Logf("%d of 1500 searches found something, %d several", hits, several)
	if hits < 300 || several < 100 {
		t.Error("the searches are too poor to tell")
	}
	mustBeSound(t, b)
}

// Names are found as people type them (worked by hand).
func TestNamesAreFoundAsTyped(t *testing.T) {
	b := newBook(t)
	for n, name := range []string{"Łukasz", "Siân", "Nguyễn", "Strauß", "Þórr", "O'Neill & Co.", "AND NOT herons"} {
		s := cutBadge(byte(n + 1))
		s.Design, s.Mark, s.Note = name, "", ""
		mustEnter(t, b, s)
	}
	for typed, want := range map[string]string{
		"lukasz": "Łukasz", "ŁUK": "Łukasz", "łukasz": "Łukasz", "sian": "Siân", "SIÂN": "Siân", "nguyen": "Nguyễn", "Nguyễn": "Nguyễn",
		"strauss": "Strauß", "strauß": "Strauß", "thor": "Þórr", "neill": "O'Neill & Co.", "o'neill": "O'Neill & Co.", "\"co": "O'Neill & Co.",
		"not": "AND NOT herons", "and* (not": "AND NOT herons", "heron": "AND NOT herons",
	} {
		got, err := b.FindTemplates(t.Context(), shop.Search{Words: typed})
		if err != nil || len(got) != 1 || got[0].Design != want {
			t.Errorf("%q: %+v, %v, want %s", typed, got, err, want)
		}
	}
}

// A word of the name counts more than one of the note, and of equals the newest.
func TestTheBestIsFirst(t *testing.T) {
	b := newBook(t)
	for n, c := range []struct{ design, note string }{{"Crest", "like the heron"}, {"Heron", ""}, {"Crest", ""}, {"Crest of the heron", ""}} {
		s := cutBadge(byte(n + 1))
		s.Design, s.Note, s.Mark = c.design, c.note, ""
		if _, err := b.AddTemplate(t.Context(), morning().Add(time.Duration(n)*time.Hour), s); err != nil {
			t.Fatal(err)
		}
	}
	order := func(s shop.Search) string {
		got, err := b.FindTemplates(t.Context(), s)
		if err != nil {
			t.Fatal(err)
		}
		var ids []string
		for _, g := range got {
			ids = append(ids, fmt.Sprint(g.ID))
		}
		return strings.Join(ids, " ")
	}
	for _, c := range []struct {
		s    shop.Search
		want string
	}{
		{shop.Search{Words: "heron"}, "2 4 1"},
		{shop.Search{}, "4 3 2 1"},
		{shop.Search{Most: 2}, "4 3"},
		{shop.Search{Words: "heron", Most: 1}, "2"},
	} {
		if got := order(c.s); got != c.want {
			t.Errorf("%+v: %s, want %s", c.s, got, c.want)
		}
	}
}

func FuzzFindTemplates(f *testing.F) {
	for _, n := range names() {
		f.Add(n)
	}
	f.Add("\" OR 1 \x00 \xff NEAR(a b) {design} : ^x *")
	b := newBook(f)
	all := entered(f, b, rand.New(rand.NewPCG(1, 1)), 20)
	f.Fuzz(func(t *testing.T, words string) {
		s := shop.Search{Words: words, Gone: true}
		got, err := b.FindTemplates(t.Context(), s)
		if err != nil {
			if fault.CodeOf(err) != "search-words" {
				t.Fatal(err)
			}
			return
		}
		if want := plain(all, s); !slices.Equal(codesOf(got), want) {
			t.Fatalf("%q: %v, want %v", words, codesOf(got), want)
		}
	})
}
