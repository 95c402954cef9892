package count

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"

	"brushfall/internal/fault"
)

// mostRead bounds a counts.csv, in rows and in pieces of a row: more kinds than
// there are sizes and colours, more stones than a layout may have.
const (
	mostRead   = 10_000
	mostPieces = 10_000_000
)

// ReadCSV reads what WriteCSV writes. Of a line it gives Size, Colour, Pieces and
// Take; the rest follows from those. The row "total" is left out. Faults, code
// "counts-csv", with the line; errors of r are passed on.
func ReadCSV(r io.Reader) ([]Line, error) {
	in := csv.NewReader(r)
	in.FieldsPerRecord = -1
	var lines []Line
	for n := 0; ; n++ {
		row, err := in.Read()
		if errors.Is(err, io.EOF) && n > 0 {
			return lines, nil
		}
		if p, ok := errors.AsType[*csv.ParseError](err); ok {
			return nil, fault.New("counts-csv", fmt.Sprintf("line %d", p.Line), "this is no counts.csv: %v", p.Err)
		}
		if err != nil && !errors.Is(err, io.EOF) {
			return nil, err
		}
		switch {
		case n == 0 && !slices.Equal(row, header):
			return nil, fault.New("counts-csv", "line 1", "this is no counts.csv: its first line is not that of one; make it anew with brushfall make")
		case n == 0 || (len(row) > 1 && row[0] == "total" && row[1] == ""):
			continue
		case n > mostRead:
			return nil, fault.New("counts-csv", "", "there are more than %d rows", mostRead)
		}
		l, err := readRow(row)
		if err != nil {
			line, _ := in.FieldPos(0)
			return nil, fault.Placed(err, func(string) string { return fmt.Sprintf("line %d", line) })
		}
		lines = append(lines, l)
	}
}

func readRow(row []string) (Line, error) {
	if len(row) != len(header) {
		return Line{}, fault.New("counts-csv", "", "there are %d values; there must be %d", len(row), len(header))
	}
	pieces, err := strconv.Atoi(row[2])
	take, err2 := strconv.Atoi(row[3])
	if err != nil || err2 != nil || pieces < 0 || take < pieces || take > mostPieces {
		return Line{}, fault.New("counts-csv", "", "pieces %q and with spare %q cannot be; make the file anew", row[2], row[3])
	}
	return Line{Size: row[0], Colour: row[1], Pieces: pieces, Take: take}, nil
}
