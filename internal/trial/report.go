package trial

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"brushfall/internal/layout"
)

// Report is a whole bench: what was tried, with what came of it. The parts that
// were not run are empty.
type Report struct {
	Trials []Trial
	Discs  map[layout.Effort][]Packed
	Speeds []Speed
}

// verdict is the word for a target met or missed.
func verdict(met bool) string {
	if met {
		return "ok"
	}
	return "MISS"
}

// Print writes the report as plain text.
func (r Report) Print(w io.Writer) error {
	kinds := map[string]bool{}
	for _, t := range r.Trials {
		kinds[t.Case.Shape.Name] = true
	}
	fmt.Fprintf(w, "%d outlines, %d cases (outline and stone size), each laid four ways: treatments chosen by the\n", len(kinds), len(r.Trials))
	fmt.Fprintf(w, "program (auto), and an unbroken rim with a honeycomb bed (rim+bed); at both efforts.\n\n")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "id\tmeasure\tauto live\tauto final\trim+bed live\trim+bed final\ttarget\t\tworst")
	for _, f := range Figures(r.Trials) {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\n", f.ID, f.Name, strings.Join(f.Cells[:], "\t"), f.Target+"\t"+verdict(f.Met), f.Worst)
	}
	r.printDiscs(t)
	if err := t.Flush(); err != nil {
		return err
	}
	if err := r.printBaselines(w); err != nil {
		return err
	}
	if err := r.printSpeeds(w); err != nil {
		return err
	}
	return r.printOdd(w)
}

func (r Report) printDiscs(w io.Writer) {
	for _, e := range []layout.Effort{layout.Live, layout.Final} {
		all := r.Discs[e]
		if len(all) == 0 {
			continue
		}
		name, cells, target := "live", "\t\t%.4f\t", "-"
		met := true
		if e == layout.Final {
			name, cells, target, met = "final", "\t\t\t%.4f", "≥ 0.98", MeanShare(all) >= discShare
		}
		least := slices.MinFunc(all, func(a, b Packed) int { return a.Set*b.N - b.Set*a.N })
		fmt.Fprintf(w, "disc\tstones ÷ best known, mean of %d discs, no rim, %s\t"+cells+"\t%s\t%s\t%d of %d\n", len(all), name, MeanShare(all), target, verdict(met), least.Set, least.N)
		if e == layout.Final {
			var set []string
			exact := true
			for _, p := range all {
				if slices.Contains(exactDiscs(), p.N) {
					set, exact = append(set, fmt.Sprint(p.Set)), exact && p.Set == p.N
				}
			}
			fmt.Fprintf(w, "disc\tstones in the discs of 7, 19, 37\t\t\t\t%s\texact\t%s\t\n", strings.Join(set, ", "), verdict(exact))
		}
	}
}

// discShare is the target for the mean share of the best known packings.
const discShare = 0.98

// printBaselines sets our fullness beside that of the plain ways.
func (r Report) printBaselines(w io.Writer) error {
	fmt.Fprintf(w, "\nStones in the same allowed set ÷ those of the best clipped honeycomb (12 turns × 16 shifts), geometric means:\n\n")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "class\tcases\tours live\tours final\thoneycomb\trows without repair\trandom, maximal\tbound")
	for _, c := range sizeClasses() {
		var m [5]mean
		for i := range r.Trials {
			x := &r.Trials[i]
			if !c.holds(x) {
				continue
			}
			for k, n := range []float64{
				float64(x.Laid[FullLive].Row.Filling), float64(x.Laid[FullFinal].Row.Filling),
				float64(x.Rows), float64(x.Poisson), x.Bound,
			} {
				m[k].add(n / float64(x.Honeycomb))
			}
		}
		fmt.Fprintf(t, "%s\t%d\t%.4f\t%.4f\t1\t%.4f\t%.4f\t%.4f\n", c.name, m[0].n, m[0].value(), m[1].value(), m[2].value(), m[3].value(), m[4].value())
	}
	return t.Flush()
}

func (r Report) printSpeeds(w io.Writer) error {
	if len(r.Speeds) == 0 {
		return nil
	}
	fmt.Fprintf(w, "\nTime for one region:\n\n")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, s := range r.Speeds {
		fmt.Fprintf(t, "%s\t%.3f s\t≤ %.2f s\t%s\n", s.Name(), s.Seconds, s.Target, verdict(s.Seconds <= s.Target))
	}
	g := growth(r.Speeds)
	fmt.Fprintf(t, "growth with the number n of stones, live\tn^%.2f\t≤ n^%.1f\t%s\n", g, mostGrowth, verdict(g <= mostGrowth))
	return t.Flush()
}

// printOdd lists the cases that miss the bounds on fullness.
func (r Report) printOdd(w io.Writer) error {
	var lines []string
	for i := range r.Trials {
		x := &r.Trials[i]
		for s := FullLive; s <= FullFinal; s++ {
			row := x.Laid[s].Row
			if row.Fullness == nil {
				continue
			}
			if *row.Fullness > 1 || row.Filling >= filledWell && *row.Fullness < fullest {
				lines = append(lines, fmt.Sprintf("%s (%s)\t%d stones\tbound %.1f\t%.4f of it\t%.4f of the honeycomb", x.Case.Name(), Settings()[s].Name, row.Filling, *row.Bound, *row.Fullness, x.gain(row.Filling)))
			}
		}
	}
	if len(lines) == 0 {
		return nil
	}
	fmt.Fprintf(w, "\nAbove the bound, or 150 stones and more under %.2f of it:\n\n", fullest)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, strings.Join(lines, "\n"))
	return t.Flush()
}
