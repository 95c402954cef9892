package store

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

var _ shop.Templates = (*Book)(nil)

// AddTemplate implements shop.Templates.
func (b *Book) AddTemplate(ctx context.Context, at time.Time, n shop.NewTemplate) (shop.TemplateSet, error) {
	n, err := n.Check()
	if err != nil {
		return shop.TemplateSet{}, err
	}
	var out shop.TemplateSet
	err = b.within(ctx, func(tx *sql.Tx) error {
		id, err := insertTemplate(ctx, tx, n)
		if err != nil {
			return err
		}
		if err := insertTemplateEvent(ctx, tx, id, shop.TemplateEvent{At: moment(at), What: shop.TemplateCut, Place: n.Place}); err != nil {
			return err
		}
		out, err = b.template(ctx, tx, `t.id = ?`, id)
		return err
	})
	return out, err
}

// insertTemplate writes what is known of a template from its cut on.
func insertTemplate(ctx context.Context, tx *sql.Tx, n shop.NewTemplate) (int64, error) {
	if n.Customer != 0 {
		if err := standing(ctx, tx, n.Customer); err != nil {
			return 0, err
		}
	}
	code, err := freeCode(ctx, tx, n.Print)
	if err != nil {
		return 0, err
	}
	res, err := tx.ExecContext(ctx, `INSERT INTO templates (code, mark, print, digest, design, width, height, frame_width, frame_height, plates, customer, note, lasts)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		code, n.Mark, hex.EncodeToString(n.Print[:]), n.Digest, n.Design, n.Width, n.Height, n.FrameWidth, n.FrameHeight, n.Plates,
		sql.NullInt64{Int64: n.Customer, Valid: n.Customer != 0}, n.Note, n.Lasts)
	if err != nil {
		return 0, err
	}
	id, err := res.LastInsertId()
	if err != nil {
		return 0, err
	}
	for _, k := range n.Kinds {
		if _, err := tx.ExecContext(ctx, `INSERT INTO template_kinds (template, size, colour, pieces, take) VALUES (?, ?, ?, ?, ?)`, id, k.Kind.Size, k.Kind.Colour, k.Pieces, k.Take); err != nil {
			return 0, err
		}
	}
	if n.Picture != nil {
		if _, err := tx.ExecContext(ctx, `INSERT INTO template_pictures (template, picture) VALUES (?, ?)`, id, n.Picture); err != nil {
			return 0, err
		}
	}
	for _, f := range n.Files {
		if err := insertTemplateFile(ctx, tx, id, f); err != nil {
			return 0, err
		}
	}
	return id, nil
}

// freeCode gives the first code of a print that no template has.
func freeCode(ctx context.Context, tx *sql.Tx, print [sha256.Size]byte) (string, error) {
	for try := 0; ; try++ {
		code := shop.TemplateCode(print, try)
		var taken bool
		if err := tx.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM templates WHERE code = ?)`, code).Scan(&taken); err != nil {
			return "", err
		}
		if !taken {
			return code, nil
		}
	}
}

// insertTemplateFile packs a file.
func insertTemplateFile(ctx context.Context, tx *sql.Tx, id int64, f shop.TemplateFile) error {
	packed, err := pack(f.Data)
	if err != nil {
		return err
	}
	sum := sha256.Sum256(f.Data)
	_, err = tx.ExecContext(ctx, `INSERT INTO template_files (template, name, bytes, digest, packed) VALUES (?, ?, ?, ?, ?)`,
		id, f.Name, len(f.Data), hex.EncodeToString(sum[:]), packed)
	return err
}

