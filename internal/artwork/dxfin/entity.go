package dxfin

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"brushfall/internal/fault"
)

// entity is one thing drawn. Handle may be empty (release 12 need not have any).
type entity struct {
	record
	handle   string
	layer    string
	block    string // the block an INSERT lays out
	vertices []entity
}

// common are the groups kept of entities that are not read but named in warnings:
// colour, visibility and paper space.
var common = map[int]bool{60: true, 67: true}

func newEntity(rec record, names decoder) entity {
	e := entity{record: rec, handle: strings.TrimSpace(rec.text(5)), layer: names.text(rec.text(8))}
	if e.layer == "" {
		e.layer = "0"
	}
	if rec.kind == "INSERT" {
		e.block = names.text(rec.text(2))
	}
	if _, read := readers[rec.kind]; !read && rec.kind != "VERTEX" && rec.kind != "INSERT" {
		e.tags = nil
		for _, t := range rec.tags {
			if common[t.code] {
				e.tags = append(e.tags, t)
			}
		}
	}
	return e
}

// where names the entity for a message.
func (e entity) where() string {
	s := fmt.Sprintf("line %d, %s", e.line, shorten(e.kind))
	if e.handle != "" {
		s += " " + shorten(e.handle)
	}
	return s + fmt.Sprintf(" on layer %s", shorten(e.layer))
}

func (e entity) fields() *fields { return &fields{record: e.record, where: e.where()} }

// text gives the value of the first group with the code, "" if there is none.
func (r record) text(code int) string {
	for _, t := range r.tags {
		if t.code == code {
			return t.value
		}
	}
	return ""
}

// has says whether there is a group with the code.
func (r record) has(code int) bool {
	for _, t := range r.tags {
		if t.code == code {
			return true
		}
	}
	return false
}

// fields reads the values of a record and keeps the first fault.
type fields struct {
	record
	where string
	err   error
}

// number gives the first value with the code, or absent.
func (f *fields) number(code int, absent float64) float64 {
	for _, t := range f.tags {
		if t.code == code {
			return f.float(t)
		}
	}
	return absent
}

// need gives the first value with the code, which must be there.
func (f *fields) need(code int) float64 {
	if !f.has(code) && f.err == nil {
		f.err = fault.New("dxf-missing", f.where, "the group %d is missing: the file is damaged, export it again", code)
	}
	return f.number(code, 0)
}

func (f *fields) whole(code, absent int) int {
	return int(math.Max(-1e9, math.Min(1e9, f.number(code, float64(absent)))))
}

// float reads a finite number; any other is a fault with its line.
func (f *fields) float(t tag) float64 {
	v, err := strconv.ParseFloat(strings.TrimSpace(t.value), 64)
	if err == nil && !math.IsNaN(v) && !math.IsInf(v, 0) {
		return v
	}
	if f.err == nil {
		f.err = fault.New("dxf-value", f.where, "the value %q of group %d on line %d is not a number: the file is damaged, export it again", shorten(strings.TrimSpace(t.value)), t.code, t.line+1)
	}
	return 0
}
