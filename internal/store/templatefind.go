package store

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"brushfall/internal/shop"
)

// templateQuery picks templates: words is a query of FTS5 or empty; each where must
// hold, with the args in their order; most 0 is all.
type templateQuery struct {
	words string
	where []string
	args  []any
	most  int
}

// match quotes terms for FTS5: each a string of its own, which may go on, and all
// must be there (sqlite.org/fts5.html, 3.2 and 3.3). Terms hold letters and digits
// alone; the quotes keep AND, OR, NOT and NEAR words.
func match(terms []string) string {
	quoted := make([]string, len(terms))
	for i, t := range terms {
		quoted[i] = `"` + t + `"*`
	}
	return strings.Join(quoted, " ")
}

// FindTemplates implements shop.Templates.
func (b *Book) FindTemplates(ctx context.Context, s shop.Search) ([]shop.TemplateSet, error) {
	terms, err := s.Terms()
	if err != nil {
		return nil, err
	}
	q := templateQuery{words: match(terms), most: s.Most}
	and := func(where string, arg any) {
		q.where = append(q.where, where)
		q.args = append(q.args, arg)
	}
	for _, c := range s.Colours {
		and(`t.id IN (SELECT template FROM template_kinds WHERE colour = ?)`, c)
	}
	for _, size := range s.Sizes {
		and(`t.id IN (SELECT template FROM template_kinds WHERE size = ?)`, size)
	}
	if s.Customer != 0 {
		and(`t.customer = ?`, s.Customer)
	}
	if s.Place != "" {
		and(`s.place = ?`, strings.ToLower(strings.Join(strings.Fields(s.Place), " ")))
	}
	if !s.Since.IsZero() {
		and(`s.made >= ?`, stamp(s.Since))
	}
	if !s.Until.IsZero() {
		and(`s.made < ?`, stamp(s.Until))
	}
	if !s.Gone {
		and(`s.condition <> ?`, string(shop.Gone))
	}
	out, err := b.templates(ctx, b.db, q)
	return out, b.wrap(err)
}

// templates reads the templates that a query picks, with their kinds: the best match
// first, then the newest.
func (b *Book) templates(ctx context.Context, in asker, q templateQuery) ([]shop.TemplateSet, error) {
	from, order, where, args := `templates t JOIN template_states s ON s.template = t.id`, `s.made DESC, t.id DESC`, q.where, q.args
	if q.words != "" {
		from = `template_words w JOIN templates t ON t.id = w.rowid JOIN template_states s ON s.template = t.id`
		order = `w.rank, ` + order
		where, args = append([]string{`template_words MATCH ?`}, where...), append([]any{q.words}, args...)
	}
	query := `SELECT ` + packedRowOf(templateFields) + `, t.width, t.height, t.frame_width, t.frame_height
		FROM ` + from + ` LEFT JOIN customers c ON c.id = t.customer`
	if len(where) > 0 {
		query += ` WHERE ` + strings.Join(where, ` AND `)
	}
	query += ` ORDER BY ` + order
	if q.most > 0 {
		query += ` LIMIT ` + strconv.Itoa(q.most)
	}
	out := []shop.TemplateSet{}
	var row string
	var width, height, frameWidth, frameHeight float64
	err := rowsOf(ctx, in, query, args, func(scan func(...any) error) error {
		if err := scan(&row, &width, &height, &frameWidth, &frameHeight); err != nil {
			return err
		}
		out = append(out, shop.TemplateSet{Width: width, Height: height, FrameWidth: frameWidth, FrameHeight: frameHeight})
		if err := readTemplate(fieldsOf(row), &out[len(out)-1]); err != nil {
			return damaged(b.path, err)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, b.addKinds(ctx, in, out)
}

// templateFields are those that readTemplate reads, in its order.
const templateFields = `t.id, t.code, t.mark, t.digest, t.design, t.plates, t.note, t.lasts,
	COALESCE(t.customer, 0), COALESCE(c.name, ''), c.erased IS NOT NULL, s.made, s.last, s.place, s.condition, s.uses`

func readTemplate(f *fields, t *shop.TemplateSet) error {
	t.ID, t.Code, t.Mark, t.Digest, t.Design, t.Plates, t.Note, t.Lasts = f.int64(), f.text(), f.text(), f.text(), f.text(), f.int(), f.text(), f.int()
	t.CustomerID, t.Customer = f.int64(), f.text()
	if f.bool() {
		t.Customer = shop.ErasedName(t.CustomerID)
	}
	made, last := f.text(), f.text()
	t.Place, t.Condition, t.Uses = f.text(), shop.Condition(f.text()), f.int()
	if err := f.end(); err != nil {
		return err
	}
	var err error
	if t.Made, err = time.Parse(time.RFC3339, made); err == nil && last != "" {
		t.Last, err = time.Parse(time.RFC3339, last)
	}
	return err
}

// fewTemplates is up to how many templates are asked for one by one; beyond, one
// walk through the kinds of all is quicker.
const fewTemplates = 500

// anyOf is a condition that a column is one of so many arguments.
func anyOf(column string, many int) string {
	return column + ` IN (?` + strings.Repeat(`, ?`, many-1) + `)`
}

// addKinds fills in the kinds of templates. A template's kinds never change, so that a
// query of their own is of the same moment.
func (b *Book) addKinds(ctx context.Context, in asker, templates []shop.TemplateSet) error {
	if len(templates) == 0 {
		return nil
	}
	at := make(map[int64]int, len(templates))
	from, args := `template_kinds`, []any(nil)
	if len(templates) <= fewTemplates {
		from += ` WHERE ` + anyOf(`template`, len(templates))
	}
	for i, t := range templates {
		at[t.ID] = i
		if len(templates) <= fewTemplates {
			args = append(args, t.ID)
		}
	}
	err := b.packed(ctx, in, `template, size, colour, pieces, take`, from, args, func(f *fields) {
		id := f.int64()
		k := shop.Stones{Kind: shop.Kind{Size: f.text(), Colour: f.text()}, Pieces: f.int(), Take: f.int()}
		if i, ok := at[id]; ok {
			templates[i].Kinds = append(templates[i].Kinds, k)
			templates[i].Stones += k.Pieces
		}
	})
	for _, t := range templates {
		slices.SortFunc(t.Kinds, shop.LargestFirst)
	}
	return err
}
