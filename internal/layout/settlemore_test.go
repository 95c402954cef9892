package layout

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"brushfall/internal/geom"
)

// wideRuns counts the runs whose mean step is more than the 1.10 pitches that measures.md
// allows (M2), and the stones of all rows.
func (w *settler) wideRuns() (runs, stones int) {
	for _, c := range w.chains(stance{}) {
		for _, r := range w.runsOf(c, stance{}) {
			if len(r.ids) > 3 && r.mean > softLoose {
				runs++
			}
		}
	}
	return runs, len(w.rowOrder())
}

// Where the steps of a run are wide and one more nearly fits, the stones around make room
// for it: fewer runs have wide steps, by one stone each and its images, no rule is
// broken and nothing else is worse.
func TestSettleSetsOneMore(t *testing.T) {
	t.Parallel()
	const diameter, gap = 2.9, 0.9
	rnd := rand.New(rand.NewPCG(3, 19))
	var before, after, set int
	for trial := range 60 {
		shape := branching(rnd, diameter+gap, trial%3 == 0).Transform(geom.Rotate(rnd.Float64() * 7))
		s := rowsOf(shape, diameter, gap)
		w := s.newSettler()
		w.settleCorners()
		w.settleRuns()
		was := w.judge(stance{})
		runs, stones := w.wideRuns()
		w.settleWide()
		is := w.judge(stance{})
		left, now := w.wideRuns()
		name := fmt.Sprintf("shape %d", trial)
		if is.worse(was) || left > runs || now < stones || now == stones && left < runs {
			t.Errorf("%s: %+v became %+v, %d wide runs %d, %d stones %d", name, was, is, runs, left, stones, now)
		}
		before, after, set = before+runs, after+left, set+now-stones
		checkSettled(t, name, s)
	}
	if set == 0 || after*10 > before*9 {
		t.Errorf("%d stones came in; %d runs with wide steps became %d", set, before, after)
	}
}

// A drawing that is symmetric only nearly, as those of pens and scans are, is settled
// like any other: no rule is broken.
func TestSettleOfTheNearlySymmetric(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(7, 7))
	for trial := range 60 {
		shape := branching(rnd, 3.8, true)
		off := 0.02 + 0.06*rnd.Float64()
		for _, ring := range shape.Rings {
			for i := range ring {
				ring[i] = ring[i].Add(geom.Point{X: off * (rnd.Float64() - 0.5), Y: off * (rnd.Float64() - 0.5)})
			}
		}
		s := rowsOf(shape, 2.9, 0.9)
		s.settleRows()
		for id, p := range s.pieces {
			if p.role != "" && !s.clearOfOwn(p.at, id) {
				t.Errorf("shape %d: the stone at %v is too near to another", trial, p.at)
			}
		}
	}
}
