package store

import (
	"context"
	"fmt"
	"strconv"
	"strings"
)

// Packed answers are read as one text: the driver takes longer for a row of many
// columns than SQLite takes to find it, and lists of thousands are asked for at every
// turn. Fields and rows are parted by the signs that ASCII has for it, US and RS;
// no text of the book holds control signs (the checks of package shop).
const (
	packedRow  = "char(30)"
	fieldMark  = "\x1f"
	recordMark = "\x1e"
)

// packedRowOf is the SQL of a row's fields as one text. NULL is not allowed among
// them: concat_ws leaves it out.
func packedRowOf(columns string) string { return `concat_ws(char(31), ` + columns + `)` }

// fields are those of a packed row, from left to right. What cannot be read leaves
// err, and nothing more is read.
type fields struct {
	rest string
	more bool
	err  error
}

func fieldsOf(row string) *fields { return &fields{rest: row, more: true} }

func (f *fields) text() string {
	if !f.more && f.err == nil {
		f.err = fmt.Errorf("a packed row ends early")
	}
	var out string
	out, f.rest, f.more = strings.Cut(f.rest, fieldMark)
	return out
}

func (f *fields) int64() int64 {
	text := f.text()
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil && f.err == nil {
		f.err = err
	}
	return n
}

func (f *fields) int() int { return int(f.int64()) }

func (f *fields) bool() bool { return f.int64() != 0 }

// end gives what was wrong with the row, one with too many fields too.
func (f *fields) end() error {
	if f.err == nil && f.more {
		return fmt.Errorf("a packed row goes on: %q", f.rest)
	}
	return f.err
}

// packed asks for columns of many rows in one text and hands them on, one by one.
// from is the rest of the query. A sum of nothing, where no row is there, is no row.
func (b *Book) packed(ctx context.Context, in asker, columns, from string, args []any, row func(f *fields)) error {
	var all string
	err := in.QueryRowContext(ctx, `SELECT COALESCE(group_concat(`+packedRowOf(columns)+`, `+packedRow+`), '') FROM `+from, args...).Scan(&all)
	if err != nil || all == "" {
		return err
	}
	for text := range strings.SplitSeq(all, recordMark) {
		f := fieldsOf(text)
		row(f)
		if err := f.end(); err != nil {
			return damaged(b.path, err)
		}
	}
	return nil
}
