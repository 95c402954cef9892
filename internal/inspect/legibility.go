package inspect

import "brushfall/internal/design"

// MeasureReads gives M10 alone, for a look at many layouts of one drawing. The
// rows hold the stones and what reads. Unlike Measure it counts a closed region
// without any stone too: nothing of it reads, and its area weighs on the whole.
func MeasureReads(doc design.Document) Report {
	m := newModel(doc)
	out := Report{Total: Row{Region: "total", Stones: len(doc.Stones)}}
	for i := range m.regions {
		r := &m.regions[i]
		row := Row{Region: r.ID}
		for _, s := range m.stones {
			if s.region == i {
				row.Stones++
			}
		}
		m.measureReads(&row, i)
		if row.Stones == 0 && !r.Open && !r.shape.Empty() {
			row.common = overlap{either: r.shape.Area()}
			row.Reads = row.common.share()
		}
		out.Total.common = out.Total.common.plus(row.common)
		out.Rows = append(out.Rows, row)
	}
	out.Total.Reads = out.Total.common.share()
	return out
}
