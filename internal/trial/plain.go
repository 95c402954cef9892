package trial

import (
	"fmt"
	"io"
	"text/tabwriter"
)

// way is a way of setting stones in the table of comparison.
type way struct {
	name string
	of   func(t *Trial) *Laid
}

// compared lists our layouts with an unbroken rim and the plain ways.
func compared() []way {
	return []way{
		{"ours, rim+bed live", func(t *Trial) *Laid { return &t.Laid[FullLive] }},
		{"ours, rim+bed final", func(t *Trial) *Laid { return &t.Laid[FullFinal] }},
		{"best clipped honeycomb", func(t *Trial) *Laid { return &t.Plain[Clipped] }},
		{"row and clipped honeycomb", func(t *Trial) *Laid { return &t.Plain[Framed] }},
		{"rows without repair", func(t *Trial) *Laid { return &t.Plain[Rows] }},
		{"random, maximal", func(t *Trial) *Laid { return &t.Plain[Random] }},
	}
}

// printBaselines sets our layouts beside those of the plain ways.
func (r Report) printBaselines(w io.Writer) error {
	fmt.Fprintf(w, "\nBeside plain ways of setting stones. M5: stones in the same allowed set ÷ those of the best clipped honeycomb\n")
	fmt.Fprintf(w, "(12 turns × 16 shifts), geometric means; the other measures over all cases.\n\n")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprint(t, "way\t")
	for _, c := range sizeClasses() {
		fmt.Fprintf(t, "M5 %s\t", c.name)
	}
	fmt.Fprintln(t, "M2 even runs\tM4 corners\tM6 room, % of stones\tM7 p95, mean\tM7 worst\tM9 order\tM10 mean")
	for _, x := range compared() {
		fmt.Fprintf(t, "%s\t", x.name)
		for _, c := range sizeClasses() {
			fmt.Fprintf(t, "%s\t", r.gains(c, x.of).plain())
		}
		r.printRest(t, x.of)
	}
	fmt.Fprint(t, "bound, no packing has more\t")
	for _, c := range sizeClasses() {
		var m mean
		for i := range r.Trials {
			if x := &r.Trials[i]; c.holds(x) {
				m.add(x.Bound / float64(x.Honeycomb))
			}
		}
		fmt.Fprintf(t, "%s\t", m.plain())
	}
	fmt.Fprintln(t)
	return t.Flush()
}

// gains gives the mean of the stones set ÷ those of the honeycomb.
func (r Report) gains(c sizeClass, of func(t *Trial) *Laid) mean {
	var m mean
	for i := range r.Trials {
		if x := &r.Trials[i]; c.holds(x) && of(x).Done {
			m.add(float64(of(x).Row.Filling) / float64(x.Honeycomb))
		}
	}
	return m
}

// average is an arithmetic mean of what there is.
type average struct{ sum, n, most float64 }

func (a *average) add(v *float64, weight float64) {
	if v != nil {
		a.sum, a.n, a.most = a.sum+*v*weight, a.n+weight, max(a.most, *v)
	}
}

func (a average) text(v float64) string {
	if a.n == 0 {
		return "-"
	}
	return fmt.Sprintf("%.3f", v)
}

// printRest ends a line with the measures other than M5.
func (r Report) printRest(w io.Writer, of func(t *Trial) *Laid) {
	var even share
	var corners, room, hole, most, order, reads average
	for i := range r.Trials {
		l := of(&r.Trials[i])
		if !l.Done {
			continue
		}
		for _, run := range l.Row.Runs {
			if run.Stones >= fewStones {
				even.add(run.Evenness <= evenRun)
			}
		}
		corners.add(l.Row.Corners, float64(l.Row.CornerCount))
		if n := float64(len(l.Stones)); l.Row.Room != nil && n > 0 {
			each := 100 * float64(*l.Row.Room) / n
			room.add(&each, n)
		}
		hole.add(l.Row.Hole95, 1)
		most.add(l.Row.HoleMost, 1)
		order.add(l.Row.Order, float64(l.Row.OrderCount))
		reads.add(l.Row.Reads, 1)
	}
	fmt.Fprint(w, even.text())
	for _, a := range []average{corners, room, hole} {
		fmt.Fprintf(w, "\t%s", a.text(a.sum/a.n))
	}
	fmt.Fprintf(w, "\t%s", most.text(most.most))
	for _, a := range []average{order, reads} {
		fmt.Fprintf(w, "\t%s", a.text(a.sum/a.n))
	}
	fmt.Fprintln(w)
}
