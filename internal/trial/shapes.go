package trial

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"brushfall/internal/inspect"
)

// PrintShapes writes every case with all its measures, a line for each setting.
func (r Report) PrintShapes(w io.Writer) error {
	for i := range r.Trials {
		t := &r.Trials[i]
		fmt.Fprintf(w, "%s, from %s: honeycomb %d, rows without repair %d, random %d, bound %.1f, %.1f %% of it in strokes of a stone's width\n",
			t.Case.Name(), t.Case.Source, t.Honeycomb, len(t.Plain[Rows].Stones), len(t.Plain[Random].Stones), t.Bound, 100*t.Strokes)
		var table inspect.Report
		for s := range settings {
			if !t.Laid[s].Done {
				continue
			}
			row := t.Laid[s].Row
			row.Region = fmt.Sprintf("%s, %.2f s", Settings()[s].Name, t.Laid[s].Seconds)
			table.Rows = append(table.Rows, row)
		}
		if last := len(table.Rows) - 1; last >= 0 {
			table.Rows, table.Total = table.Rows[:last], table.Rows[last]
		}
		if err := table.Table(w); err != nil {
			return err
		}
		for s := range settings {
			if missed := t.Missed(s); len(missed) > 0 {
				fmt.Fprintf(w, "%s misses: %s\n", Settings()[s].Name, strings.Join(missed, ", "))
			}
			for _, f := range slices.Concat(t.Laid[s].Broken, t.Laid[s].Places) {
				fmt.Fprintf(w, "%s: %s\n", Settings()[s].Name, f)
			}
		}
		fmt.Fprintln(w)
	}
	return nil
}

// Data is the report for machines.
type Data struct {
	Figures []Figure            `json:"figures"`
	Cases   []CaseData          `json:"cases"`
	Discs   map[string][]Packed `json:"discs,omitempty"`
	Speeds  []SpeedData         `json:"speeds,omitempty"`
	Change  *Change             `json:"change,omitempty"`
	Turned  []Turned            `json:"turned,omitempty"`
}

// SpeedData is one timing for machines.
type SpeedData struct {
	Effort string `json:"effort"`
	Speed
}

// CaseData is one case for machines; the rows are in the order of Settings.
type CaseData struct {
	Name      string                `json:"name"`
	Source    string                `json:"source"`
	Honeycomb inspect.Row           `json:"honeycomb"`
	Framed    inspect.Row           `json:"row_and_honeycomb"`
	Rows      inspect.Row           `json:"rows_without_repair"`
	Random    inspect.Row           `json:"random"`
	Bound     float64               `json:"bound"`
	Strokes   float64               `json:"strokes"`
	Measures  [settings]inspect.Row `json:"measures"`
	Seconds   [settings]float64     `json:"seconds"`
}

// Data gives the report for machines.
func (r Report) Data() Data {
	out := Data{Figures: Figures(r.Trials), Discs: map[string][]Packed{}, Turned: r.Turned, Change: r.Change}
	for _, s := range r.Speeds {
		out.Speeds = append(out.Speeds, SpeedData{effortName(s.Effort), s})
	}
	for e, packed := range r.Discs {
		out.Discs[effortName(e)] = packed
	}
	for _, t := range r.Trials {
		c := CaseData{Name: t.Case.Name(), Source: t.Case.Source, Honeycomb: t.Plain[Clipped].Row, Framed: t.Plain[Framed].Row, Rows: t.Plain[Rows].Row, Random: t.Plain[Random].Row, Bound: t.Bound, Strokes: t.Strokes}
		for s, l := range t.Laid {
			c.Measures[s], c.Seconds[s] = l.Row, l.Seconds
			c.Measures[s].Region = Settings()[s].Name
		}
		out.Cases = append(out.Cases, c)
	}
	return out
}
