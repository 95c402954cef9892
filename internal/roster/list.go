// Package roster reads the lists that a shop gets its orders in: CSV files and
// spreadsheets with a row for each transfer, or for several alike. It knows rows,
// columns and cells; what they are for is the job file's to say.
// docs/formats/roster.md is the page for the people who write lists.
package roster

import (
	"fmt"
	"io"
	"path"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"brushfall/internal/fault"
)

// Bounds of a list, well beyond what a club or a shop orders at once.
const (
	MostRows    = 2000
	mostColumns = 200
	mostBytes   = 16 << 20
	longestCell = 500 // characters
)

// List is a list as it was read. Columns are the names of the header as they were
// written, each once whatever its case; every row has a cell for each. Cells are in
// Unicode's form NFC, without blanks at their ends. Rows without any text are left
// out.
type List struct {
	Name    string
	Columns []string
	Rows    []Row
}

// Row is one row; Number is the one that a spreadsheet shows beside it, the
// header's being 1 where nothing stands above it.
type Row struct {
	Number int
	Cells  []string
}

// Fault is what is wrong with one cell, or with a whole row where Column is empty.
// Row 0 is the list as a whole. Code is stable.
type Fault struct {
	Row     int    `json:"row"`
	Column  string `json:"column,omitempty"`
	Value   string `json:"value,omitempty"`
	Code    string `json:"code"`
	Message string `json:"message"`
}

// String gives "row 7, colour: …".
func (f Fault) String() string {
	switch {
	case f.Row == 0:
		return f.Message
	case f.Column == "":
		return fmt.Sprintf("row %d: %s", f.Row, f.Message)
	}
	return fmt.Sprintf("row %d, %s: %s", f.Row, f.Column, f.Message)
}

// Column gives the index of a column by its name in any case, or −1.
func (l List) Column(name string) int {
	key := Key(name)
	return slices.IndexFunc(l.Columns, func(c string) bool { return Key(c) == key })
}

// Key is what two names of columns share that mean the same: no case, one blank
// between words, form NFC.
func Key(name string) string {
	return norm.NFC.String(strings.ToLower(strings.Join(strings.Fields(norm.NFC.String(name)), " ")))
}

// Read reads a list; the ending of its name says what it is: .csv, .tsv, .txt or
// .xlsx. The faults are what is wrong with single cells and rows, all of them; a
// list with any must not be used but for its other rows. The error is for what is
// no list at all: "list-kind", "list-size", "list-text", "list-csv", "list-xlsx",
// "list-empty", "list-header".
func Read(name string, r io.Reader) (List, []Fault, error) {
	text, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return List{}, nil, fault.New("list-text", name, "the list cannot be read: %v", err)
	}
	if len(text) > mostBytes {
		return List{}, nil, fault.New("list-size", name, "the list is larger than %d MB", mostBytes>>20)
	}
	var rows []Row
	switch ext := strings.ToLower(path.Ext(name)); ext {
	case ".csv", ".tsv", ".txt":
		rows, err = readCSV(name, text)
	case ".xlsx":
		rows, err = readXLSX(name, text)
	default:
		return List{}, nil, fault.New("list-kind", name, "this kind of list cannot be read: save it as CSV (UTF-8) or as an Excel workbook (.xlsx)")
	}
	if err != nil {
		return List{}, nil, err
	}
	return shape(name, rows)
}

