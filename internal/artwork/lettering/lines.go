package lettering

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"golang.org/x/text/unicode/norm"

	"brushfall/internal/geom"
)

// lineFace is a face of single lines. Units are ems, y down from the base line.
type lineFace struct{ letters map[rune]lineLetter }

type lineLetter struct {
	advance float64
	lines   []geom.Line
}

// unitsToEm is what the tables count in.
const unitsToEm = 1000

// readLineFace reads a table: "U+0041 548 x,y x,y | x,y x,y" a row. The tables are
// part of the program and the tests read them whole.
func readLineFace(table string) *lineFace {
	f := &lineFace{letters: map[rune]lineLetter{}}
	for row := range strings.Lines(table) {
		fields := strings.Fields(row)
		if len(fields) < 2 || fields[0] == "#" {
			continue
		}
		code, err := strconv.ParseUint(strings.TrimPrefix(fields[0], "U+"), 16, 32)
		if err != nil {
			panic(fmt.Sprintf("embedded letters: %v", err))
		}
		f.letters[rune(code)] = lineLetter{number(fields[1]) / unitsToEm, readLines(fields[2:])}
	}
	return f
}

func readLines(fields []string) []geom.Line {
	if len(fields) == 0 {
		return nil
	}
	out := []geom.Line{nil}
	for _, p := range fields {
		if p == "|" {
			out = append(out, nil)
			continue
		}
		x, y, _ := strings.Cut(p, ",")
		last := &out[len(out)-1]
		*last = append(*last, geom.Point{X: number(x) / unitsToEm, Y: -number(y) / unitsToEm})
	}
	return out
}

func number(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(fmt.Sprintf("embedded letters: %v", err))
	}
	return v
}

func (f *lineFace) capital() float64 { return -boundsOf(f.letters['H'].lines).MinY }

//go:embed marks.txt
var marksTable string

// marks are the accents that letters of lines are made with, as letters of their
// own about the middle x = 0, those above standing on the base line and those
// below hanging from it; and, under the code point of a whole letter, the stroke
// that makes it of its base.
var marks = sync.OnceValue(func() map[rune]lineLetter { return readLineFace(marksTable).letters })

// barred gives the letters that are another one with a stroke, which Unicode does
// not decompose, and those that stand for another.
func barred() map[rune]rune {
	return map[rune]rune{'Ł': 'L', 'ł': 'l', 'Đ': 'D', 'đ': 'd', 'Ħ': 'H', 'ħ': 'h', 'ı': 'i', '’': '\'', '‘': '\'', '‐': '-', '–': '-'}
}

// aboveGap is how far an accent stands clear of its letter, in ems.
const aboveGap = 0.11

// letter gives a letter, made of a base and its accents where the table lacks it.
func (f *lineFace) letter(r rune) (lineLetter, bool) {
	if l, ok := f.letters[r]; ok {
		return l, true
	}
	if base, ok := barred()[r]; ok {
		l, ok := f.letters[base]
		if !ok {
			return l, false
		}
		if r == 'ı' {
			l.lines = withoutDot(l.lines)
		}
		if stroke, ok := marks()[r]; ok {
			l.lines = append(l.lines[:len(l.lines):len(l.lines)], stroke.lines...)
		}
		return l, true
	}
	parts := []rune(norm.NFD.String(string(r)))
	if len(parts) < 2 {
		return lineLetter{}, false
	}
	l, ok := f.letter(parts[0])
	for _, m := range parts[1:] {
		mark, known := marks()[m]
		if !ok || !known {
			return lineLetter{}, false
		}
		l = l.with(m, mark)
	}
	return l, true
}

// above says whether a combining mark stands above its letter (Unicode combining
// classes 230 and 232; 216 is the horn of ơ, at its right shoulder).
func above(mark rune) bool {
	c := norm.NFD.PropertiesString(string(mark)).CCC()
	return c == 230 || c == 232
}

// with puts a mark on a letter: over the middle, under it, or at the shoulder.
func (l lineLetter) with(m rune, mark lineLetter) lineLetter {
	lines := l.lines
	if above(m) {
		lines = withoutDot(lines)
	}
	b := boundsOf(lines)
	at := geom.Point{X: (b.MinX + b.MaxX) / 2}
	switch c := norm.NFD.PropertiesString(string(m)).CCC(); {
	case above(m):
		at.Y = b.MinY - aboveGap
	case c == 216:
		at = geom.Point{X: b.MaxX, Y: b.MinY}
	case c == 202: // attached below: cedilla, ogonek
		at.Y = b.MaxY
	default:
		at.Y = b.MaxY + aboveGap
	}
	out := lineLetter{advance: l.advance, lines: append([]geom.Line(nil), lines...)}
	for _, s := range mark.lines {
		moved := make(geom.Line, len(s))
		for i, p := range s {
			moved[i] = p.Add(at)
		}
		out.lines = append(out.lines, moved)
	}
	return out
}

// withoutDot leaves out the dot of i and j, where an accent takes its place.
func withoutDot(lines []geom.Line) []geom.Line {
	var out []geom.Line
	for _, l := range lines {
		if b := geom.Bounds(l); b.Height() > 0.08 || b.Width() > 0.08 || b.MaxY > -0.4 {
			out = append(out, l)
		}
	}
	return out
}
