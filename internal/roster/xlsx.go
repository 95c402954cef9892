package roster

import (
	"bytes"
	"fmt"
	"slices"

	"github.com/xuri/excelize/v2"

	"brushfall/internal/fault"
)

// mostUnzipped bounds what a workbook may hold when it is unpacked. Both bounds of
// the library are the same, as it would put larger sheets into files of its own.
const mostUnzipped = 64 << 20

// readXLSX reads the first sheet of an Excel workbook, cell by cell as the
// spreadsheet shows them: "07" for a 7 that is formatted so, the result of a formula.
func readXLSX(name string, text []byte) (rows []Row, err error) {
	defer func() {
		if p := recover(); p != nil { // what a person was sent must never stop the program
			rows, err = nil, brokenBook(name, fmt.Errorf("%v", p))
		}
	}()
	book, err := excelize.OpenReader(bytes.NewReader(text), excelize.Options{UnzipSizeLimit: mostUnzipped, UnzipXMLSizeLimit: mostUnzipped})
	if err != nil {
		return nil, brokenBook(name, err)
	}
	defer book.Close()
	sheets := book.GetSheetList()
	if len(sheets) == 0 {
		return nil, fault.New("list-empty", name, "the workbook has no sheets")
	}
	lines, err := book.Rows(sheets[0])
	if err != nil {
		return nil, brokenBook(name, err)
	}
	defer lines.Close()
	for number := 1; lines.Next(); number++ {
		cells, err := lines.Columns()
		if err != nil {
			return nil, brokenBook(name, err)
		}
		if !slices.ContainsFunc(cells, func(c string) bool { return c != "" }) {
			continue
		}
		if rows = append(rows, Row{number, cells}); len(rows) > MostRows+1 {
			return nil, fault.New("list-size", name, "the list has more than %d rows; part it", MostRows)
		}
	}
	return rows, lines.Error()
}

func brokenBook(name string, err error) error {
	return fault.New("list-xlsx", name, "this is no Excel workbook that can be read (%v); save it again as .xlsx without a password, or as CSV UTF-8", err)
}
