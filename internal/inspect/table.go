package inspect

import (
	"fmt"
	"io"
	"text/tabwriter"
)

// Table prints the report as plain text, a line for each region and one for the
// whole; a figure that has no meaning for a region is a dash.
func (r Report) Table(w io.Writer) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	wide := len("region")
	for _, row := range r.Rows {
		wide = max(wide, len([]rune(row.Region)))
	}
	fmt.Fprintf(t, "%-*s\tstones\tbroken\teven\tspacing\ttruth mm\tcorners\tfull\troom\thole p95\thole max\tmirror mm\torder\treads\t\n", wide, "region")
	fmt.Fprintln(t, "\t\tM1\tM2\tM2\tM3\tM4\tM5\tM6\tM7\tM7\tM8\tM9\tM10\t")
	for _, row := range append(append([]Row(nil), r.Rows...), r.Total) {
		room := "-"
		if row.Room != nil {
			room = fmt.Sprint(*row.Room)
		}
		corners := "-"
		if row.Corners != nil {
			corners = fmt.Sprintf("%.0f/%d", *row.Corners*float64(row.CornerCount), row.CornerCount)
		}
		fmt.Fprintf(t, "%-*s\t%d\t%d\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t\n", wide, row.Region, row.Stones, row.Broken,
			cell(row.Evenness, 3), cell(row.Spacing, 3), cell(row.Truth, 4), corners, cell(row.Fullness, 3), room,
			cell(row.Hole95, 3), cell(row.HoleMost, 3), cell(row.Symmetry, 3), cell(row.Order, 3), cell(row.Reads, 3))
	}
	return t.Flush()
}

func cell(v *float64, decimals int) string {
	if v == nil {
		return "-"
	}
	return fmt.Sprintf("%.*f", decimals, *v)
}
