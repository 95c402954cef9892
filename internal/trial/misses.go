package trial

import (
	"fmt"
	"math"
)

// Missed lists the targets that a case misses under a setting, short: "M2 1.31".
// Targets on means over many cases are not among them.
func (t *Trial) Missed(setting int) []string {
	l := &t.Laid[setting]
	if !l.Done {
		return nil
	}
	row := &l.Row
	var out []string
	miss := func(bad bool, format string, v float64) {
		if bad {
			out = append(out, fmt.Sprintf(format, v))
		}
	}
	over := func(v *float64, most float64, format string) {
		if v != nil {
			miss(*v > most, format, *v)
		}
	}
	under := func(v *float64, least float64, format string) {
		if v != nil {
			miss(*v < least, format, *v)
		}
	}
	miss(row.Broken > 0, "M1 %.0f broken", float64(row.Broken))
	limp, loose := t.unevenRuns(setting)
	miss(limp > limpingRun, "M2 %.2f", limp)
	miss(loose < tightest || loose > loosest, "M2 step %.2f", loose)
	over(row.Truth, mostUntrue, "M3 %.3f")
	if row.Corners != nil {
		miss(*row.Corners < 1, "M4 %.0f missed", math.Round((1-*row.Corners)*float64(row.CornerCount)))
	}
	if (setting == FullLive || setting == FullFinal) && row.Filling >= filledWell {
		under(row.Fullness, fullest, "M5 %.3f B")
	}
	if row.Room != nil {
		miss(*row.Room > 0, "M6 %.0f", float64(*row.Room))
	}
	over(row.Hole95, hole95, "M7 p95 %.2f")
	over(row.HoleMost, holeMost, "M7 %.2f")
	over(row.Symmetry, asymmetric, "M8 %.2f")
	if row.OrderCount >= fewOrdered {
		under(row.Order, ordered, "M9 %.2f")
	}
	if t.Strokes >= broadStrokes {
		under(row.Reads, readsWell, "M10 %.2f")
	}
	return out
}

// unevenRuns gives the worst evenness of the runs that count for it, and the
// mean step that is farthest from what it may be; 1 without such runs.
func (t *Trial) unevenRuns(setting int) (evenness, step float64) {
	evenness, step = 1, 1
	for _, r := range t.Laid[setting].Row.Runs {
		if r.Stones >= fewStones {
			evenness = math.Max(evenness, r.Evenness)
		}
		if r.Stones >= manyStones && math.Abs(r.Spacing-1) > math.Abs(step-1) {
			step = r.Spacing
		}
	}
	return evenness, step
}
