// Package singleline writes letters, digits and a few signs as single strokes,
// for a blade: one cut a stroke, no outlines. The letters are a design of their
// own for flock. No letter encloses an area, as that would fall out when the
// sheet is weeded: round ones hang on bridges, like those of a stencil.
package singleline

import (
	_ "embed"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// The measures of the letters, as shares of the height of a capital: the clear
// distance between two letters, the width of a space, and the least bridge that
// keeps the inside of a letter.
const (
	Between = 1.5 / unitsHigh
	Space   = 2.4 / unitsHigh
	Bridge  = 0.75 / unitsHigh
)

// LeastHeight is the height of a capital, in mm, at which a bridge is the usual
// web of 0.5 mm wide: lower letters tear.
const LeastHeight = 4.0

// unitsHigh is the height of a capital in the table.
const unitsHigh = 6.0

// chords is how many chords a quarter of an ellipse becomes: at a height of
// 6 mm they leave it by under 0.01 mm.
const chords = 8

// letter is a row of the table, in units.
type letter struct {
	width   float64
	strokes []geom.Line
}

//go:embed letters.txt
var table string

var letters = sync.OnceValue(func() map[rune]letter {
	out := map[rune]letter{}
	for _, line := range strings.Split(table, "\n") {
		if fields := strings.Fields(line); len(fields) > 2 && fields[0] != "#" {
			out[[]rune(fields[0])[0]] = letter{number(fields[1]), strokes(fields[2:])}
		}
	}
	out[' '] = letter{width: Space * unitsHigh}
	return out
})

// strokes reads the strokes of a row. The table is part of the program and the
// tests read it whole, so a fault in it is a fault of the build.
func strokes(fields []string) []geom.Line {
	out := []geom.Line{nil}
	var corner *geom.Point
	for _, f := range fields {
		if f == "|" {
			out = append(out, nil)
			continue
		}
		x, y, _ := strings.Cut(strings.TrimPrefix(f, "~"), ",")
		p := geom.Point{X: number(x), Y: number(y)}
		line := &out[len(out)-1]
		switch {
		case f[0] == '~':
			corner = &p
		case corner != nil:
			*line = append(*line, quarter((*line)[len(*line)-1], *corner, p)...)
			corner = nil
		default:
			*line = append(*line, p)
		}
	}
	return out
}

// quarter gives the points after a of the quarter of an ellipse from a to b
// that touches the lines from both to the corner: the rational quadratic curve
// of the weight √½ (Farin, Curves and Surfaces for CAGD, ch. 12).
func quarter(a, corner, b geom.Point) geom.Line {
	var out geom.Line
	for i := 1; i < chords; i++ {
		t := float64(i) / chords
		u, v, w := (1-t)*(1-t), 2*t*(1-t)*math.Sqrt2/2, t*t
		out = append(out, a.Mul(u).Add(corner.Mul(v)).Add(b.Mul(w)).Mul(1/(u+v+w)))
	}
	return append(out, b)
}

func number(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(fmt.Sprintf("embedded letters: %v", err))
	}
	return v
}

// Width gives the length in mm of a text whose capitals are height mm high, from
// the left of its first stroke to the right of its last; 0 for an empty text.
// Small letters are written as capitals. Fault "letter-unknown" names the
// characters that there are no strokes for.
func Width(text string, height float64) (float64, error) {
	row, err := read(text)
	if err != nil || len(row) == 0 {
		return 0, err
	}
	width := Between * unitsHigh * float64(len(row)-1)
	for _, l := range row {
		width += l.width
	}
	return width * height / unitsHigh, nil
}

// Strokes gives the strokes of a text, each an open line of two points or more,
// in the order of reading. Capitals are height mm high, their base line begins
// at the point at and runs along angle: radians, clockwise as seen, 0 to the
// right. An empty text has none. Fault as of Width.
func Strokes(text string, height float64, at geom.Point, angle float64) ([]geom.Line, error) {
	row, err := read(text)
	if err != nil {
		return nil, err
	}
	sin, cos := math.Sincos(angle)
	along, down := geom.Point{X: cos, Y: sin}, geom.Point{X: -sin, Y: cos}
	scale := height / unitsHigh
	var out []geom.Line
	x := 0.0
	for _, l := range row {
		for _, s := range l.strokes {
			line := make(geom.Line, len(s))
			for i, p := range s {
				line[i] = at.Add(along.Mul((x + p.X) * scale)).Add(down.Mul((p.Y - unitsHigh) * scale))
			}
			out = append(out, line)
		}
		x += l.width + Between*unitsHigh
	}
	return out, nil
}

// Known says whether there are strokes for a character; the space has none, and is known.
func Known(r rune) bool {
	_, ok := letters()[unicode.ToUpper(r)]
	return ok
}

// read gives the letters of a text.
func read(text string) ([]letter, error) {
	var row []letter
	var unknown []string
	for _, r := range text {
		l, ok := letters()[unicode.ToUpper(r)]
		if !ok {
			unknown = append(unknown, strconv.QuoteRune(r))
			continue
		}
		row = append(row, l)
	}
	if len(unknown) > 0 {
		return nil, fault.New("letter-unknown", "", "there are no single-line letters for %s; use A to Z, 0 to 9, space and - . / + &", strings.Join(unknown, " "))
	}
	return row, nil
}
