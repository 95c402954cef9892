package layout

import (
	"math"
)

// stretchPlan is a row to be set evenly between two places of a path.
type stretchPlan struct {
	from, to float64
	steps    int
}

// mendPlan says how the stones of a part from the lo-th to the hi-th are to stand: in
// one stretch, or in two, which share a stone or have a step or an opening between.
type mendPlan struct {
	part
	lo, hi    int
	stretches []stretchPlan
	joined    bool
	cost      float64 // in stones lost, openings and moves
}

// What a plan costs besides mouthCost.
const (
	mendGain = 0.05 // what a plan must better a row by, to be worth moving stones
	mendLost = 2.0  // a stone less
)

// stepCost says how bad it is for even steps to be so wide, in pitches.
func stepCost(step float64) float64 {
	return mouthUnlike * (math.Max(0, step-looseStep) + math.Max(0, step-softLoose))
}

// whole gives a plan for all of a part.
func (p part) whole(cost float64, stretches ...stretchPlan) mendPlan {
	return mendPlan{part: p, hi: len(p.ids) - 1, stretches: stretches, cost: cost}
}

// evenPlans gives plans of one stretch, its free ends drawn in as far as loose steps
// ask.
func (s *site) evenPlans(t track, p part) []mendPlan {
	steps := len(p.ids) - 1
	from, to := p.at[0], p.at[steps]
	have := s.room(t, from, to)
	var out []mendPlan
	for _, n := range [...]int{steps, steps - 1} {
		if n < 1 || have < float64(n) {
			continue
		}
		lost := float64(steps-n) * mendLost
		out = append(out, p.whole(lost, stretchPlan{from, to, n}))
		spare := have - looseStep*float64(n)
		if spare <= 0 || !p.free[0] && !p.free[1] {
			continue
		}
		by := spare * s.pitch
		draw := [2]float64{by, by}
		switch {
		case p.free[0] && p.free[1]:
			draw = [2]float64{by / 2, by / 2}
		case p.free[0]:
			draw[1] = 0
		default:
			draw[0] = 0
		}
		out = append(out, p.whole(mouthMoved*spare+lost, stretchPlan{from + draw[0], to - draw[1], n}))
	}
	return out
}

// How far the stones beside a wide step are pulled to it, as shares of what it is too
// wide by, and how many others share the pull.
var (
	pullShares  = [...]float64{0, 0.25, 0.5, 0.75, 1}
	pullWindows = [...]int{1, 3, 6, 12, 24}
)

// pullPlans gives plans that narrow the widest step by spacing only so many of the
// stones on both sides of it anew.
func (s *site) pullPlans(p part, widest int) []mendPlan {
	end := len(p.ids) - 1
	over := s.pieces[p.ids[widest]].at.Dist(s.pieces[p.ids[widest+1]].at) - s.pitch
	var out []mendPlan
	for _, window := range pullWindows {
		lo, hi := max(0, widest-window), min(end, widest+1+window)
		left, right := widest-lo, hi-widest-1
		for _, a := range pullShares {
			for _, b := range pullShares {
				if a+b == 0 || a+b > 1 || a > 0 && left == 0 || b > 0 && right == 0 {
					continue
				}
				plan := mendPlan{part: p, lo: lo, hi: hi, cost: mouthMoved * (a + b) * over / s.pitch / 10}
				plan.stretches = []stretchPlan{
					{p.at[lo], p.at[widest] + a*over, left},
					{p.at[widest+1] - b*over, p.at[hi], right},
				}
				out = append(out, plan)
			}
		}
	}
	return out
}

// Where a row turns sharply no equal chords may lead round: how sharp a turn is
// tried as a place for a stone, and how far beside it, in pitches.
const (
	kinkTurn = 50 * math.Pi / 180
	kinkStep = 0.1
	kinkSide = 3
)

