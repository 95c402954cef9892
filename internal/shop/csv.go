package shop

import (
	"io"
	"strconv"

	"brushfall/internal/fault"
)

// stockColumns are the columns of stock.csv; docs/formats/book.md explains them.
func stockColumns() []string {
	return []string{"size", "colour", "pieces", "place", "supplier", "cost", "note"}
}

// ReadStock reads stock.csv: a head with the columns in any order, of which size,
// colour and pieces must be there, and a receipt a row. find gives a row's kind, as
// NewKind does. It reads on after a bad row, so that all are told at once: faults
// "csv-line" or that of the value, each with its line. The error, code "csv-head", is
// of a file that is no such table; errors of r are passed on.
func ReadStock(r io.Reader, find func(size, colour string) (Kind, error)) (good []Receipt, bad []error, err error) {
	const must = 3 // size, colour, pieces
	bad, err = readTable(r, stockColumns(), must, func(_ int, value func(string) string) error {
		receipt, err := readReceipt(value, find)
		if err == nil {
			good = append(good, receipt)
		}
		return err
	})
	return good, bad, err
}

func readReceipt(value func(string) string, find func(size, colour string) (Kind, error)) (Receipt, error) {
	kind, err := find(value("size"), value("colour"))
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
	return writeTable(w, rows)
}
