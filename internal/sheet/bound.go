package sheet

import (
	"cmp"
	"math"
	"slices"
)

// LowerBound gives a number of sheets that no way to nest the items goes below:
// the larger of their area over a sheet's, and of a set of items no two of
// which fit one sheet; less what odd pieces can take. The options and items must
// be such as Nest takes.
func LowerBound(items []Item, opt Options) int {
	if len(items) == 0 {
		return 0
	}
	rw, rh := opt.room()
	gap, sum := opt.apart(), 0.0
	for _, it := range items {
		sum += (it.W + gap) * (it.H + gap)
	}
	for _, p := range opt.Pieces {
		b := opt.newBin(p.Width, p.Height, 0)
		sum -= max(0, b.room.w) * max(0, b.room.h)
	}
	byArea := int(math.Ceil(sum/((rw+gap)*(rh+gap)) - fitSlack))
	if len(opt.Pieces) > 0 {
		return max(byArea, 0)
	}
	return max(byArea, alone(items, opt))
}

// alone gives the size of a set of items no two of which fit on one sheet,
// found greedily from the largest. Two items on one sheet lie side by side or
// one below the other, so their narrowest fitting ways must add up to its side.
func alone(items []Item, opt Options) int {
	rw, rh := opt.room()
	var least []area
	for _, it := range items {
		a := area{w: it.W, h: it.H}
		if opt.turns(it) && opt.takes(it.H, it.W) {
			a.w, a.h = min(a.w, it.H), min(a.h, it.W)
			if !opt.takes(it.W, it.H) {
				a.w, a.h = it.H, it.W
			}
		}
		least = append(least, a)
	}
	slices.SortStableFunc(least, func(a, b area) int { return cmp.Compare(b.w+b.h, a.w+a.h) })
	var set []area
	for _, a := range least {
		if !slices.ContainsFunc(set, func(b area) bool {
			return a.w+b.w+opt.apart() <= rw+2*fitSlack || a.h+b.h+opt.apart() <= rh+2*fitSlack
		}) {
			set = append(set, a)
		}
	}
	return len(set)
}
