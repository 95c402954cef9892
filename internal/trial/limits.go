package trial

import (
	"fmt"
	"math"
)

// limit is a target that every case must meet. sign is 1 for a measure that may
// not be larger than at, -1 for one that may not be smaller.
type limit struct {
	id, name, target string
	at, sign         float64
	shown            string
	value            func(t *Trial, setting int) *float64
}

// figure gives the worst value of each setting and how many cases miss.
func (l limit) figure(all []Trial) Figure {
	f := Figure{ID: l.id, Name: l.name, Target: l.target, Met: true}
	var most worst
	for s := range settings {
		var here worst
		n, missed := 0, 0
		for i := range all {
			v := l.value(&all[i], s)
			if v == nil {
				continue
			}
			n++
			if l.sign**v > l.sign*l.at {
				missed++
			}
			here.see(l.sign**v, &all[i], s)
			most.see(l.sign**v, &all[i], s)
		}
		f.Cells[s] = "-"
		if n > 0 {
			f.Cells[s] = fmt.Sprintf(l.shown, l.sign*here.value)
		}
		if missed > 0 {
			f.Cells[s] += fmt.Sprintf(" (%d/%d miss)", missed, n)
			f.Met = false
		}
	}
	f.Worst = most.text(l.shown, l.sign)
	return f
}

// bedFigures are M7 to M10.
func bedFigures(all []Trial) []Figure {
	limits := []limit{
		{"M7", "holes: 95th percentile, a honeycomb has 1", "≤ 1.30", hole95, 1, "%.2f", func(t *Trial, s int) *float64 { return t.Laid[s].Row.Hole95 }},
		{"M7", "holes: largest", "≤ 1.70", holeMost, 1, "%.2f", func(t *Trial, s int) *float64 { return t.Laid[s].Row.HoleMost }},
		{"M8", "symmetry: miss of the best kept one, mm", "≤ 0.02", asymmetric, 1, "%.3f", func(t *Trial, s int) *float64 { return t.Laid[s].Row.Symmetry }},
		{"M8", "symmetry: miss of the worst kept one, mm", "≤ 0.02", asymmetric, 1, "%.3f", func(t *Trial, s int) *float64 { return t.Laid[s].Row.SymmetryAll }},
		{"M9", "order: inner stones with six neighbours, cases of 20", "≥ 0.90", ordered, -1, "%.3f", func(t *Trial, s int) *float64 {
			if t.Laid[s].Row.OrderCount < fewOrdered {
				return nil
			}
			return t.Laid[s].Row.Order
		}},
		{"M10", "reads as the artwork, strokes of a stone's width", "≥ 0.90", readsWell, -1, "%.3f", func(t *Trial, s int) *float64 {
			if t.Strokes < broadStrokes {
				return nil
			}
			return t.Laid[s].Row.Reads
		}},
	}
	var out []Figure
	for _, l := range limits {
		out = append(out, l.figure(all))
		if l.id == "M9" {
			out = append(out, pooledOrder(all))
		}
	}
	return out
}

// pooledOrder is M9 over all inner stones of all cases.
func pooledOrder(all []Trial) Figure {
	f := Figure{ID: "M9", Name: "order: over all inner stones", Target: "≥ 0.90", Met: true}
	for s := range settings {
		good, n := 0.0, 0.0
		for i := range all {
			if r := all[i].Laid[s].Row; r.Order != nil {
				good, n = good+*r.Order*float64(r.OrderCount), n+float64(r.OrderCount)
			}
		}
		f.Cells[s] = "-"
		if n > 0 {
			f.Cells[s] = fmt.Sprintf("%.3f", good/n)
			f.Met = f.Met && good/n >= ordered
		}
	}
	return f
}

// mean is a geometric mean.
type mean struct {
	logs float64
	n    int
}

func (m *mean) add(v float64) {
	if v > 0 {
		m.logs, m.n = m.logs+math.Log(v), m.n+1
	}
}

