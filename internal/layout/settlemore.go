package layout

import (
	"cmp"
	"slices"

	"brushfall/internal/geom"
)

// moreGive is by how much, in pitches, a run may be too short for one stone more: its
// ends, and the rows that meet it, give that way where they can.
const moreGive = 0.25

// settleWide sets one stone more into runs whose steps are wide, where the stones around
// make room for it, the widest first.
func (w *settler) settleWide() {
	tried := map[[3]int]bool{}
	for range settlePasses {
		var all []limp
		for _, c := range w.chains(stance{}) {
			for _, r := range w.runsOf(c, stance{}) {
				if w.wantsMore(r) && !tried[r.key()] {
					all = append(all, r)
				}
			}
		}
		slices.SortStableFunc(all, func(a, b limp) int { return cmp.Compare(b.mean, a.mean) })
		done := false
		for _, r := range all {
			tried[r.key()] = true
			done = w.addTo(r) || done
		}
		if !done {
			return
		}
	}
}

// key tells runs apart: the stones at the ends, and the number of steps.
func (r limp) key() [3]int {
	n := len(r.ids) - 1
	return [3]int{r.ids[0], r.ids[n], n}
}

// wantsMore says whether the steps of a run are wide and one more nearly fits.
func (w *settler) wantsMore(r limp) bool {
	n := len(r.ids) - 1
	return n >= 2 && r.ids[0] != r.ids[n] && r.mean > softLoose && r.mean*float64(n) >= float64(n+1)-moreGive
}

// addTo sets one stone more into a run, and its images into those of the run; it says
// whether it could.
func (w *settler) addTo(r limp) bool {
	if slices.ContainsFunc(r.ids, func(id int) bool { return w.pieces[id].role == "" }) {
		return false
	}
	if r = w.limpOf(r.ids, stance{}); !w.wantsMore(r) {
		return false
	}
	now := w.judge(stance{})
	was := slices.Clone(w.rows)
	more, ok := w.insert(r)
	if ok {
		w.survey()
		var v stance
		var then verdict
		if v, then, ok = w.tryAim(more.aim, more.places, now); ok {
			for _, id := range more.ids {
				_, moved := v.to[id]
				ok = ok && moved
			}
			if ok && w.price(v, now, then)-settleLost*float64(len(more.ids)) < -mendGain {
				w.apply(v)
				return true
			}
		}
	}
	for _, id := range more.ids {
		w.take(id)
		delete(w.along, id)
		delete(w.orbit, id)
	}
	w.rows = was
	w.survey()
	return false
}

// insertion is what was set into a run and its images: new stones, which do not keep
// their distances yet, and where all are to start from.
type insertion struct {
	ids    []int
	places []geom.Point
	aim    aim
}

// insert sets a stone into the middle of a run, or, where its middle stone is its own
// image, two in place of that one, and the same into the images of the run; not ok
// where rows have no place for them. What was set by then is told in any case.
func (w *settler) insert(r limp) (more insertion, ok bool) {
	if w.group != nil && slices.ContainsFunc(r.ids, func(id int) bool { return len(w.orbit[id]) == 0 }) {
		return more, false
	}
	n := len(r.ids) - 1
	ids := slices.Clone(r.ids)
	k := n / 2
	folds := n%2 == 0 && w.foldsOver(r.ids)
	if folds {
		k--
		if more.aim.gone, ok = w.allImages(r.ids[n/2 : n/2+1]); !ok {
			return more, false
		}
	}
	id, ok := w.insertAt(&more, r.ids[k], r.ids[k+1])
	if !ok {
		return more, false
	}
	if folds {
		twin := w.nearestNew(more, w.between(r.ids[n/2], r.ids[n/2+1]))
		ids = slices.Replace(ids, n/2, n/2+1, id, twin)
	} else {
		ids = slices.Insert(ids, k+1, id)
	}
	w.start(&more, r, ids)
	return more, true
}

// between gives the place in the middle between two stones, on the path of a rim.
func (w *settler) between(a, b int) geom.Point {
	return w.onTrack(a, w.pieces[a].at.Lerp(w.pieces[b].at, 0.5))
}

