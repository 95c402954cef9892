package layout

import (
	"cmp"
	"math"
	"slices"

	"brushfall/internal/geom"
)

// settlePasses is how often all runs are gone through: what mends one may let another
// be mended.
const settlePasses = 3

// settleRuns evens out the runs whose steps limp, the worst first.
func (w *settler) settleRuns() {
	limps := func(r limp) bool { return len(r.ids) >= leastLoop && r.ratio > runFair }
	w.eachRun(limps, func(r limp) float64 { return r.ratio }, w.settleRun)
}

// eachRun brings the runs that want it to do, those with the most of something first, and
// goes through them again while it could do something.
func (w *settler) eachRun(wants func(limp) bool, most func(limp) float64, do func(limp) bool) {
	for range settlePasses {
		var all []limp
		for _, c := range w.chains(stance{}) {
			for _, r := range w.runsOf(c, stance{}) {
				if wants(r) {
					all = append(all, r)
				}
			}
		}
		slices.SortStableFunc(all, func(a, b limp) int { return cmp.Compare(most(b), most(a)) })
		done := false
		for _, r := range all {
			done = do(r) || done
		}
		if !done {
			return
		}
	}
}

// byNow gives a run as it stands by now, false where one of its stones is gone.
func (w *settler) byNow(r limp) (limp, bool) {
	if slices.ContainsFunc(r.ids, func(id int) bool { return w.pieces[id].role == "" }) {
		return r, false
	}
	return w.limpOf(r.ids, stance{}), true
}

// settleRun evens out one run, at the price of a stone where need be; it says whether
// it could.
func (w *settler) settleRun(r limp) bool {
	r, whole := w.byNow(r)
	if !whole || r.ratio <= runFair {
		return false
	}
	now := w.judge(stance{})
	a, b := r.ids[r.wide], r.ids[r.wide+1]
	middle := w.pieces[a].at.Lerp(w.pieces[b].at, 0.5)
	var best stance
	least := -mendGain
	try := func(open bool, gone ...int) {
		aim, places, ok := w.aimWithout(middle, gone)
		if ok && open {
			ok = w.aimApart(&aim, a, b)
		}
		if !ok {
			return
		}
		v, then, ok := w.tryAim(aim, places, now)
		if !ok {
			return
		}
		if cost := w.price(v, now, then); cost < least {
			best, least = v, cost
		}
	}
	try(false)
	if r.most > nearOpen {
		try(true)
	}
	if least == -mendGain {
		for _, o := range w.beside(middle, r) {
			try(false, o)
		}
	}
	if least == -mendGain {
		return false
	}
	w.apply(best)
	return true
}

// nearOpen is how wide a step is, in pitches, that may become an opening.
const nearOpen = 1.4

// aimApart asks for the step between two stones to become an opening, and for those of
// their images; false where the images are not all there.
func (w *settler) aimApart(aim *aim, a, b int) bool {
	aim.open = [][2]int{{a, b}}
	if w.group == nil {
		return true
	}
	if len(w.orbit[a]) == 0 || len(w.orbit[b]) == 0 {
		return false
	}
	for k := range w.group.ops {
		if p, q := w.orbit[a][k], w.orbit[b][k]; !aim.opens(p, q) {
			aim.open = append(aim.open, [2]int{p, q})
		}
	}
	return true
}

// price gives what it costs to go over to a stance, with what its steps are better or
// worse than those that stand.
func (w *settler) price(v stance, now, then verdict) float64 {
	way, lost := w.effort(v)
	return then.cost - now.cost + settleWay*way + settleLost*float64(lost) + settleOpen*float64(then.opened)
}

// beside lists the stones that may go for the steps of a run to be even: those around
// its widest step, and those beside its narrowest.
func (w *settler) beside(middle geom.Point, r limp) []int {
	var out []int
	add := func(id int) {
		if !w.pin[id] && w.pieces[id].role != "" && !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	w.index.Each(middle, runBreak*w.pitch, func(id int, _ geom.Point) bool {
		add(id)
		return true
	})
	least, at := math.Inf(1), 0
	for i := range r.ids[1:] {
		if d := w.pieces[r.ids[i]].at.Dist(w.pieces[r.ids[i+1]].at); d < least {
			least, at = d, i
		}
	}
	add(r.ids[at])
	add(r.ids[at+1])
	slices.Sort(out)
	return out
}

// aimWithout asks for some stones to go, with their images.
func (w *settler) aimWithout(middle geom.Point, gone []int) (a aim, places []geom.Point, ok bool) {
	places = []geom.Point{middle}
	if a.gone, ok = w.allImages(gone); !ok || w.group == nil {
		return a, places, ok
	}
	for _, m := range w.group.ops[1:] {
		places = append(places, m.Apply(middle))
	}
	return a, places, true
}

// allImages gives some stones with their images; false where one has none though the
// region has a symmetry.
func (w *settler) allImages(ids []int) (map[int]bool, bool) {
	out := map[int]bool{}
	for _, id := range ids {
		out[id] = true
		if w.group == nil {
			continue
		}
		if len(w.orbit[id]) == 0 {
			return nil, false
		}
		for _, m := range w.orbit[id] {
			out[m] = true
		}
	}
	return out, true
}
