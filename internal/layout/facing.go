package layout

import (
	"math"

	"brushfall/internal/geom"
)

// Where a row is interrupted and its two ends come near each other, as at the
// mouth of a round terminal or across a tapering stroke, the eye takes the opening
// for a step of the row. It is then to be a step like the others, or clearly an
// opening.
const (
	mouth       = 1.602 // the least opening, in pitches, that is no step
	mouthShift  = 0.72  // how far an end may be moved at once, in pitches
	mouthGrain  = 0.02  // the grain of the search, in pitches
	mouthLike   = 1.03  // how unlike steps may be without being seen
	mouthUnlike = 10    // what more of that costs, and steps wider than looseStep and again softLoose
	mouthMoved  = 0.3   // what a pitch of moving costs
	mouthOpen   = 0.1   // what an opening costs, that a step could have closed
)

// openRow is what a row takes of a closed path: its two ends and the stops between
// them, in order, past a whole turn where it runs over the path's first place.
// settled says that an end is where it is to be.
type openRow struct {
	stops   []float64
	settled [2]bool
}

// facePasses is how often all ends are gone through: the two ends of a row share
// its steps.
const facePasses = 2

// faceEnds moves the ends of the rows of a path, in order around it, where two
// that follow each other come near, or the two of one row; both alike where the
// rows are to be symmetric.
func (t track) faceEnds(rows []openRow, pitch float64, symmetric bool) {
	for range facePasses {
		for i := range rows {
			t.faceEnd(&rows[i], &rows[(i+1)%len(rows)], pitch, symmetric)
		}
		for i := range rows {
			if len(rows) > 1 {
				t.faceEnd(&rows[i], &rows[i], pitch, symmetric)
			}
		}
	}
}

// faceEnd moves the last end of one row and the first of the next.
func (t track) faceEnd(a, b *openRow, pitch float64, symmetric bool) {
	n := len(a.stops) - 1
	end, begin := a.stops[n], b.stops[0]
	open := t.loopAt(end).Dist(t.loopAt(begin))
	if open >= mouth*pitch {
		return
	}
	lone := a == b && n == 1
	var back, on [2*mouthSteps + 1]float64
	var from, to [2*mouthSteps + 1]geom.Point
	for k := range back {
		by := mouthBy(k) * pitch
		from[k], to[k] = t.loopAt(end-by), t.loopAt(begin+by)
		if lone {
			back[k] = t.stepBetween(begin+by, end-by, pitch)
			on[k] = back[k]
			continue
		}
		back[k] = t.stepBetween(a.stops[n-1], end-by, pitch)
		on[k] = t.stepBetween(begin+by, b.stops[1], pitch)
	}
	best, least := [2]int{-1, -1}, math.Inf(1)
	for k := range back {
		for l := range on {
			if (lone || symmetric) && l != k || math.IsInf(back[k]+on[l], 1) {
				continue
			}
			u, v := math.Abs(mouthBy(k)), math.Abs(mouthBy(l))
			moved := u + v + math.Abs(u-v)/2
			if cost := mouthCost(back[k], on[l], from[k].Dist(to[l])/pitch) + mouthMoved*moved; cost < least {
				best, least = [2]int{k, l}, cost
			}
		}
	}
	if best[0] < 0 {
		return
	}
	a.stops[n], a.settled[1] = end-mouthBy(best[0])*pitch, true
	b.stops[0], b.settled[0] = begin+mouthBy(best[1])*pitch, true
}

// mouthSteps is how many places to either side of an end are tried.
const mouthSteps = int(mouthShift / mouthGrain)

// mouthBy gives the k-th shift that is tried, in pitches; positive draws in.
func mouthBy(k int) float64 { return mouthGrain * float64(k-mouthSteps) }

// stepBetween gives the step of a row between two places of a closed track, in
// pitches; +Inf for less than one.
func (t track) stepBetween(s0, s1, pitch float64) float64 {
	if s1 <= s0 {
		return math.Inf(1)
	}
	total := t.total()
	from := wrap(s0, total)
	part := t.cut(from, from+s1-s0)
	_, have := part.walk(pitch+slack, false)
	return have / math.Floor(have+1e-9)
}

// mouthCost says how much worse than even are the steps of the rows on both sides of
// an opening and its own width, all in pitches.
func mouthCost(back, on, open float64) float64 {
	small, large := math.Min(back, on), math.Max(back, on)
	if math.IsInf(large, 1) || math.IsNaN(large) || open < 1 {
		return math.Inf(1)
	}
	cost := mouthOpen
	if open < mouth {
		small, large = math.Min(small, open), math.Max(large, open)
		cost = 0
	}
	return cost + mouthUnlike*(math.Max(0, large/small-mouthLike)+math.Max(0, large-looseStep)+math.Max(0, large-softLoose))
}