// kinkPlans gives plans of two stretches that share a stone at or near a sharp turn.
func (s *site) kinkPlans(t track, p part) []mendPlan {
	end := len(p.ids) - 1
	from, to := p.at[0], p.at[end]
	var out []mendPlan
	for _, kink := range s.kinks(t, from, to) {
		for k := -kinkSide; k <= kinkSide; k++ {
			v := kink + kinkStep*float64(k)*s.pitch
			if v <= from || v >= to {
				continue
			}
			a, b := int(s.room(t, from, v)), int(s.room(t, v, to))
			for _, n := range [...][2]int{{a, b}, {a - 1, b}, {a, b - 1}} {
				if lost := end - n[0] - n[1]; n[0] >= 1 && n[1] >= 1 && lost >= 0 && lost <= 1 {
					plan := p.whole(float64(lost)*mendLost, stretchPlan{from, v, n[0]}, stretchPlan{v, to, n[1]})
					plan.joined = true
					out = append(out, plan)
				}
			}
		}
	}
	return out
}

// kinks gives the places between two of a path where it turns most sharply.
func (s *site) kinks(t track, from, to float64) []float64 {
	step, reach := kinkStep*s.pitch, cornerReach*s.pitch
	turn := func(v float64) float64 {
		here := t.loopAt(v)
		in, on := here.Sub(t.loopAt(v-reach)), t.loopAt(v+reach).Sub(here)
		return math.Abs(math.Atan2(in.Cross(on), in.Dot(on)))
	}
	var out []float64
	for v := from + reach; v < to-reach; v += step {
		if here := turn(v); here > kinkTurn && here >= turn(v-step) && here > turn(v+step) {
			out = append(out, v)
		}
	}
	return out
}

// mouthShares are the ways in which two ends share the way to an opening.
var mouthShares = [...][2]float64{{1, 0}, {0, 1}, {0.5, 0.5}}

// splitPlans gives plans of two stretches with an opening between where the widest
// step is.
func (s *site) splitPlans(t track, p part, widest int) []mendPlan {
	end := len(p.ids) - 1
	left := [2]float64{p.at[0], p.at[widest]}
	right := [2]float64{p.at[widest+1], p.at[end]}
	have := [2]float64{s.room(t, left[0], left[1]), s.room(t, right[0], right[1])}
	var out []mendPlan
	for _, share := range mouthShares {
		by, ok := s.opened(t, left[1], right[0], share)
		if !ok {
			continue
		}
		for _, a := range drawings(have[0], widest, by*share[0]) {
			for _, b := range drawings(have[1], end-widest-1, by*share[1]) {
				out = append(out, p.whole(mouthOpen+a.cost+b.cost,
					stretchPlan{left[0], left[1] - a.by*s.pitch, a.steps}, stretchPlan{right[0] + b.by*s.pitch, right[1], b.steps}))
			}
		}
	}
	return out
}

// opened gives by how many pitches two ends that face each other are to be drawn
// in, shared out as asked, for what is between to be no step.
func (s *site) opened(t track, end, begin float64, share [2]float64) (float64, bool) {
	for k := range mouthMost {
		by := mouthGrain * float64(k)
		if t.loopAt(end-by*share[0]*s.pitch).Dist(t.loopAt(begin+by*share[1]*s.pitch)) >= mouth*s.pitch {
			return by, true
		}
	}
	return 0, false
}

// mouthMost is how many places are tried for an opening.
const mouthMost = int(1.2 / mouthGrain)

// drawing is a way to draw in the end of a row beside an opening, by so many pitches.
type drawing struct {
	by, cost float64
	steps    int
}

// drawings lists the ways to draw in a row of so many steps at one end, with room
// for have of them: by what is asked, or as far as a stone less asks.
func drawings(have float64, steps int, by float64) []drawing {
	if steps == 0 {
		if by > 0 {
			return nil
		}
		return []drawing{{0, 0, 0}}
	}
	var out []drawing
	if have-by >= float64(steps) {
		out = append(out, drawing{by, mouthMoved * by, steps})
	}
	if n := steps - 1; n >= 1 {
		by := math.Max(by, have-looseStep*float64(n))
		if have-by >= float64(n) {
			out = append(out, drawing{by, mendLost, n})
		}
	}
	return out
}