func insertTemplateEvent(ctx context.Context, tx *sql.Tx, id int64, e shop.TemplateEvent) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO template_events (template, at, what, times, place, note) VALUES (?, ?, ?, ?, ?, ?)`,
		id, stamp(e.At), string(e.What), e.Times, e.Place, e.Note)
	return err
}

// NoteTemplate implements shop.Templates.
func (b *Book) NoteTemplate(ctx context.Context, at time.Time, code string, e shop.TemplateEvent) (shop.TemplateSet, error) {
	e, err := e.Check()
	if err != nil {
		return shop.TemplateSet{}, err
	}
	e.At = moment(at)
	var out shop.TemplateSet
	err = b.within(ctx, func(tx *sql.Tx) error {
		t, err := b.coded(ctx, tx, code)
		if err != nil {
			return err
		}
		if err := e.Apply(t); err != nil {
			return err
		}
		if err := insertTemplateEvent(ctx, tx, t.ID, e); err != nil {
			return err
		}
		out, err = b.template(ctx, tx, `t.id = ?`, t.ID)
		return err
	})
	return out, err
}

// Template implements shop.Templates.
func (b *Book) Template(ctx context.Context, code string) (shop.TemplateSet, error) {
	t, err := b.coded(ctx, b.db, code)
	return t, b.wrap(err)
}

// coded finds the template of a code that someone typed: the book's own code, or
// else what the frames say.
func (b *Book) coded(ctx context.Context, in asker, typed string) (shop.TemplateSet, error) {
	code, codeErr := shop.ParseTemplateCode(typed)
	if codeErr == nil {
		t, err := b.template(ctx, in, `t.code = ?`, code)
		if fault.CodeOf(err) != "template-unknown" {
			return t, err
		}
	}
	mark := shop.TemplateMark(typed)
	all, err := b.templates(ctx, in, templateQuery{where: []string{`t.mark = ?`}, args: []any{mark}})
	switch {
	case err != nil:
		return shop.TemplateSet{}, err
	case len(all) == 1:
		return all[0], nil
	case len(all) > 1:
		var codes []string
		for _, t := range all {
			codes = append(codes, t.Code+" at "+t.Place)
		}
		return shop.TemplateSet{}, fault.New("template-several", mark, "%d templates have this on their frames; name one by the code on its label: %s", len(all), strings.Join(codes, ", "))
	case codeErr != nil:
		return shop.TemplateSet{}, b.meant(ctx, in, codeErr, typed)
	}
	return shop.TemplateSet{}, unknownTemplate(code)
}

// meant adds to the fault of a code that was copied wrongly which it may be.
func (b *Book) meant(ctx context.Context, in asker, wrong error, typed string) error {
	var near []string
	err := rowsOf(ctx, in, `SELECT code, design FROM templates ORDER BY code`, nil, func(scan func(...any) error) error {
		var code, design string
		if err := scan(&code, &design); err != nil {
			return err
		}
		if shop.NearCode(typed, code) {
			near = append(near, fmt.Sprintf("%s (%s)", code, design))
		}
		return nil
	})
	if err != nil || len(near) == 0 {
		return errors.Join(err, wrong)
	}
	meant := strings.Join(near, " or ")
	return fault.New(fault.CodeOf(wrong), "", "%v; did you mean %s?", wrong, meant).OnPage("%q is not copied as it stands on the label; did you mean %s?", typed, meant)
}

func unknownTemplate(code string) error {
	return fault.New("template-unknown", code, "the book has no template of this code; brushfall template find has them all").
		OnPage("the book has no template of this code; Templates has them all")
}

// template gives the one that a condition picks.
func (b *Book) template(ctx context.Context, in asker, where string, arg any) (shop.TemplateSet, error) {
	all, err := b.templates(ctx, in, templateQuery{where: []string{where}, args: []any{arg}})
	if err != nil {
		return shop.TemplateSet{}, err
	}
	if len(all) == 0 {
		return shop.TemplateSet{}, unknownTemplate(fmt.Sprint(arg))
	}
	return all[0], nil
}

// TemplateHistory implements shop.Templates.
func (b *Book) TemplateHistory(ctx context.Context, id int64) ([]shop.TemplateEvent, error) {
	out := []shop.TemplateEvent{}
	err := b.each(ctx, `SELECT at, what, times, place, note FROM template_events WHERE template = ? ORDER BY id`, []any{id}, func(scan func(...any) error) error {
		var e shop.TemplateEvent
		var at string
		if err := scan(&at, &e.What, &e.Times, &e.Place, &e.Note); err != nil {
			return err
		}
		var err error
		if e.At, err = time.Parse(time.RFC3339, at); err != nil {
			return damaged(b.path, err)
		}
		out = append(out, e)
		return nil
	})
	return out, err
}

// TemplatePicture implements shop.Templates.
func (b *Book) TemplatePicture(ctx context.Context, id int64) ([]byte, error) {
	var picture []byte
	err := b.db.QueryRowContext(ctx, `SELECT picture FROM template_pictures WHERE template = ?`, id).Scan(&picture)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	return picture, b.wrap(err)
}

// TemplateFiles implements shop.Templates. Every file is held to its sum.
func (b *Book) TemplateFiles(ctx context.Context, id int64) ([]shop.TemplateFile, error) {
	out := []shop.TemplateFile{}
	err := b.each(ctx, `SELECT name, bytes, digest, packed FROM template_files WHERE template = ? ORDER BY rowid`, []any{id}, func(scan func(...any) error) error {
		var f shop.TemplateFile
		var size int64
		var digest string
		var packed []byte
		if err := scan(&f.Name, &size, &digest, &packed); err != nil {
			return err
		}
		var err error
		if f.Data, err = unpack(packed, size, digest); err != nil {
			return damaged(b.path, fmt.Errorf("%s: %w", f.Name, err))
		}
		out = append(out, f)
		return nil
	})
	return out, err
}

// unpack gives the bytes of a packed file, which must be as many as they were and
// have their sum.
func unpack(packed []byte, size int64, digest string) ([]byte, error) {
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(io.LimitReader(r, size+1))
	if err != nil {
		return nil, err
	}
	if sum := sha256.Sum256(data); int64(len(data)) != size || hex.EncodeToString(sum[:]) != digest {
		return nil, errors.New("its bytes are not those that were kept")
	}
	return data, r.Close()
}
