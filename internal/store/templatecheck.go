package store

import (
	"context"
	"fmt"

	"brushfall/internal/shop"
)

// schemaOfTemplates is the migration that made their tables.
const schemaOfTemplates = 5

// templateLaws tell of templates whose history, state or words are not what they
// must be.
func templateLaws() []law {
	return []law{
		{schemaOfTemplates, "every template was cut once, and first", `SELECT 'template ' || t.id FROM templates t
			WHERE (SELECT COUNT(*) FROM template_events WHERE template = t.id AND what = 'cut') <> 1
			OR (SELECT what FROM template_events WHERE template = t.id ORDER BY id LIMIT 1) <> 'cut'`},
		{schemaOfTemplates, "every template has stones", `SELECT 'template ' || t.id FROM templates t WHERE NOT EXISTS (SELECT 1 FROM template_kinds WHERE template = t.id)`},
		{schemaOfTemplates, "a template is where and what its history says", `SELECT 'template ' || t.id FROM templates t LEFT JOIN template_states s ON s.template = t.id
			WHERE s.template IS NULL
			OR s.made <> (SELECT at FROM template_events WHERE template = t.id AND what = 'cut')
			OR s.uses <> (SELECT SUM(times) FROM template_events WHERE template = t.id)
			OR s.last <> COALESCE((SELECT at FROM template_events WHERE template = t.id AND what = 'brushed' ORDER BY id DESC LIMIT 1), '')
			OR s.place <> (SELECT place FROM template_events WHERE template = t.id AND place <> '' ORDER BY id DESC LIMIT 1)
			OR s.condition <> COALESCE((SELECT what FROM template_events WHERE template = t.id AND what IN ('worn', 'good', 'gone') ORDER BY id DESC LIMIT 1), 'good')`},
		{schemaOfTemplates, "nothing is missing between events of templates", `SELECT 'of ' || MAX(id) || ' events ' || COUNT(*) || ' are there' FROM template_events HAVING COALESCE(MAX(id), 0) <> COUNT(*)`},
		{schemaOfTemplates, "templates are found by their words", `SELECT 'template ' || template FROM (
			SELECT * FROM (SELECT * FROM template_texts EXCEPT SELECT rowid, code, design, kinds, customer, place, note FROM template_words)
			UNION ALL SELECT * FROM (SELECT rowid AS template, code, design, kinds, customer, place, note FROM template_words EXCEPT SELECT * FROM template_texts))`},
		{schemaOfTemplates, "a layout is the one that was cut", `SELECT 'template ' || t.id FROM templates t JOIN template_files f ON f.template = t.id AND f.name = 'layout.json' WHERE f.digest <> t.digest`},
		{schemaOfTemplates, "the guards of the templates are there", `SELECT name || ' is missing' FROM (
				SELECT t || '_keep_' || v AS name FROM (SELECT 'templates' AS t UNION SELECT 'template_kinds' UNION SELECT 'template_files' UNION SELECT 'template_events'),
					(SELECT 'insert' AS v UNION SELECT 'update' UNION SELECT 'delete')
				UNION SELECT 'template_events_state' UNION SELECT 'template_states_index' UNION SELECT 'template_states_reindex'
				UNION SELECT 'templates_reindex' UNION SELECT 'customers_reindex')
			WHERE name NOT IN (SELECT name FROM sqlite_schema WHERE type = 'trigger')`},
	}
}

// checkTemplates looks at what no query can: the codes and the kept files. The index
// of words is held to its words by the check of the file: SQLite has FTS5 do its
// integrity-check then, from 3.44 on (sqlite.org/releaselog/3_44_0.html).
func (b *Book) checkTemplates(ctx context.Context, r *Report) error {
	tell := func(law string, told int, format string, args ...any) {
		if told < mostProblems {
			r.Problems = append(r.Problems, law+": "+fmt.Sprintf(format, args...))
		}
	}
	told := 0
	err := b.each(ctx, `SELECT code FROM templates ORDER BY id`, nil, func(scan func(...any) error) error {
		var code string
		if err := scan(&code); err != nil {
			return err
		}
		r.Templates++
		if read, err := shop.ParseTemplateCode(code); err != nil || read != code {
			tell("a template's code checks itself", told, "%q", code)
			told++
		}
		return nil
	})
	if err != nil {
		return err
	}
	told = 0
	return b.each(ctx, `SELECT template, name, bytes, digest, packed FROM template_files`, nil, func(scan func(...any) error) error {
		var id, size int64
		var name, digest string
		var packed []byte
		if err := scan(&id, &name, &size, &digest, &packed); err != nil {
			return err
		}
		if _, err := unpack(packed, size, digest); err != nil {
			tell("a kept file is as it was", told, "template %d, %s: %v", id, name, err)
			told++
		}
		return nil
	})
}
