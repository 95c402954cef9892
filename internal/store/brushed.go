package store

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// schemaOfMaking is the migration that joined jobs and templates.
const schemaOfMaking = 10

// layoutFile is the kept file that a template is known by.
const layoutFile = "layout.json"

// insertPlates keeps what a set of templates of a design is, where that is not known.
func insertPlates(ctx context.Context, tx *sql.Tx, design int64, t *shop.NewTemplate) error {
	if t == nil {
		return nil
	}
	layout := t.Files[0]
	packed, err := pack(layout.Data)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO design_plates (design, mark, print, frame_width, frame_height, picture, bytes, packed)
		SELECT ?, ?, ?, ?, ?, ?, ?, ? WHERE NOT EXISTS (SELECT 1 FROM design_plates WHERE design = ?)`,
		design, t.Mark, hex.EncodeToString(t.Print[:]), t.FrameWidth, t.FrameHeight, t.Picture, len(layout.Data), packed, design)
	return err
}

// plates gives the set of templates of a design; false where it is not known.
func plates(ctx context.Context, tx *sql.Tx, d shop.Design) (shop.NewTemplate, bool, error) {
	t := shop.NewTemplate{Digest: d.Digest, Design: d.Name, Width: d.Width, Height: d.Height, Plates: d.Plates, Kinds: d.Stones, Place: shop.NotPutAway}
	var print string
	var size int64
	var packed []byte
	err := tx.QueryRowContext(ctx, `SELECT mark, print, frame_width, frame_height, picture, bytes, packed FROM design_plates WHERE design = ?`, d.ID).
		Scan(&t.Mark, &print, &t.FrameWidth, &t.FrameHeight, &t.Picture, &size, &packed)
	if errors.Is(err, sql.ErrNoRows) {
		return t, false, nil
	}
	if err != nil {
		return t, false, err
	}
	layout, err := unpack(packed, size, d.Digest)
	if err != nil {
		return t, false, err
	}
	sum, err := hex.DecodeString(print)
	if err != nil || len(sum) != sha256.Size {
		return t, false, errors.Join(errors.New("a sum of templates cannot be read"), err)
	}
	copy(t.Print[:], sum)
	t.Files = []shop.TemplateFile{{Name: layoutFile, Data: layout}}
	t, err = t.Check()
	return t, true, err
}

// brushed notes transfers of a line that were made anew with its template, entered where
// there is none, and gives the event; 0 where the book knows of none.
func (b *Book) brushed(ctx context.Context, tx *sql.Tx, at time.Time, j shop.Job, l shop.Line, d shop.Design, fresh int, note string) (int64, error) {
	if fresh == 0 {
		return 0, nil
	}
	id, err := keptFor(ctx, tx, j.ID, l, d)
	if err != nil {
		return 0, err
	}
	if id == 0 {
		n, known, err := plates(ctx, tx, d)
		if err != nil || !known {
			if err != nil && fault.CodeOf(err) == "" {
				err = damaged(b.path, err)
			}
			return 0, err
		}
		if j.Customer != 0 && standing(ctx, tx, j.Customer) == nil {
			n.Customer = j.Customer
		}
		if id, err = insertTemplate(ctx, tx, n); err != nil {
			return 0, err
		}
		if err := insertTemplateEvent(ctx, tx, id, shop.TemplateEvent{At: moment(at), What: shop.TemplateCut, Place: n.Place, Note: note}); err != nil {
			return 0, err
		}
	}
	if err := insertTemplateEvent(ctx, tx, id, shop.TemplateEvent{At: moment(at), What: shop.TemplateBrushed, Times: fresh, Note: note}); err != nil {
		return 0, err
	}
	var event int64
	err = tx.QueryRowContext(ctx, `SELECT MAX(id) FROM template_events WHERE template = ?`, id).Scan(&event)
	return event, err
}

// keptFor gives the template that transfers of a line are brushed with, 0 for none: the
// one that the line was begun with, or the newest of its layout that is kept. A line
// that wants its own takes one that was entered since the job was asked for and that
// no other line had.
func keptFor(ctx context.Context, tx *sql.Tx, job int64, l shop.Line, d shop.Design) (int64, error) {
	const had = `SELECT 1 FROM template_events e JOIN step_templates st ON st.event = e.id JOIN job_steps p ON p.id = st.step WHERE e.template = t.id`
	query, args := `SELECT t.id FROM templates t JOIN template_states s ON s.template = t.id WHERE t.digest = ? AND s.condition <> 'gone'`, []any{d.Digest}
	if l.Template == shop.Anew && l.Anew() == 0 {
		query += ` AND s.made >= (SELECT at FROM job_steps WHERE job = ? ORDER BY id LIMIT 1) AND NOT EXISTS (` + had + `)`
		args = append(args, job)
	}
	query += ` ORDER BY EXISTS (` + had + ` AND p.job = ? AND p.line = ?) DESC, s.made DESC, t.id DESC LIMIT 1`
	var id int64
	err := tx.QueryRowContext(ctx, query, append(args, job, l.Number)...).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, nil
	}
	return id, err
}

// pack gives a file's bytes packed. They follow from the file alone.
func pack(data []byte) ([]byte, error) {
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	_, err = w.Write(data)
	err = errors.Join(err, w.Close())
	return packed.Bytes(), err
}