// shape makes a list of raw rows, the first of which names the columns.
func shape(name string, rows []Row) (List, []Fault, error) {
	var faults []Fault
	for i := range rows {
		for c, cell := range rows[i].Cells {
			rows[i].Cells[c] = tidy(cell)
		}
	}
	rows = slices.DeleteFunc(rows, func(r Row) bool {
		return !slices.ContainsFunc(r.Cells, func(c string) bool { return c != "" })
	})
	if len(rows) < 2 {
		return List{}, nil, fault.New("list-empty", name, "the list has no rows; its first row names the columns (name, number, …), and each row below is a transfer")
	}
	head := rows[0]
	rows = rows[1:]
	if len(rows) > MostRows {
		return List{}, nil, fault.New("list-size", name, "the list has %d rows; at most %d are made in one run: part it", len(rows), MostRows)
	}
	columns, at, err := header(name, head, rows)
	if err != nil {
		return List{}, nil, err
	}
	out := List{Name: name, Columns: columns}
	for _, r := range rows {
		row := Row{r.Number, make([]string, len(columns))}
		for i, c := range at {
			if c < len(r.Cells) {
				row.Cells[i] = r.Cells[c]
			}
		}
		faults = append(faults, out.check(row)...)
		out.Rows = append(out.Rows, row)
	}
	return out, faults, nil
}

// header gives the columns that have a name, and where each stands. A column
// without name that has cells is a fault: a comma too many moves cells into it.
func header(name string, head Row, rows []Row) (columns []string, at []int, err error) {
	where := fmt.Sprintf("%s row %d", name, head.Number)
	wide := len(head.Cells)
	for _, r := range rows {
		wide = max(wide, len(r.Cells))
	}
	if wide > mostColumns {
		return nil, nil, fault.New("list-size", where, "the list has %d columns; at most %d are read", wide, mostColumns)
	}
	for c := range wide {
		word := ""
		if c < len(head.Cells) {
			word = strings.Join(strings.Fields(head.Cells[c]), " ")
		}
		if word == "" {
			for _, r := range rows {
				if c < len(r.Cells) && r.Cells[c] != "" {
					return nil, nil, fault.New("list-header", fmt.Sprintf("%s row %d", name, r.Number), "%q stands in column %d, which has no name in the first row: name the column, or put a cell that has the separator in it in quotes", r.Cells[c], c+1)
				}
			}
			continue
		}
		if why := unfit(word); why != "" {
			return nil, nil, fault.New("list-header", where, "the name of column %d %s", c+1, why)
		}
		if i := slices.IndexFunc(columns, func(o string) bool { return Key(o) == Key(word) }); i >= 0 {
			return nil, nil, fault.New("list-header", where, "the columns %d and %d are both called %q; give one of them another name", at[i]+1, c+1, word)
		}
		columns, at = append(columns, word), append(at, c)
	}
	return columns, at, nil
}

// check finds the cells of a row that nothing can be made of.
func (l List) check(r Row) []Fault {
	var out []Fault
	for i, cell := range r.Cells {
		if why := unfit(cell); why != "" {
			out = append(out, Fault{r.Number, l.Columns[i], shortened(cell), "cell", "the cell " + why})
		}
	}
	return out
}

// spreadsheetErrors are what a cell shows whose formula fails (ECMA-376, part 1,
// 18.17.3).
func spreadsheetErrors() []string {
	return []string{"#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!", "#GETTING_DATA"}
}

// unfit says what is wrong with a cell, "" if nothing is.
func unfit(cell string) string {
	switch {
	case utf8.RuneCountInString(cell) > longestCell:
		return fmt.Sprintf("is longer than %d characters", longestCell)
	case strings.ContainsRune(cell, utf8.RuneError):
		return "has a character that was lost when the list was saved (\ufffd): type it again, and save the list as UTF-8"
	case strings.ContainsFunc(cell, func(r rune) bool { return unicode.IsControl(r) && r != '\n' }):
		return "has a character that cannot be printed; type it again"
	case slices.Contains(spreadsheetErrors(), cell):
		return fmt.Sprintf("holds an error of the spreadsheet, %s: mend its formula", cell)
	}
	return ""
}

// tidy brings a cell into form NFC, with plain line ends and without blanks around.
func tidy(cell string) string {
	cell = strings.ReplaceAll(cell, "\r\n", "\n")
	return norm.NFC.String(strings.TrimSpace(strings.TrimPrefix(cell, "\ufeff")))
}

// shortened gives a cell as a message can hold it.
func shortened(cell string) string {
	const most = 40
	runes := []rune(cell)
	if len(runes) <= most {
		return cell
	}
	return string(runes[:most]) + "…"
}
