package roster

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"

	"brushfall/internal/fault"
)

// readCSV reads a text of separated values (RFC 4180), in UTF-8, or in UTF-16 where
// a byte order mark says so.
func readCSV(name string, text []byte) ([]Row, error) {
	body, _, err := transform.Bytes(unicode.BOMOverride(unicode.UTF8.NewDecoder()), text)
	marked := bytes.HasPrefix(text, []byte{0xFE, 0xFF}) || bytes.HasPrefix(text, []byte{0xFF, 0xFE})
	if err != nil || (!marked && !utf8.Valid(text)) || bytes.IndexByte(body, 0) >= 0 {
		return nil, fault.New("list-text", name, "the list is not in UTF-8, so its letters cannot be told; save it again as \"CSV UTF-8\", or as .xlsx")
	}
	body = bytes.ReplaceAll(body, []byte("\r\n"), []byte("\n"))
	if !bytes.Contains(body, []byte("\n")) {
		body = bytes.ReplaceAll(body, []byte("\r"), []byte("\n"))
	}
	above := 0
	comma, told := toldSeparator(body)
	if told {
		_, body, _ = bytes.Cut(body, []byte("\n"))
		above = 1
	} else {
		comma = separator(body)
	}
	r := csv.NewReader(bytes.NewReader(body))
	r.Comma, r.FieldsPerRecord = comma, -1
	return records(name, r, above)
}

// records reads all records. Line numbers become those of rows: a cell of several
// lines is one row to a spreadsheet.
func records(name string, r *csv.Reader, above int) ([]Row, error) {
	var rows []Row
	within := 0 // line ends within cells so far
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, csvFault(name, err, above)
		}
		line, _ := r.FieldPos(0)
		rows = append(rows, Row{above + line - within, cells})
		for _, c := range cells {
			within += strings.Count(c, "\n")
		}
	}
}

func csvFault(name string, err error, above int) error {
	e, ok := errors.AsType[*csv.ParseError](err)
	if !ok {
		return fault.New("list-csv", name, "the list cannot be read: %v", err)
	}
	message := "a quote is opened and never closed"
	if errors.Is(e.Err, csv.ErrBareQuote) {
		message = "a quote stands within a cell"
	}
	return fault.New("list-csv", fmt.Sprintf("%s line %d", name, e.Line+above), "%s; put the whole cell in quotes and write a quote in it twice: \"5 \"\" high\"", message)
}

// toldSeparator reads the first line "sep=;" that spreadsheets write and heed.
func toldSeparator(body []byte) (rune, bool) {
	line, _, _ := bytes.Cut(body, []byte("\n"))
	word := strings.Trim(string(line), "\" ")
	if len(word) == 5 && strings.EqualFold(word[:4], "sep=") && strings.ContainsAny(word[4:], ",;\t") {
		return rune(word[4]), true
	}
	return 0, false
}

// separator gives the separator that stands most often in the first line with any
// text, outside quotes: a comma if none does.
func separator(body []byte) rune {
	for line := range bytes.Lines(body) {
		if len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		best, most := ',', 0
		for _, sep := range []rune{',', ';', '\t'} {
			if n := outsideQuotes(string(line), sep); n > most {
				best, most = sep, n
			}
		}
		return best
	}
	return ','
}

func outsideQuotes(line string, sep rune) int {
	n, quoted := 0, false
	for _, c := range line {
		switch {
		case c == '"':
			quoted = !quoted
		case c == sep && !quoted:
			n++
		}
	}
	return n
}
