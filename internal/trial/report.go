package trial

import (
	"cmp"
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
	Change *Change
	Turned []Turned
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
	shapes := map[string]bool{}
	for _, t := range r.Trials {
		shapes[t.Case.Shape.Name] = true
	}
	fmt.Fprintf(w, "%d outlines, %d cases (outline and stone size), each laid with the treatments that the program\n", len(shapes), len(r.Trials))
	fmt.Fprintf(w, "chooses (auto) and with an unbroken rim and a honeycomb bed (rim+bed), at efforts live and final.\n\n")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "id\tmeasure\tauto live\tauto final\trim+bed live\trim+bed final\ttarget\t\tworst")
	for _, f := range Figures(r.Trials) {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\n", f.ID, f.Name, strings.Join(f.Cells[:], "\t"), f.Target+"\t"+f.Verdict(), f.Worst)
	}
	r.printDiscs(t)
	r.printTurned(t)
	if err := t.Flush(); err != nil {
		return err
	}
	for _, part := range []func(io.Writer) error{r.printBaselines, r.printSpeeds, r.printChange, r.printOdd} {
		if err := part(w); err != nil {
			return err
		}
	}
	return nil
}

func (r Report) printDiscs(w io.Writer) {
	line := func(effort layout.Effort, name, value, target, word, worst string) {
		cells := "\t\t" + value + "\t"
		if effort == layout.Final {
			cells = "\t\t\t" + value
		}
		fmt.Fprintf(w, "disc\t%s\t%s\t%s\t%s\t%s\n", name, cells, target, word, worst)
	}
	for _, e := range []layout.Effort{layout.Live, layout.Final} {
		all := r.Discs[e]
		if len(all) == 0 {
			continue
		}
		target, word := "", ""
		if e == layout.Final {
			target, word = "≥ 0.98", verdict(MeanShare(all) >= discShare)
		}
		least := slices.MinFunc(all, func(a, b Packed) int { return a.Set*b.N - b.Set*a.N })
		line(e, fmt.Sprintf("stones ÷ best known, mean of %d discs, no rim", len(all)), fmt.Sprintf("%.4f", MeanShare(all)), target, word, fmt.Sprintf("%d of %d", least.Set, least.N))
		var set []string
		exact := true
		for _, p := range all {
			if slices.Contains(exactDiscs(), p.N) {
				set, exact = append(set, fmt.Sprint(p.Set)), exact && p.Set == p.N
			}
		}
		line(e, "stones in the discs of 7, 19, 37, no rim", strings.Join(set, ", "), "exact", verdict(exact), "")
	}
}

// printTurned says how much a turn of the artwork changes the number of stones;
// no target stands for it but that the quality is the same.
func (r Report) printTurned(w io.Writer) {
	var shares average
	worst, text := 2.0, ""
	for _, t := range r.Turned {
		v := float64(t.Fewest) / float64(max(1, t.Most))
		shares.add(&v, 1)
		if v < worst {
			worst, text = v, fmt.Sprintf("%d to %d %s, fewest at %.0f°", t.Fewest, t.Most, t.Case, t.FewestAtAngle)
		}
	}
	if shares.n > 0 {
		fmt.Fprintf(w, "turn\tstones, fewest ÷ most over %d turns, mean of %d cases\t\t\t%.4f\t\tnear 1\t\t%s\n", turns, len(r.Turned), shares.sum/shares.n, text)
	}
}

// discShare is the target for the mean share of the best known packings.
const discShare = 0.98

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

// mostListed bounds the list of cases under the bound; the JSON has all.
const mostListed = 15

// printOdd lists the cases that miss the bounds on fullness, the emptiest first,
// at the highest effort that was tried.
func (r Report) printOdd(w io.Writer) error {
	var odd []*Trial
	setting := FullLive
	for i := range r.Trials {
		if r.Trials[i].Laid[FullFinal].Done {
			setting = FullFinal
		}
	}
	for i := range r.Trials {
		row := r.Trials[i].Laid[setting].Row
		if row.Fullness != nil && (*row.Fullness > 1 || row.Filling >= filledWell && *row.Fullness < fullest) {
			odd = append(odd, &r.Trials[i])
		}
	}
	if len(odd) == 0 {
		return nil
	}
	slices.SortStableFunc(odd, func(a, b *Trial) int {
		return cmp.Compare(*a.Laid[setting].Row.Fullness, *b.Laid[setting].Row.Fullness)
	})
	fmt.Fprintf(w, "\n%d cases above the bound, or of 150 stones and more under %.2f of it (%s):\n\n", len(odd), fullest, Settings()[setting].Name)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, x := range odd[:min(mostListed, len(odd))] {
		row := x.Laid[setting].Row
		fmt.Fprintf(t, "%s\t%d stones\tbound %.1f\t%.4f of it\t%.4f of the honeycomb\n", x.Case.Name(), row.Filling, *row.Bound, *row.Fullness, x.gain(row.Filling))
	}
	if len(odd) > mostListed {
		fmt.Fprintf(t, "and %d more, nearer to it\n", len(odd)-mostListed)
	}
	return t.Flush()
}