func (m mean) value() float64 { return math.Exp(m.logs / math.Max(1, float64(m.n))) }

func (m mean) text() string {
	if m.n == 0 {
		return "-"
	}
	return fmt.Sprintf("%.4f (%d)", m.value(), m.n)
}

// plain gives the value without the number of cases.
func (m mean) plain() string {
	if m.n == 0 {
		return "-"
	}
	return fmt.Sprintf("%.4f", m.value())
}

// sizeClass is a class of cases by the stones of their best honeycomb.
type sizeClass struct {
	name       string
	from, to   int
	live, last float64 // targets at the efforts, 0 for none
}

func sizeClasses() []sizeClass {
	return []sizeClass{
		{"30 stones or more", leastFilled, math.MaxInt, gainLive, 0},
		{"30 to 200 stones", leastFilled, largeFrom, 0, gainSmall},
		{"above 200 stones", largeFrom + 1, math.MaxInt, 0, gainLarge},
	}
}

func (c sizeClass) holds(t *Trial) bool { return t.Honeycomb >= c.from && t.Honeycomb <= c.to }

// fullFigures are M5, with an unbroken rim: against the best clipped honeycomb
// and against the bound.
func fullFigures(all []Trial) []Figure {
	var out []Figure
	for _, c := range sizeClasses() {
		f := Figure{ID: "M5", Name: "fullness ÷ best honeycomb, mean, " + c.name, Met: true}
		var least worst
		for _, of := range []struct {
			setting int
			target  float64
			effort  string
		}{{FullLive, c.live, "live"}, {FullFinal, c.last, "final"}} {
			s, target := of.setting, of.target
			var m mean
			for i := range all {
				if g := all[i].gain(all[i].Laid[s].Row.Filling); c.holds(&all[i]) && all[i].Laid[s].Done {
					m.add(g)
					if target > 0 {
						least.see(-g, &all[i], s)
					}
				}
			}
			f.Cells[s] = m.text()
			if target > 0 {
				f.Target = fmt.Sprintf("≥ %.2f %s", target, of.effort)
				f.Tried, f.Met = m.n > 0, m.value() >= target
			}
		}
		f.Worst = least.text("%.3f", -1)
		out = append(out, f)
	}
	return append(out, boundFigures(all)...)
}

// boundFigures hold N against the bound B.
func boundFigures(all []Trial) []Figure {
	filled := func(least int) func(t *Trial, s int) *float64 {
		return func(t *Trial, s int) *float64 {
			if s != FullLive && s != FullFinal || t.Laid[s].Row.Filling < least {
				return nil
			}
			return t.Laid[s].Row.Fullness
		}
	}
	out := []Figure{
		limit{"M5", "fullness ÷ bound, never above", "≤ 1", 1, 1, "%.4f", filled(0)}.figure(all),
		limit{"M5", "fullness ÷ bound, 150 stones or more", "≥ 0.88", fullest, -1, "%.4f", filled(filledWell)}.figure(all),
	}
	for i := range out {
		out[i].Cells[AutoLive], out[i].Cells[AutoFinal] = "", ""
		out[i].Tried = out[i].Cells[FullLive] != "-" || out[i].Cells[FullFinal] != "-"
	}
	return out
}

// timeFigure is the longest time for a case of up to a thousand stones, while
// other cases take their share of the cores.
func timeFigure(all []Trial) Figure {
	return limit{"time", "longest case of up to 1000 stones, s, cores shared", "final ≤ 5", longestFinal, 1, "%.2f", func(t *Trial, s int) *float64 {
		if l := &t.Laid[s]; l.Done && len(l.Stones) <= timedStones {
			return &l.Seconds
		}
		return nil
	}}.figure(all)
}

// The target for a region at effort final: seconds, and up to how many stones.
const (
	longestFinal = 5
	timedStones  = 1000
)
