package design

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"

	"brushfall/internal/fault"
)

// perMM is how many steps of a written number a millimetre has. A stone that
// fills the last room touches its neighbours exactly, so the steps must be far
// below any tolerance on gaps.
const perMM = 1e6

// limit is the largest number, in mm, that a document may hold: a hundred times
// the longest length that is read anywhere, and far below the place where
// float64 loses the sixth decimal.
const limit = 1e6

// printer writes JSON by hand: a general encoder neither rounds nor keeps one
// stone to a line. It remembers the first fault of its own; bufio.Writer
// remembers the first error of the writer below.
type printer struct {
	w       *bufio.Writer
	first   bool // nothing stands in the open object yet
	scratch []byte
	err     error
}

func newPrinter(w io.Writer) *printer { return &printer{w: bufio.NewWriterSize(w, 1<<16)} }

func (p *printer) end() error {
	if p.err != nil {
		return p.err
	}
	p.w.WriteByte('\n')
	return p.w.Flush()
}

func (p *printer) open() {
	p.w.WriteByte('{')
	p.first = true
}

func (p *printer) shut() {
	p.w.WriteByte('}')
	p.first = false
}

func (p *printer) key(name string) {
	if !p.first {
		p.w.WriteByte(',')
	}
	p.first = false
	p.w.WriteByte('"')
	p.w.WriteString(name)
	p.w.WriteString(`":`)
}

func (p *printer) number(name string, v float64) {
	p.key(name)
	p.value(v)
}

func (p *printer) count(name string, v int) {
	p.key(name)
	p.scratch = strconv.AppendInt(p.scratch[:0], int64(v), 10)
	p.w.Write(p.scratch)
}

func (p *printer) flag(name string, v bool) {
	p.key(name)
	p.scratch = strconv.AppendBool(p.scratch[:0], v)
	p.w.Write(p.scratch)
}

func (p *printer) text(name, v string) {
	p.key(name)
	p.word(v)
}

// value writes a number rounded to a step, without trailing noughts.
func (p *printer) value(v float64) {
	if math.IsNaN(v) || math.Abs(v) > limit {
		if p.err == nil {
			p.err = fault.Wrap("layout-number", fmt.Errorf("the layout holds the number %v", v))
		}
		return
	}
	r := math.Round(v*perMM) / perMM
	if r == 0 {
		r = 0 // a negative nought loses its sign
	}
	p.scratch = strconv.AppendFloat(p.scratch[:0], r, 'f', -1, 64)
	p.w.Write(p.scratch)
}

func (p *printer) numbers(values []float64) {
	p.w.WriteByte('[')
	for i, v := range values {
		if i > 0 {
			p.w.WriteByte(',')
		}
		p.value(v)
	}
	p.w.WriteByte(']')
}

// word writes a string. Only what RFC 8259 §7 asks for is escaped; bytes that
// are not UTF-8 become the replacement character, as in encoding/json.
func (p *printer) word(s string) {
	p.w.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			p.w.WriteByte('\\')
			p.w.WriteRune(r)
		case r < 0x20:
			fmt.Fprintf(p.w, `\u%04x`, r)
		default:
			p.w.WriteRune(r)
		}
	}
	p.w.WriteByte('"')
}

// list writes a list under a key: on the line at depth 0, else one element a
// line, indented by the depth.
func list[T any](p *printer, name string, depth int, values []T, one func(T)) {
	p.key(name)
	p.w.WriteByte('[')
	for i, v := range values {
		if i > 0 {
			p.w.WriteByte(',')
		}
		if depth > 0 {
			p.newLine(depth)
		}
		one(v)
	}
	if len(values) > 0 && depth > 0 {
		p.newLine(depth - 1)
	}
	p.w.WriteByte(']')
	p.first = false
}

// newLine starts a line with a space for each depth.
func (p *printer) newLine(depth int) {
	p.w.WriteByte('\n')
	for range depth {
		p.w.WriteByte(' ')
	}
}
