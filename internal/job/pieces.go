package job

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/fault"
	"brushfall/internal/sheet"
	"brushfall/internal/unit"
)

// mostPieces bounds the odd pieces of one run.
const mostPieces = 500

// ParseArea reads two lengths such as "8x11in", "8 in × 11 in" or "203x279mm"; the
// first may leave its unit to the second. Faults are those of a length, and "area".
func ParseArea(text string) (width, height unit.Length, err error) {
	a, b, ok := strings.Cut(strings.NewReplacer("×", "x", "X", "x").Replace(text), "x")
	if !ok {
		return 0, 0, fault.New("area", "", "%q is no width and height; write it as 8x11in or 203x279mm", text)
	}
	if strings.TrimFunc(a, func(r rune) bool { return unicode.IsDigit(r) || unicode.IsSpace(r) || strings.ContainsRune("./", r) }) == "" {
		number := strings.TrimLeftFunc(b, func(r rune) bool { return unicode.IsDigit(r) || unicode.IsSpace(r) || strings.ContainsRune("./", r) })
		a += number
	}
	if width, err = unit.ParseLength(strings.TrimSpace(a)); err != nil {
		return 0, 0, err
	}
	height, err = unit.ParseLength(strings.TrimSpace(b))
	return width, height, err
}

// ParsePiece reads an odd piece and how many there are: "8x11in:2". Without a
// number there is one. Faults are those of ParseArea, and "pieces".
func ParsePiece(text string) ([]sheet.Piece, error) {
	area, number, found := cutLast(text, ":")
	n := 1
	if found {
		var err error
		if n, err = parseNumber(number); err != nil {
			return nil, err
		}
	}
	w, h, err := ParseArea(area)
	if err != nil {
		return nil, err
	}
	return several(w, h, n)
}

func parseNumber(text string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil {
		return 0, fault.New("pieces", "", "%q is no number of pieces; write 2, or 8x11in:2 on the command line", text)
	}
	return n, nil
}

// cutLast cuts around the last separator.
func cutLast(text, sep string) (before, after string, found bool) {
	i := strings.LastIndex(text, sep)
	if i < 0 {
		return text, "", false
	}
	return text[:i], text[i+len(sep):], true
}

func several(w, h unit.Length, n int) ([]sheet.Piece, error) {
	if n < 1 || n > mostPieces {
		return nil, fault.New("pieces", "", "there cannot be %d odd pieces of one size; give 1 to %d", n, mostPieces)
	}
	return slices.Repeat([]sheet.Piece{{Width: w.MM(), Height: h.MM()}}, n), nil
}

// ParsePieces reads a list of odd pieces: a table with the columns "width mm",
// "height mm" and, if wanted, "number", as offcuts.csv has them; or YAML with the
// key pieces. name tells which it is. Faults: "pieces" and those of the values.
func ParsePieces(name string, text []byte) ([]sheet.Piece, error) {
	var out []sheet.Piece
	var err error
	if strings.EqualFold(path.Ext(name), ".csv") {
		out, err = piecesOfTable(name, text)
	} else {
		out, err = piecesOfYAML(name, text)
	}
	if err == nil && len(out) > mostPieces {
		err = fault.New("pieces", name, "there are %d odd pieces; at most %d are taken in one run", len(out), mostPieces)
	}
	return out, err
}

func piecesOfTable(name string, text []byte) ([]sheet.Piece, error) {
	if len(text) > maxBytes {
		return nil, fault.New("pieces", name, "the list has %d bytes; at most %d are read", len(text), maxBytes)
	}
	rows, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff")))).ReadAll()
	if err != nil || len(rows) == 0 {
		return nil, fault.New("pieces", name, "this is not a table of odd pieces; its first line is %s,%s,%s", pieceWidth, pieceHeight, pieceNumber)
	}
	w, h, n := slices.Index(rows[0], pieceWidth), slices.Index(rows[0], pieceHeight), slices.Index(rows[0], pieceNumber)
	if w < 0 || h < 0 {
		return nil, fault.New("pieces", name+":1", "the table needs the columns %q and %q", pieceWidth, pieceHeight)
	}
	var out []sheet.Piece
	for i, row := range rows[1:] {
		number := 1
		where := fmt.Sprintf("%s:%d", name, i+2)
		if n >= 0 {
			if number, err = parseNumber(row[n]); err != nil {
				return nil, fault.Placed(err, func(string) string { return where })
			}
		}
		width, err := unit.ParseLength(row[w] + " mm")
		if err != nil {
			return nil, fault.Placed(err, func(string) string { return where })
		}
		height, err := unit.ParseLength(row[h] + " mm")
		if err != nil {
			return nil, fault.Placed(err, func(string) string { return where })
		}
		more, err := several(width, height, number)
		if err != nil {
			return nil, fault.Placed(err, func(string) string { return where })
		}
		out = append(out, more...)
	}
	return out, nil
}

// piece is an odd piece being read.
type piece struct {
	width, height unit.Length
	number        int
}

func piecesOfYAML(name string, text []byte) ([]sheet.Piece, error) {
	s := source{name: name}
	root, err := s.root(text)
	if err != nil {
		return nil, err
	}
	var out []sheet.Piece
	err = fill(s, root, "a list of odd pieces", &out, []field[[]sheet.Piece]{{"pieces", readPieces}})
	return out, err
}

func readPieces(s source, n ast.Node, into *[]sheet.Piece) error {
	for _, node := range items(n) {
		p := piece{number: 1}
		if text, err := s.text(node, "a piece"); err == nil {
			more, err := ParsePiece(text)
			if err != nil {
				return s.within(node, err)
			}
			*into = append(*into, more...)
			continue
		}
		err := fill(s, node, "a piece", &p, []field[piece]{
			set("width", unit.ParseLength, func(p *piece) *unit.Length { return &p.width }),
			set("height", unit.ParseLength, func(p *piece) *unit.Length { return &p.height }),
			set("number", parseNumber, func(p *piece) *int { return &p.number }),
		})
		if err != nil {
			return err
		}
		if p.width == 0 || p.height == 0 {
			return s.fail(node, "pieces", "a piece needs width and height: {width: 8 in, height: 11 in, number: 2}")
		}
		more, err := several(p.width, p.height, p.number)
		if err != nil {
			return s.within(node, err)
		}
		*into = append(*into, more...)
	}
	return nil
}
