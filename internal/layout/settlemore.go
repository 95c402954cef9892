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
	wants := func(r limp) bool { return r.wantsMore() && !tried[r.key()] }
	w.eachRun(wants, func(r limp) float64 { return r.mean }, func(r limp) bool {
		tried[r.key()] = true
		return w.addTo(r)
	})
}

// key tells runs apart: the stones at the ends, and the number of steps.
func (r limp) key() [3]int {
	n := len(r.ids) - 1
	return [3]int{r.ids[0], r.ids[n], n}
}

// wantsMore says whether the steps of a run are wide and one more nearly fits.
func (r limp) wantsMore() bool {
	n := len(r.ids) - 1
	return n >= 2 && r.ids[0] != r.ids[n] && r.mean > softLoose && r.mean*float64(n) >= float64(n+1)-moreGive
}

// addTo sets one stone more into a run, and its images into those of the run; it says
// whether it could.
func (w *settler) addTo(r limp) bool {
	r, whole := w.byNow(r)
	if !whole || !r.wantsMore() {
		return false
	}
	now := w.judge(stance{})
	was := slices.Clone(w.rows)
	more, ok := w.insert(r)
	if ok {
		w.survey()
		var v stance
		if v, ok = w.stanceWith(more, now); ok {
			w.apply(v)
			return true
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

// stanceWith seeks a stance for what was inserted that is worth it: every new stone has to
// move, as none keeps its distances where it was set.
func (w *settler) stanceWith(more insertion, now verdict) (stance, bool) {
	places := make([]geom.Point, len(more.ids))
	for i, id := range more.ids {
		places[i] = w.pieces[id].at
	}
	v, then, ok := w.tryAim(more.aim, places, now)
	for _, id := range more.ids {
		_, moved := v.to[id]
		ok = ok && moved
	}
	return v, ok && w.price(v, now, then)-settleLost*float64(len(more.ids)) < -mendGain
}

// insertion is what was set into a run and its images: new stones, which do not keep
// their distances yet, and where all are to start from.
type insertion struct {
	ids []int
	aim aim
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
	if more.ids, ok = w.insertAt(r.ids[k], r.ids[k+1]); !ok {
		return more, false
	}
	id := more.ids[0]
	if folds {
		twin := w.nearestOfThem(more.ids, w.between(r.ids[n/2], r.ids[n/2+1]))
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

// nearestOfThem gives the one of some stones nearest to a place.
func (w *settler) nearestOfThem(ids []int, at geom.Point) int {
	return slices.MinFunc(ids, func(a, b int) int {
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
// theirs; the first is that stone. What was set by then is told in any case.
func (w *settler) insertAt(a, b int) (ids []int, ok bool) {
	ops := []geom.Affine{geom.Identity()}
	mates := [2][]int{{a}, {b}}
	if w.group != nil {
		ops, mates = w.group.ops, [2][]int{w.orbit[a], w.orbit[b]}
	}
	role, at := w.pieces[a].role, w.between(a, b)
	for k, m := range ops {
		q := w.rowImage(m, at, role)
		if known := slices.IndexFunc(ids, func(id int) bool { return w.pieces[id].at.Dist(q) < w.pitch/2 }); known >= 0 {
			if w.pieces[ids[known]].at.Dist(q) > imageOff {
				return ids, false
			}
			continue
		}
		id, p := w.put(q, role), mates[0][k]
		ids = append(ids, id)
		w.ring = append(w.ring, w.ring[p])
		if ring, on := w.along[p]; on {
			w.along[id] = ring
		}
		if !w.enter(id, p, mates[1][k]) {
			return ids, false
		}
	}
	return ids, w.group == nil || w.pairNew(ids)
}

// pairNew notes who of the new stones is whose image; false where one has none.
func (w *settler) pairNew(ids []int) bool {
	for _, id := range ids {
		for _, m := range w.group.ops {
			q := m.Apply(w.pieces[id].at)
			mate := w.nearestOfThem(ids, q)
			if w.pieces[mate].at.Dist(q) >= 2*imageOff {
				return false
			}
			w.orbit[id] = append(w.orbit[id], mate)
		}
	}
	return true
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