// onTrack brings a place to the path that a stone of a rim keeps to.
func (w *settler) onTrack(id int, at geom.Point) geom.Point {
	if ring, on := w.along[id]; on {
		s, _ := w.tracks[ring].nearest(at)
		return w.tracks[ring].loopAt(s)
	}
	return at
}

// nearestNew gives the new stone nearest to a place.
func (w *settler) nearestNew(more insertion, at geom.Point) int {
	return slices.MinFunc(more.ids, func(a, b int) int {
		return cmp.Compare(w.pieces[a].at.Dist(at), w.pieces[b].at.Dist(at))
	})
}

// foldsOver says whether a symmetry of the region turns a run end for end.
func (w *settler) foldsOver(ids []int) bool {
	if w.group == nil {
		return false
	}
	first, last := ids[0], ids[len(ids)-1]
	return slices.Contains(w.orbit[first], last) && slices.Contains(w.orbit[last], first) &&
		slices.Contains(w.orbit[ids[len(ids)/2]][1:], ids[len(ids)/2])
}

// insertAt sets a stone between two that follow each other, and its images between
// theirs.
func (w *settler) insertAt(more *insertion, a, b int) (int, bool) {
	ops := []geom.Affine{geom.Identity()}
	mates := [2][]int{{a}, {b}}
	if w.group != nil {
		ops, mates = w.group.ops, [2][]int{w.orbit[a], w.orbit[b]}
	}
	role := w.pieces[a].role
	at := w.between(a, b)
	first := len(more.ids)
	for k, m := range ops {
		q := w.rowImage(m, at, role)
		known := slices.IndexFunc(more.ids, func(id int) bool { return w.pieces[id].at.Dist(q) < w.pitch/2 })
		if known >= 0 {
			if w.pieces[more.ids[known]].at.Dist(q) > imageOff {
				return 0, false
			}
			continue
		}
		id := w.put(q, role)
		more.ids, more.places = append(more.ids, id), append(more.places, q)
		p := mates[0][k]
		w.ring = append(w.ring, w.ring[p])
		if ring, on := w.along[p]; on {
			w.along[id] = ring
		}
		if !w.enter(id, p, mates[1][k]) {
			return 0, false
		}
	}
	if first == len(more.ids) {
		return 0, false
	}
	if w.group != nil {
		for _, id := range more.ids[first:] {
			for _, m := range ops {
				q := m.Apply(w.pieces[id].at)
				near := slices.IndexFunc(more.ids, func(o int) bool { return w.pieces[o].at.Dist(q) < 2*imageOff })
				if near < 0 {
					return 0, false
				}
				w.orbit[id] = append(w.orbit[id], more.ids[near])
			}
		}
	}
	return more.ids[first], true
}

// enter notes a new stone in the row of two that follow each other, between them; false
// if no row has both.
func (w *settler) enter(id, a, b int) bool {
	for i, row := range w.rows {
		for k := range row {
			next := (k + 1) % len(row)
			if row[k] == a && row[next] == b || row[k] == b && row[next] == a {
				w.rows[i] = slices.Insert(slices.Clone(row), k+1, id)
				return true
			}
		}
	}
	return false
}

// start spreads the stones of a run evenly over it, and its images alike, for what
// settles them to begin with.
func (w *settler) start(more *insertion, r limp, ids []int) {
	more.aim.start = map[int]geom.Point{}
	steps := float64(len(r.ids) - 1)
	for j, id := range ids {
		u := steps * float64(j) / float64(len(ids)-1)
		k := min(int(u), len(r.ids)-2)
		at := w.onTrack(id, w.pieces[r.ids[k]].at.Lerp(w.pieces[r.ids[k+1]].at, u-float64(k)))
		if w.group == nil {
			more.aim.start[id] = at
			continue
		}
		for op, m := range w.orbit[id] {
			if _, set := more.aim.start[m]; !set {
				more.aim.start[m] = w.group.ops[op].Apply(at)
			}
		}
	}
}
