package sheet

import (
	"cmp"
	"math"
	"slices"
)

// LowerBound gives a number of sheets that no way to nest the items goes below:
// the larger of their area over a sheet's, and of a set of items no two of
// which fit one sheet. The options and items must be such as Nest takes.
func LowerBound(items []Item, opt Options) int {
	rw, rh := opt.room()
	sum := 0.0
	for _, it := range items {
		sum += (it.W + opt.Spacing) * (it.H + opt.Spacing)
	}
	byArea := int(math.Ceil(sum/((rw+opt.Spacing)*(rh+opt.Spacing)) - fitSlack))
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
		if opt.Turn && opt.takes(it.H, it.W) {
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
			return a.w+b.w+opt.Spacing <= rw+2*fitSlack || a.h+b.h+opt.Spacing <= rh+2*fitSlack
		}) {
			set = append(set, a)
		}
	}
	return len(set)
}
