package roster

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"brushfall/internal/outside"
)

// writeLists writes the rows of crew.json in many ways with Python's own csv module
// and with openpyxl, which knows nothing of ours: dialects, encodings, numbers as
// numbers, a formatted number, a formula's columns apart, empty rows.
const writeLists = `
import csv, json, openpyxl
rows = json.load(open("crew.json"))
for name, encoding, dialect in [
    ("excel.csv", "utf-8", dict()),
    ("signed.csv", "utf-8-sig", dict(delimiter=";")),
    ("tabs.txt", "utf-16", dict(dialect="excel-tab")),
    ("unix.csv", "utf-8", dict(dialect="unix")),
    ("quoted.csv", "utf-8", dict(quoting=csv.QUOTE_ALL, lineterminator="\n")),
]:
    with open(name, "w", newline="", encoding=encoding) as f:
        csv.writer(f, **dialect).writerows(rows)
book = openpyxl.Workbook()
sheet = book.active
for row in rows:
    sheet.append([cell or None for cell in row])
book.create_sheet("other").append(["not", "this"])
book.save("text.xlsx")
book = openpyxl.Workbook()
sheet = book.active
sheet.append(["name", "n", "share", "padded", "yes"])
sheet.append(["Eel", 7, 9.5, 7, True])
sheet.append([])
sheet.append(["Pike", 12, 0.25, 12, False])
for r in (2, 4):
    sheet.cell(r, 4).number_format = "000"
sheet.column_dimensions["A"].hidden = True
book.save("numbers.xlsx")
`

func TestListsWrittenByPython(t *testing.T) {
	dir := t.TempDir()
	rows := without(crew())
	text, err := json.Marshal(rows)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "crew.json"), text, 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(outside.Python(t), "-c", writeLists)
	cmd.Dir = dir
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("python: %v\n%s", err, out)
	}
	load := func(name string) List {
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		return read(t, name, text)
	}
	for _, name := range []string{"excel.csv", "signed.csv", "tabs.txt", "unix.csv", "quoted.csv", "text.xlsx"} {
		same(t, name, load(name), rows)
	}
	l := load("numbers.xlsx")
	want := []Row{{2, strings.Fields("Eel 7 9.5 007 TRUE")}, {4, strings.Fields("Pike 12 0.25 012 FALSE")}}
	if !reflect.DeepEqual(l.Rows, want) {
		t.Errorf("numbers.xlsx: %v, want %v", l.Rows, want)
	}
}
