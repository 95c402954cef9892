package advise

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"brushfall/internal/unit"
)

// recommend picks a size and says why in one line.
func (r *Report) recommend() {
	if v := r.pick(); v != nil {
		r.Best = v.Size
		r.Recommendation = r.praise(*v)
		return
	}
	r.Recommendation = r.noneReads() + ": make the design wider or simpler, or try a smaller stone."
	if v := r.soonest(); v != nil {
		r.Recommendation = fmt.Sprintf("%s: with %s it does at %s.", r.noneReads(), v.Size, atLeast(v.ReadsAt))
	}
}

// noneReads says that the design reads with none of the sizes.
func (r *Report) noneReads() string {
	var names []string
	for _, v := range r.Sizes {
		names = append(names, v.Size)
	}
	return fmt.Sprintf("At %s the design does not read with %s", unit.Length(r.Width).Both(), either(names))
}

// pick gives the size to take, nil if the whole reads with none. Of those that
// lose nothing it is the largest that the thinnest stroke holds, for fewer
// stones make less work, or the smallest if that stroke holds none; else the
// one that loses least.
func (r *Report) pick() *Verdict {
	var best *Verdict
	for i := range r.Sizes {
		v := &r.Sizes[i]
		if v.Grade != Unreadable && (best == nil || r.better(*v, *best)) {
			best = v
		}
	}
	return best
}

func (r *Report) better(v, than Verdict) bool {
	if len(v.Lost) != len(than.Lost) {
		return len(v.Lost) < len(than.Lost)
	}
	holds := func(v Verdict) bool { return r.Thinnest == nil || v.Rows > 0 }
	if holds(v) != holds(than) {
		return holds(v)
	}
	return holds(v) == (v.FillsStroke > than.FillsStroke)
}

// either joins words as "a, b or c".
func either(words []string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

// soonest gives the size that reads at the least width not under the one asked
// for, nil if none does.
func (r *Report) soonest() *Verdict {
	var best *Verdict
	for i := range r.Sizes {
		if v := &r.Sizes[i]; v.ReadsAt > 0 && (best == nil || v.ReadsAt < best.ReadsAt) {
			best = v
		}
	}
	return best
}

func (r *Report) praise(v Verdict) string {
	width := unit.Length(r.Width).Both()
	if v.Grade == LosesDetail {
		more := "no width that was tried keeps everything"
		if v.ReadsAt > 0 {
			more = "everything reads at " + atLeast(v.ReadsAt)
		}
		return fmt.Sprintf("Take %s at %s only if you can do without what it loses (%s); %s.", v.Size, width, named(v.Lost), more)
	}
	s := fmt.Sprintf("Take %s: at %s all of the design reads at arm's length, with about %d stones.", v.Size, width, about(v.Stones))
	if r.Thinnest != nil && v.Rows == 0 {
		s += fmt.Sprintf(" Its stones are wider than the thinnest stroke, %.1f mm, and stand over its edges.", r.Thinnest.Width)
	}
	return s
}

// about rounds a count of stones to two figures: the layout that is cut sets a few
// more or less than the quick one.
func about(n int) int {
	step := 1
	for n/step >= 100 {
		step *= 10
	}
	return (n + step/2) / step * step
}

// named lists what is lost, shortly.
func named(lost []Loss) string {
	if len(lost) == 1 {
		return lost[0].String()
	}
	return fmt.Sprintf("%s, and %d more", lost[0], len(lost)-1)
}

// atLeast prints a smallest width, rounded up in both units.
func atLeast(mm float64) string {
	return fmt.Sprintf("%.0f mm (%.1f in)", math.Ceil(mm-1e-9), math.Ceil(mm/float64(unit.Inch)*10-1e-9)/10)
}

// shown prints a share to two decimals, rounded down: what is printed as 0.90 is no less.
func shown(v float64) string { return fmt.Sprintf("%.2f", math.Floor(v*100+1e-9)/100) }

// mostNamed is how many losses of a size are listed.
const mostNamed = 6

// Table prints the advice as plain text: the recommendation, what was measured of
// the drawing, a row for each size, and what each loses.
func (r Report) Table(w io.Writer) error {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s\n\nThe drawing, %s wide and %s high:\n", r.Recommendation, unit.Length(r.Width).Both(), unit.Length(r.Height).Both())
	r.printDrawing(&b)
	fmt.Fprintln(&b)
	r.printSizes(&b)
	r.printLetters(&b)
	r.printLost(&b)
	fmt.Fprintf(&b, "\nRead is how well stones and drawing agree, seen from arm's length: %.2f or more reads, 1 is perfect.\n", ReadsWhole)
	fmt.Fprintln(&b, "A smaller stone follows finer drawing; a larger one means fewer stones and less work.")
	_, err := b.WriteTo(w)
	return err
}

func (r Report) printDrawing(w io.Writer) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	if s := r.Thinnest; s != nil {
		fmt.Fprintf(t, "  thinnest stroke\t%.1f mm\tin %s\n", s.Width, s.Region)
	} else {
		fmt.Fprint(t, "  thinnest stroke\t-\tit has lines only: one row of stones each\n")
	}
	switch g := r.Finest; {
	case g == nil:
		fmt.Fprint(t, "  finest gap\t-\tit has none\n")
	case g.Region == g.Other:
		fmt.Fprintf(t, "  finest gap\t%.1f mm\tin %s\n", g.Width, g.Region)
	default:
		fmt.Fprintf(t, "  finest gap\t%.1f mm\tbetween %s and %s\n", g.Width, g.Region, g.Other)
	}
	if n := len(r.Tips); n > 0 {
		fmt.Fprintf(t, "  pointed ends\t%d\tthe last stone stands where the point is as wide as the stone\n", n)
	}
	t.Flush()
}

func (r Report) printSizes(w io.Writer) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "stone\tfills strokes from\tshows gaps from\trows in the thinnest\tstones, about\tread\tat this width\tsmallest width")
	for _, v := range r.Sizes {
		read, rows, least := "-", "-", "none found"
		if v.Whole != nil {
			read = shown(*v.Whole)
		}
		if r.Thinnest != nil {
			rows = []string{"none: stands over", "1", "2", "3 or more"}[min(v.Rows, 3)]
		}
		if v.Smallest > 0 {
			least = atLeast(v.Smallest)
		}
		fmt.Fprintf(t, "%s\t%.1f mm\t%.1f mm\t%s\t%d\t%s\t%s\t%s\n", v.Size, v.FillsStroke, v.ShowsGap, rows, about(v.Stones), read, v.Grade, least)
	}
	t.Flush()
}

func (r Report) printLost(w io.Writer) {
	head := "\nLost at this width:\n"
	for _, v := range r.Sizes {
		for i, l := range v.Lost {
			fmt.Fprint(w, head)
			head = ""
			if i == mostNamed {
				fmt.Fprintf(w, "  %s: and %d more\n", v.Size, len(v.Lost)-i)
				break
			}
			fmt.Fprintf(w, "  %s: %s\n", v.Size, l)
		}
	}
}
