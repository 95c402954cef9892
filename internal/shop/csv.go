package shop

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"brushfall/internal/fault"
)

// stockColumns are the columns of stock.csv; docs/formats/book.md explains them.
func stockColumns() []string {
	return []string{"size", "colour", "pieces", "place", "supplier", "cost", "note"}
}

// mostRows bounds a stock.csv.
const mostRows = 100_000

// ReadStock reads stock.csv: a head with the columns in any order, of which size,
// colour and pieces must be there, and a receipt a row. It reads on after a bad
// row, so that all are told at once: faults "csv-line" or that of the value, each
// with its line. The error, code "csv-head", is of a file that is no such table;
// errors of r are passed on.
func ReadStock(r io.Reader) (good []Receipt, bad []error, err error) {
	in := csv.NewReader(r)
	in.FieldsPerRecord = -1
	head, err := in.Read()
	if err != nil {
		return nil, nil, headFault(err)
	}
	at, err := columns(head)
	if err != nil {
		return nil, nil, err
	}
	for rows := 0; ; rows++ {
		row, err := in.Read()
		switch {
		case errors.Is(err, io.EOF):
			return good, bad, nil
		case err != nil:
			if p, ok := errors.AsType[*csv.ParseError](err); ok {
				// Where the quotes are wrong nobody knows where the next row begins.
				return good, append(bad, fault.New("csv-line", fmt.Sprintf("line %d", p.Line), "%v; mend it, the rest was not read", p.Err)), nil
			}
			return nil, nil, err
		case rows == mostRows:
			return nil, nil, fault.New("csv-head", "", "the table has more than %d rows; split it", mostRows)
		}
		line, _ := in.FieldPos(0)
		receipt, err := readRow(row, at, len(head))
		if err != nil {
			bad = append(bad, fault.Placed(err, func(string) string { return fmt.Sprintf("line %d", line) }))
			continue
		}
		good = append(good, receipt)
	}
}

func headFault(err error) error {
	if _, ok := errors.AsType[*csv.ParseError](err); ok || errors.Is(err, io.EOF) {
		return fault.New("csv-head", "line 1", "there is no head; the first line names the columns: %s", strings.Join(stockColumns(), ","))
	}
	return err
}

// columns gives where each column stands.
func columns(head []string) (map[string]int, error) {
	at := map[string]int{}
	for i, name := range head {
		if i == 0 {
			name = strings.TrimPrefix(name, "\ufeff") // spreadsheets mark UTF-8 with it
		}
		name = strings.ToLower(strings.TrimSpace(name))
		if _, twice := at[name]; twice || !slices.Contains(stockColumns(), name) {
			return nil, fault.New("csv-head", "line 1", "column %q is not known or there twice; the columns are %s", name, strings.Join(stockColumns(), ","))
		}
		at[name] = i
	}
	for _, name := range stockColumns()[:3] {
		if _, ok := at[name]; !ok {
			return nil, fault.New("csv-head", "line 1", "the column %q is missing; the columns are %s", name, strings.Join(stockColumns(), ","))
		}
	}
	return at, nil
}

func readRow(row []string, at map[string]int, width int) (Receipt, error) {
	if len(row) != width {
		return Receipt{}, fault.New("csv-line", "", "there are %d values under %d columns", len(row), width)
	}
	value := func(name string) string {
		if i, ok := at[name]; ok {
			return strings.TrimSpace(row[i])
		}
		return ""
	}
	kind, err := NewKind(value("size"), value("colour"))
	if err != nil {
		return Receipt{}, err
	}
	pieces, err := strconv.Atoi(value("pieces"))
	if err != nil {
		return Receipt{}, fault.New("csv-line", "", "%q is no number of pieces; write digits alone, such as 1440", value("pieces"))
	}
	r := Receipt{Kind: kind, Labelled: pieces, Pieces: pieces, Place: value("place"), Supplier: value("supplier"), Note: value("note")}
	if text := value("cost"); text != "" {
		cost, err := ParseMoney(text)
		if err != nil {
			return r, err
		}
		r.Cost = &cost
	}
	return r.Check()
}

// WriteStock writes what is on hand as stock.csv, a row for each lot at each
// place, as RFC 4180 has it (CRLF line ends). Read again into an empty book it
// gives the same pieces and the same value, to a ten-thousandth for each row.
// Fault "csv-write" where w does not take the bytes.
func WriteStock(w io.Writer, stock []Holding) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	rows := [][]string{stockColumns()}
	for _, h := range stock {
		for _, l := range h.Lots {
			for _, p := range l.Places {
				if p.Pieces == 0 {
					continue
				}
				cost := ""
				if l.Cost != nil {
					cost = l.share(p.Pieces).String()
				}
				rows = append(rows, []string{h.Kind.Size, h.Kind.Colour, strconv.Itoa(p.Pieces), p.Place, l.Supplier, cost, ""})
			}
		}
	}
	if err := out.WriteAll(rows); err != nil {
		return fault.Wrap("csv-write", err)
	}
	return nil
}
