package shop

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"brushfall/internal/fault"
)

// mostRows bounds a table.
const mostRows = 100_000

// readTable reads a table, comma-separated values with a head: the known columns in
// any order, of which the first `must` must be there. It hands each row on with its
// line, and reads on after a bad one, so that all are told at once, each with its
// line: what row gives, or "csv-line". The error, code "csv-head", is of a file that
// is no such table; errors of r are passed on.
func readTable(r io.Reader, known []string, must int, row func(line int, value func(column string) string) error) (bad []error, err error) {
	in := csv.NewReader(r)
	in.FieldsPerRecord = -1
	head, err := in.Read()
	if err != nil {
		return nil, headFault(err, known)
	}
	at, err := columns(head, known, must)
	if err != nil {
		return nil, err
	}
	for rows := 0; ; rows++ {
		values, err := in.Read()
		switch {
		case errors.Is(err, io.EOF):
			return bad, nil
		case err != nil:
			if p, ok := errors.AsType[*csv.ParseError](err); ok {
				// Where the quotes are wrong nobody knows where the next row begins.
				return append(bad, fault.New("csv-line", fmt.Sprintf("line %d", p.Line), "%v; mend it, the rest was not read", p.Err)), nil
			}
			return nil, err
		case rows == mostRows:
			return nil, fault.New("csv-head", "", "the table has more than %d rows; split it", mostRows)
		}
		line, _ := in.FieldPos(0)
		err = fault.New("csv-line", "", "there are %d values under %d columns", len(values), len(head))
		if len(values) == len(head) {
			err = row(line, func(name string) string {
				if i, ok := at[name]; ok {
					return strings.TrimSpace(values[i])
				}
				return ""
			})
		}
		if err != nil {
			bad = append(bad, fault.Placed(err, func(string) string { return fmt.Sprintf("line %d", line) }))
		}
	}
}

func headFault(err error, known []string) error {
	if _, ok := errors.AsType[*csv.ParseError](err); ok || errors.Is(err, io.EOF) {
		return fault.New("csv-head", "line 1", "there is no head; the first line names the columns: %s", strings.Join(known, ","))
	}
	return err
}

// columns gives where each column stands.
func columns(head, known []string, must int) (map[string]int, error) {
	at := map[string]int{}
	for i, name := range head {
		if i == 0 {
			name = strings.TrimPrefix(name, "\ufeff") // spreadsheets mark UTF-8 with it
		}
		name = strings.ToLower(strings.TrimSpace(name))
		if _, twice := at[name]; twice || !slices.Contains(known, name) {
			return nil, fault.New("csv-head", "line 1", "column %q is not known or there twice; the columns are %s", name, strings.Join(known, ","))
		}
		at[name] = i
	}
	for _, name := range known[:must] {
		if _, ok := at[name]; !ok {
			return nil, fault.New("csv-head", "line 1", "the column %q is missing; the columns are %s", name, strings.Join(known, ","))
		}
	}
	return at, nil
}

// writeTable writes rows as RFC 4180 has them, with CRLF line ends. Fault "csv-write".
func writeTable(w io.Writer, rows [][]string) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if err := out.WriteAll(rows); err != nil {
		return fault.Wrap("csv-write", err)
	}
	return nil
}
