package dxfin

import (
	"fmt"
	"strconv"
	"strings"

	"brushfall/internal/fault"
)

// tag is one group of the file: its code, its value, and the line of the code.
type tag struct {
	code  int
	value string
	line  int
}

// record is all groups from one group 0 to the next; kind is the value of that
// group 0.
type record struct {
	kind string
	line int
	tags []tag
}

// records reads the file record by record.
type records struct {
	rest string
	line int // of the first line of rest
	next tag // the group 0 that ends the record before
	done bool
}

func newRecords(text string) (*records, error) {
	r := &records{rest: strings.TrimPrefix(text, "\ufeff"), line: 1}
	for {
		t, ok, err := r.tag()
		if err != nil || !ok || t.code != 0 && t.code != 999 {
			return nil, fault.New("dxf-not-dxf", "line 1", "this is not an ASCII DXF: it does not begin with a section; save it as ASCII DXF in the drawing program")
		}
		if t.code == 0 {
			r.next = t
			return r, nil
		}
	}
}

// read gives the next record; ok is false after the last one.
func (r *records) read() (rec record, ok bool, err error) {
	if r.done {
		return record{}, false, nil
	}
	rec = record{kind: strings.ToUpper(strings.TrimSpace(r.next.value)), line: r.next.line}
	for {
		t, ok, err := r.tag()
		if err != nil {
			return record{}, false, err
		}
		if !ok {
			r.done = true
			return rec, true, nil
		}
		if t.code == 0 {
			r.next = t
			return rec, true, nil
		}
		if t.code < 999 { // comments and the data of other programs
			rec.tags = append(rec.tags, t)
		}
	}
}

// tag gives the next group; ok is false at the end of the file.
func (r *records) tag() (t tag, ok bool, err error) {
	t.line = r.line
	code, ok := r.cut()
	if !ok {
		return tag{}, false, nil
	}
	trimmed := strings.TrimSpace(code)
	if trimmed == "" && strings.TrimSpace(r.rest) == "" {
		return tag{}, false, nil // blank lines at the end
	}
	t.code, err = strconv.Atoi(trimmed)
	if err != nil {
		return tag{}, false, fault.New("dxf-syntax", fmt.Sprintf("line %d", t.line), "a group code is a whole number, not %q: the file is damaged, export it again", shorten(trimmed))
	}
	if t.value, ok = r.cut(); !ok {
		return tag{}, false, fault.New("dxf-truncated", fmt.Sprintf("line %d", t.line), "the file ends in the middle of a group: export it again")
	}
	return t, true, nil
}

// cut gives the next line without its end.
func (r *records) cut() (string, bool) {
	if r.rest == "" {
		return "", false
	}
	line, rest, _ := strings.Cut(r.rest, "\n")
	r.rest = rest
	r.line++
	return strings.TrimSuffix(line, "\r"), true
}

// shorten keeps a message readable, whatever the file holds.
func shorten(s string) string {
	const longest = 40
	if runes := []rune(s); len(runes) > longest {
		return string(runes[:longest]) + "…"
	}
	return s
}
