package trial

import (
	"fmt"
	"math"
	"slices"

	"brushfall/internal/inspect"
)

// Figure is a line of the table: a measure under each setting, its target and the
// worst case. An empty cell means that the measure has no target there, a dash
// that there was nothing to measure; Met then says nothing and Tried is false.
type Figure struct {
	ID     string           `json:"id"`
	Name   string           `json:"name"`
	Cells  [settings]string `json:"cells"` // in the order of Settings
	Target string           `json:"target"`
	Tried  bool             `json:"tried"`
	Met    bool             `json:"met"`
	Worst  string           `json:"worst"`
}

// The targets of the measures.
const (
	evenRun      = 1.05
	evenShare    = 0.95
	limpingRun   = 1.15
	fewStones    = 3 // runs that limpingRun counts for
	manyStones   = 6 // runs whose spacing counts
	loosest      = 1.10
	tightest     = 1.00 - 1e-4 // stones are placed on a grid of fractions of a µm
	mostUntrue   = 0.02
	fullest      = 0.88
	filledWell   = 150 // stones from which on fullest counts
	gainLive     = 0.98
	gainSmall    = 1.04
	gainLarge    = 1.00
	largeFrom    = 200
	hole95       = 1.30
	holeMost     = 1.70
	asymmetric   = 0.02
	ordered      = 0.90
	fewOrdered   = 20   // inner stones from which on a case's order counts
	readsWell    = 0.90 // M10
	broadStrokes = 0.97 // share of the area in strokes of a stone's width, for M10
)

// Figures gives the lines of M1 to M10 over all trials.
func Figures(all []Trial) []Figure {
	out := countFigures(all)
	out = append(out, runFigures(all)...)
	out = append(out, rowFigures(all)...)
	out = append(out, bedFigures(all)...)
	out = append(out, timeFigure(all))
	for i := range out {
		out[i].Tried = slices.ContainsFunc(out[i].Cells[:], func(c string) bool { return c != "" && c != "-" })
	}
	return slices.Insert(out, fullnessLine, fullFigures(all)...)
}

// fullnessLine is where M5 stands among the lines, after M1, M6, M2, M3 and M4.
const fullnessLine = 7

// Verdict is the word for a target met or missed; empty for one not tried.
func (f Figure) Verdict() string {
	if !f.Tried {
		return ""
	}
	return verdict(f.Met)
}

// worst keeps the largest of some values and where it was; NaN is passed over.
type worst struct {
	value float64
	where string
	seen  bool
}

func (w *worst) see(v float64, t *Trial, setting int) {
	if !math.IsNaN(v) && (!w.seen || v > w.value) {
		*w = worst{v, t.Case.Name() + " (" + Settings()[setting].Name + ")", true}
	}
}

// text names the worst case; sign is -1 where the smallest is the worst.
func (w *worst) text(format string, sign float64) string {
	if !w.seen {
		return ""
	}
	return fmt.Sprintf(format, sign*w.value) + " " + w.where
}

// countFigures are the counts that must be 0.
func countFigures(all []Trial) []Figure {
	m1 := Figure{ID: "M1", Name: "rules broken", Target: "0", Met: true}
	m6 := Figure{ID: "M6", Name: "places with room for a stone", Target: "0", Met: true}
	var worst1, worst6 worst
	for s := range settings {
		broken, room, n := 0, 0, 0
		for i := range all {
			l := &all[i].Laid[s]
			if l.Done {
				n++
			}
			broken += l.Row.Broken
			if l.Row.Broken > 0 {
				worst1.see(float64(l.Row.Broken), &all[i], s)
			}
			if l.Row.Room != nil && *l.Row.Room > 0 {
				room += *l.Row.Room
				worst6.see(float64(*l.Row.Room), &all[i], s)
			}
		}
		if n == 0 {
			m1.Cells[s], m6.Cells[s] = "-", "-"
			continue
		}
		m1.Cells[s], m6.Cells[s] = fmt.Sprint(broken), fmt.Sprint(room)
		m1.Met, m6.Met = m1.Met && broken == 0, m6.Met && room == 0
	}
	m1.Worst, m6.Worst = worst1.text("%.0f", 1), worst6.text("%.0f", 1)
	return []Figure{m1, m6}
}

