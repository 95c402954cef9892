package job

import (
	"cmp"
	"encoding/csv"
	"io"
	"slices"
	"strconv"

	"brushfall/internal/catalogue"
	"brushfall/internal/count"
	"brushfall/internal/unit"
)

// writeSizes writes sizes.csv: a row for each width, with a column for each kind
// of stone, as RFC 4180 has it (CRLF line ends). Grams are those of the stones to
// be taken, spare ones included, as in counts.csv.
func writeSizes(w io.Writer, runs []SizeRun) error {
	kinds := kindsOfRuns(runs)
	head := []string{"folder", "width mm", "height mm", "width in", "height in"}
	for _, k := range kinds {
		head = append(head, k.Size+" "+k.Colour)
	}
	rows := [][]string{append(head, "stones", "plates", "sheets", "grams")}
	for _, r := range runs {
		doc := r.Document
		row := []string{
			r.Name, decimals(doc.Width, 1), decimals(doc.Height, 1),
			decimals(unit.Length(doc.Width).Inches(), 2), decimals(unit.Length(doc.Height).Inches(), 2),
		}
		for _, k := range kinds {
			row = append(row, strconv.Itoa(pieces(r.Counts, k)))
		}
		total := count.Total(r.Counts)
		rows = append(rows, append(row, strconv.Itoa(total.Pieces), strconv.Itoa(len(doc.Plates)), strconv.Itoa(len(doc.Sheets)), decimals(total.Grams, 2)))
	}
	out := csv.NewWriter(w)
	out.UseCRLF = true
	return out.WriteAll(rows)
}

func decimals(v float64, n int) string { return strconv.FormatFloat(v, 'f', n, 64) }

// kindsOfRuns lists the kinds that occur at any width, as counts.csv does: the
// largest size first, then by colour.
func kindsOfRuns(runs []SizeRun) []count.Line {
	var out []count.Line
	for _, r := range runs {
		for _, l := range r.Counts {
			if !slices.ContainsFunc(out, func(k count.Line) bool { return k.Size == l.Size && k.Colour == l.Colour }) {
				out = append(out, count.Line{Size: l.Size, Colour: l.Colour})
			}
		}
	}
	diameter := func(l count.Line) float64 {
		size, _ := catalogue.FindSize(l.Size) // counted, so in the catalogue
		return size.Largest
	}
	slices.SortFunc(out, func(a, b count.Line) int {
		return cmp.Or(cmp.Compare(diameter(b), diameter(a)), cmp.Compare(a.Size, b.Size), cmp.Compare(a.Colour, b.Colour))
	})
	return out
}

func pieces(lines []count.Line, kind count.Line) int {
	for _, l := range lines {
		if l.Size == kind.Size && l.Colour == kind.Colour {
			return l.Pieces
		}
	}
	return 0
}
