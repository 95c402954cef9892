package count

import (
	"encoding/csv"
	"io"
	"strconv"

	"brushfall/internal/fault"
)

// header names the columns of counts.csv.
var header = []string{"size", "colour", "pieces", "with spare", "gross of 144", "packs of 1440", "grams"}

// WriteCSV writes counts.csv: a header, a row for each line and a row "total",
// as RFC 4180 has it (CRLF line ends), grams to a hundredth. A fault, code
// "counts-write", says that w did not take the bytes.
func WriteCSV(w io.Writer, lines []Line) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	rows := [][]string{header}
	for _, l := range lines {
		rows = append(rows, row(l))
	}
	total := Total(lines)
	total.Size = "total"
	rows = append(rows, row(total))
	if err := out.WriteAll(rows); err != nil {
		return fault.Wrap("counts-write", err)
	}
	return nil
}

func row(l Line) []string {
	return []string{
		l.Size, l.Colour, strconv.Itoa(l.Pieces), strconv.Itoa(l.Take),
		strconv.Itoa(l.Gross), strconv.Itoa(l.Packs), strconv.FormatFloat(l.Grams, 'f', 2, 64),
	}
}