// share counts how many of some things are good.
type share struct{ good, all int }

func (s *share) add(good bool) {
	s.all++
	if good {
		s.good++
	}
}

func (s share) value() float64 { return float64(s.good) / math.Max(1, float64(s.all)) }

func (s share) text() string {
	if s.all == 0 {
		return "-"
	}
	return fmt.Sprintf("%.1f %%", 100*s.value())
}

// atMost names the most that can be good of some things, if not all.
func (s share) atMost(can int) string {
	if can >= s.all {
		return ""
	}
	return " of " + share{can, s.all}.text()
}

// runRule is a target for the runs of rims and spines.
type runRule struct {
	name, target string
	counts       func(inspect.Run) bool
	bad          func(inspect.Run) float64 // how bad the run is, for the worst
	good         func(inspect.Run) bool
	can          func(inspect.Run) bool // whether the run could be good; nil if all can
	least        float64                // share of good runs asked for
	shown        string
}

func runRules() []runRule {
	short := func(n int) func(inspect.Run) bool { return func(r inspect.Run) bool { return r.Stones >= n } }
	uneven := func(r inspect.Run) float64 { return r.Evenness }
	return []runRule{
		{"evenness: runs with largest ÷ smallest step ≤ 1.05", "≥ 95 %", short(fewStones), uneven, func(r inspect.Run) bool { return r.Evenness <= evenRun }, nil, evenShare, "%.3f"},
		{"evenness: runs with largest ÷ smallest step ≤ 1.15", "100 %", short(fewStones), uneven, func(r inspect.Run) bool { return r.Evenness <= limpingRun }, nil, 1, "%.3f"},
		{
			"spacing: runs of 6 with mean step 1.00 to 1.10 pitches", "≥ 95 %", short(manyStones),
			func(r inspect.Run) float64 { return r.Spacing },
			func(r inspect.Run) bool { return r.Spacing >= tightest && r.Spacing <= loosest },
			func(r inspect.Run) bool { return r.CanSpace(tightest, loosest) }, evenShare, "%.3f",
		},
	}
}

// runFigures are M2, over all runs of all cases. A run of two stones has one
// step, which is always even; it is not counted.
func runFigures(all []Trial) []Figure {
	var out []Figure
	for _, rule := range runRules() {
		f := Figure{ID: "M2", Name: rule.name, Target: rule.target, Met: true}
		var most worst
		for s := range settings {
			var n share
			can := 0
			for i := range all {
				for _, r := range all[i].Laid[s].Row.Runs {
					if rule.counts(r) {
						n.add(rule.good(r))
						if rule.can == nil || rule.can(r) || rule.good(r) {
							can++
						}
						most.see(rule.bad(r), &all[i], s)
					}
				}
			}
			f.Cells[s] = n.text() + n.atMost(can)
			f.Met = f.Met && (n.all == 0 || n.value() >= rule.least)
		}
		f.Worst = most.text(rule.shown, 1)
		out = append(out, f)
	}
	return out
}

// rowFigures are M3 and M4.
func rowFigures(all []Trial) []Figure {
	truth := limit{"M3", "truth: rim stones off their distance, mm", "≤ 0.02", mostUntrue, 1, "%.4f", func(t *Trial, s int) *float64 { return t.Laid[s].Row.Truth }}
	f := Figure{ID: "M4", Name: "corners of the rim that hold a stone", Target: "100 %", Met: true}
	var most worst
	for s := range settings {
		var n share
		can := 0
		for i := range all {
			r := all[i].Laid[s].Row
			if r.Corners == nil {
				continue
			}
			held := int(math.Round(*r.Corners * float64(r.CornerCount)))
			n.good, n.all, can = n.good+held, n.all+r.CornerCount, can+r.CornersMost
			if held < r.CornersMost {
				most.see(float64(r.CornersMost-held), &all[i], s)
			}
		}
		f.Cells[s] = n.text() + n.atMost(can)
		f.Met = f.Met && n.good == n.all
	}
	f.Worst = most.text("%.0f missed of those that can", 1)
	return []Figure{truth.figure(all), f}
}
