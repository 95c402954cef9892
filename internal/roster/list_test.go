package roster

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"golang.org/x/text/encoding/unicode"

	"brushfall/internal/fault"
)

// A crew that does not exist, with letters of several scripts, quotes, separators
// and a cell of two lines.
func crew() [][]string {
	return [][]string{
		{"Name", "number", "Colour", "Quantity"},
		{"Łukasz", "7", "light sapphire", "2"},
		{"Siân, \"the Oar\"", "08", "jet", ""},
		{"O'Neil; Jean-Luc", "9", "", "1"},
		{"Ñandú\tÖmür", "10", "sun", "1"},
		{"Two\nLines", "11", "sun", "1"},
		{"Nguyễn 李 مريم", "12", "crystal ab", "3"},
	}
}

func read(t *testing.T, name string, text []byte) List {
	t.Helper()
	l, faults, err := Read(name, bytes.NewReader(text))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	for _, f := range faults {
		t.Errorf("%s: %s", name, f)
	}
	return l
}

// same compares a list with the rows that it was written from.
func same(t *testing.T, what string, l List, want [][]string) {
	t.Helper()
	if !reflect.DeepEqual(l.Columns, want[0]) {
		t.Errorf("%s: columns %q", what, l.Columns)
	}
	if len(l.Rows) != len(want)-1 {
		t.Fatalf("%s: %d rows of %d", what, len(l.Rows), len(want)-1)
	}
	for i, r := range l.Rows {
		if !reflect.DeepEqual(r.Cells, want[i+1]) || r.Number != i+2 {
			t.Errorf("%s: row %d is %q, want %q", what, r.Number, r.Cells, want[i+1])
		}
	}
}

// without gives rows without the cell that has a tab in it, which is refused.
func without(rows [][]string) [][]string {
	for _, r := range rows {
		r[0] = strings.ReplaceAll(r[0], "\t", " ")
	}
	return rows
}

// Every separator, line end and encoding gives the same list.
func TestEveryFormOfCSV(t *testing.T) {
	rows := without(crew())
	for _, sep := range []rune{',', ';', '\t'} {
		for _, crlf := range []bool{false, true} {
			var b bytes.Buffer
			w := csv.NewWriter(&b)
			w.Comma, w.UseCRLF = sep, crlf
			if err := w.WriteAll(rows); err != nil {
				t.Fatal(err)
			}
			text := b.Bytes()
			what := fmt.Sprintf("separator %q, crlf %v", sep, crlf)
			same(t, what, read(t, "crew.csv", text), rows)
			same(t, what+", marked UTF-8", read(t, "crew.csv", append([]byte("\ufeff"), text...)), rows)
			for _, order := range []unicode.Endianness{unicode.LittleEndian, unicode.BigEndian} {
				wide, err := unicode.UTF16(order, unicode.UseBOM).NewEncoder().Bytes(text)
				if err != nil {
					t.Fatal(err)
				}
				same(t, what+", UTF-16", read(t, "crew.txt", wide), rows)
			}
		}
	}
}

func TestRowsAreNumberedAsASpreadsheetDoes(t *testing.T) {
	l := read(t, "crew.csv", []byte("sep=;\n\nname;n\nEel;1\n\n;\n\"Two\nlines\";2\nPike;3;;\n"))
	var got []string
	for _, r := range l.Rows {
		got = append(got, fmt.Sprint(r.Number, " ", r.Cells))
	}
	if want := "[4 [Eel 1] 7 [Two\nlines 2] 8 [Pike 3]]"; fmt.Sprint(got) != want {
		t.Errorf("%v, want %s", got, want)
	}
	if l.Column(" NAME ") != 0 || l.Column("other") != -1 {
		t.Error("columns are not found by their names in any case")
	}
}

// U+0065 U+0301 and U+00E9 are the same letter: Unicode Standard Annex 15, form C.
func TestListsAreNormalised(t *testing.T) {
	l := read(t, "crew.csv", []byte("Pre\u0301nom\nRene\u0301\n"))
	if l.Column("PRÉNOM") != 0 || l.Rows[0].Cells[0] != "René" {
		t.Errorf("%q", l.Columns)
	}
}

func TestFaultsOfCellsAreAllTold(t *testing.T) {
	text := "name,number\nEel,#REF!\nP\ufffdke,2\n" + strings.Repeat("x", 600) + ",3\nCa\x07rp,4\nRay,5\n"
	l, faults, err := Read("crew.csv", strings.NewReader(text))
	if err != nil || len(l.Rows) != 5 {
		t.Fatal(err, len(l.Rows))
	}
	var got []string
	for _, f := range faults {
		got = append(got, fmt.Sprint(f.Row, f.Column))
	}
	if fmt.Sprint(got) != "[2number 3name 4name 5name]" {
		t.Errorf("%v", faults)
	}
}

func TestWhatIsNoList(t *testing.T) {
	for _, c := range []struct{ name, text, code, says string }{
		{"crew.ods", "", "list-kind", "CSV"},
		{"crew.csv", "", "list-empty", "no rows"},
		{"crew.csv", "name,number\n,\n", "list-empty", "no rows"},
		{"crew.csv", "name\n\xa3\xe9\n", "list-text", "UTF-8"},
		{"crew.csv", "name\nEe\x00l\n", "list-text", "UTF-8"},
		{"crew.csv", "name,Name\nEel,1\n", "list-header", "both called"},
		{"crew.csv", "name\nEel, Pike\n", "list-header", "column 2"},
		{"crew.csv", "name,n\nEel,1\n\"Pike,2\n", "list-csv", "line 3"},
		{"crew.csv", "name,n\nEe\"l,1\n", "list-csv", "line 2"},
		{"crew.csv", "name\n" + strings.Repeat("Eel\n", MostRows+1), "list-size", "part it"},
		{"crew.xlsx", "name\nEel\n", "list-xlsx", "workbook"},
		{"crew.xlsx", "PK\x03\x04rubbish", "list-xlsx", "workbook"},
	} {
		_, _, err := Read(c.name, strings.NewReader(c.text))
		if fault.CodeOf(err) != c.code || !strings.Contains(fmt.Sprint(err), c.says) {
			t.Errorf("%q: %v, want %s with %q", c.text[:min(20, len(c.text))], err, c.code, c.says)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add("crew.csv", []byte("name,number\nEel,7\n"))
	f.Add("crew.csv", []byte("\xff\xfen\x00\n\x00a\x00"))
	f.Add("crew.csv", []byte("sep=;\n\"a\n\";b\r\nc;d"))
	f.Add("crew.tsv", []byte("\"\t\"\"\"\n\t\t\n"))
	f.Add("crew.xlsx", []byte("PK\x05\x06\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00"))
	f.Fuzz(func(t *testing.T, name string, text []byte) {
		l, _, err := Read(name, bytes.NewReader(text))
		if err != nil {
			if fault.CodeOf(err) == "" {
				t.Errorf("no fault of ours: %v", err)
			}
			return
		}
		if len(l.Rows) == 0 || len(l.Columns) == 0 {
			t.Error("an empty list was read")
		}
		for _, r := range l.Rows {
			if len(r.Cells) != len(l.Columns) || r.Number < 2 {
				t.Errorf("row %d has %d cells for %d columns", r.Number, len(r.Cells), len(l.Columns))
			}
		}
	})
}
