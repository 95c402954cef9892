package layout

import (
	"cmp"
	"math"
	"slices"
)

// How a corner of a row's path is told from a bend.
const (
	cornerTurn  = 32 * math.Pi / 180 // least turn of an open line's corner
	cornerSharp = 70 * math.Pi / 180 // a turn that is a corner whatever leads up to it
	cornerReach = 0.5                // turn is read between chords of this many pitches either way
	cornerStep  = 0.05               // and at every vertex and this often between, in pitches
	cornerRise  = 12 * math.Pi / 180 // a corner turns this much more than the path a pitch away
	cornerAlike = 0.01               // turns no more unlike than this, in radians, are one peak
)

// halfArc is the share of a path's distance from the outline by which the path
// turns before and after a right-angled corner that points into the area.
const halfArc = math.Pi / 4

// bend is one place of a track with the angle it turns by there.
type bend struct {
	s    float64
	turn float64
}

// corner is a place where a track turns a corner. A hard one has straight flanks;
// a soft one is sharp, but curves lead up to it.
type corner struct {
	s    float64
	hard bool
}

// corners gives the corners of a closed track in order: the hard ones, and where
// none is within a pitch, local peaks of the turn that are sharp and stand out from
// their surroundings. Soft ones nearer to each other than a pitch cannot all have a
// stone; the row then passes them evenly. arc is how far the path bends before
// and after a corner that points into the area.
func (t track) corners(pitch, arc float64) []corner {
	total := t.total()
	if total < 3*pitch {
		return nil
	}
	var out []corner
	for _, b := range t.hardCorners(pitch, arc) {
		out = append(out, corner{b.s, true})
	}
	bends := t.bends(pitch)
	var peaks []bend
	for i, b := range bends {
		if b.turn >= cornerSharp && t.isPeak(bends, i, pitch) {
			peaks = append(peaks, b)
		}
	}
	peaks = mergePlateaus(peaks, cornerStep*2*pitch)
	for i := range peaks {
		peaks[i].s = t.midTurn(peaks[i].s, cornerReach*pitch)
	}
	hard := len(out)
	for i, b := range peaks {
		near := func(s float64) bool { return t.at(b.s).Dist(t.at(s)) < 1.001*pitch }
		lone := !slices.ContainsFunc(out[:hard], func(c corner) bool { return near(c.s) })
		for j, o := range peaks {
			lone = lone && (j == i || !near(o.s))
		}
		if lone {
			out = append(out, corner{b.s, false})
		}
	}
	slices.SortFunc(out, func(a, b corner) int { return cmp.Compare(a.s, b.s) })
	return out
}

// pins gives the corners of a closed track that hold a stone: every hard one, and
// soft ones where the steps on both sides come out alike. A track with soft
// corners only is pinned at the first. depth is the path's distance from the
// outline.
func (t track) pins(pitch, depth float64, symmetric bool) []float64 {
	all := t.settled(t.corners(pitch, halfArc*depth), pitch, symmetric)
	if len(all) == 0 {
		return nil
	}
	first := max(0, slices.IndexFunc(all, func(c corner) bool { return c.hard }))
	turned := append(slices.Clone(all[first:]), all[:first]...)
	turned = append(turned, turned[0])
	for i := range turned[1:] {
		if turned[i+1].s <= turned[i].s {
			turned[i+1].s += t.total()
		}
	}
	out := []float64{turned[0].s}
	for i := 0; i+1 < len(turned); {
		j := i + 1
		for j+1 < len(turned) && !turned[j].hard {
			j++
		}
		out = append(out, t.likeSteps(turned[i:j+1], pitch)...)
		out = append(out, turned[j].s)
		i = j
	}
	out = out[:len(out)-1] // the first again
	for i := range out {
		out[i] = wrap(out[i], t.total())
	}
	slices.Sort(out)
	return out
}

// settled picks of corners that are nearer to each other than a pitch those that
// hold a stone: as many hard ones as can, in order along the track, or, where the
// rows are to be symmetric, none.
func (t track) settled(all []corner, pitch float64, symmetric bool) []corner {
	rivals := func(a, b corner) bool { return t.at(a.s).Dist(t.at(b.s)) < 1.0001*pitch }
	var out []corner
	for i, c := range all {
		among := out
		if symmetric || !c.hard {
			among = append(slices.Clone(all[:i]), all[i+1:]...)
		}
		if !slices.ContainsFunc(among, func(o corner) bool { return rivals(c, o) }) {
			out = append(out, c)
		}
	}
	return out
}

// How many soft corners of a span are weighed, how unlike the steps beside one
// may be, and how wide, in pitches: a soft corner is worth less than the stone
// that wider steps would cost.
const (
	softMost  = 6
	softLike  = 1.04
	softLoose = 1.1
)

// likeSteps picks the most corners between the first and the last of a span such
// that all steps of the span come out alike.
func (t track) likeSteps(span []corner, pitch float64) []float64 {
	inner := span[1 : len(span)-1]
	inner = inner[:min(len(inner), softMost)]
	var best []float64
	for set := range 1 << len(inner) {
		stops := []float64{span[0].s}
		for i, c := range inner {
			if set&(1<<i) != 0 {
				stops = append(stops, c.s)
			}
		}
		if len(stops)-1 <= len(best) {
			continue
		}
		if unlike, widest := t.unlike(append(stops, span[len(span)-1].s), pitch); unlike <= softLike && widest <= softLoose*pitch {
			best = stops[1:]
		}
	}
	return best
}

// unlike gives the largest step between stops divided by the smallest, and the
// largest in mm.
func (t track) unlike(stops []float64, pitch float64) (ratio, widest float64) {
	least, most := math.Inf(1), 0.0
	for i := range stops[1:] {
		part := t.cut(stops[i], stops[i+1])
		n := part.fit(pitch + slack)
		if n < 1 {
			return math.Inf(1), most
		}
		step := part.total() / float64(n)
		if places := part.chords(n, pitch+slack); n > 1 {
			step = part.at(places[0]).Dist(part.at(places[1]))
		}
		least, most = min(least, step), max(most, step)
	}
	return most / least, most
}

// midTurn gives the place within reach of s where the track has done half its
// turning: the vertex of a corner, or the middle of the arc round one, however
// the flanks bend.
func (t track) midTurn(s, reach float64) float64 {
	part := t.cut(wrap(s-reach, t.total()), wrap(s-reach, t.total())+2*reach)
	turns := make([]float64, len(part.points))
	sum := 0.0
	for i := 1; i+1 < len(part.points); i++ {
		in, on := part.points[i].Sub(part.points[i-1]), part.points[i+1].Sub(part.points[i])
		turns[i] = math.Atan2(in.Cross(on), in.Dot(on))
		sum += turns[i]
	}
	half := 0.0
	for i, v := range turns {
		if next := half + v; next/sum >= 0.5 {
			// A vertex stands for the bend around it: share it out along its edges.
			u := (0.5*sum - half) / v
			back, on := part.length[max(0, i-1)], part.length[min(i+1, len(turns)-1)]
			if math.Abs(v) > cornerTurn/2 {
				return wrap(s-reach+part.length[i], t.total())
			}
			at := part.length[i] + (u-0.5)*(on-back)/2
			return wrap(s-reach+at, t.total())
		}
		half += v
	}
	return s
}

// openCorners gives the corners of an open track, in order.
func (t track) openCorners(pitch float64) []float64 {
	var peaks []bend
	bends := t.bends(pitch)
	for i, b := range bends {
		if b.s >= cornerReach*pitch && b.s <= t.total()-cornerReach*pitch && b.turn >= cornerTurn && t.isPeak(bends, i, pitch) {
			peaks = append(peaks, b)
		}
	}
	var out []float64
	for _, b := range mergePlateaus(peaks, cornerStep*2*pitch) {
		if n := len(out); n == 0 || t.at(out[n-1]).Dist(t.at(b.s)) >= pitch {
			out = append(out, b.s)
		}
	}
	return out
}

// bends samples the turn of the track along its length.
func (t track) bends(pitch float64) []bend {
	reach, step := cornerReach*pitch, cornerStep*pitch
	var out []bend
	add := func(s float64) {
		here := t.at(s)
		in := here.Sub(t.loopAt(s - reach))
		on := t.loopAt(s + reach).Sub(here)
		out = append(out, bend{s, math.Abs(math.Atan2(in.Cross(on), in.Dot(on)))})
	}
	for i := 0; i+1 < len(t.points); i++ {
		add(t.length[i])
		span := t.length[i+1] - t.length[i]
		n := int(span / step)
		for k := 1; k <= n; k++ {
			add(t.length[i] + span*float64(k)/float64(n+1))
		}
	}
	return out
}

// isPeak says whether no sample within half a pitch turns more, and the track a
// pitch away on both sides turns clearly less.
func (t track) isPeak(bends []bend, i int, pitch float64) bool {
	total, n := t.total(), len(bends)
	low := [2]float64{math.Inf(1), math.Inf(1)}
	for side, dir := range []int{-1, 1} {
		for k := 1; k < n; k++ {
			b := bends[((i+dir*k)%n+n)%n]
			gap := wrap(float64(dir)*(b.s-bends[i].s), total)
			if gap > pitch {
				break
			}
			if gap < pitch/2 && b.turn > bends[i].turn+cornerAlike {
				return false
			}
			low[side] = math.Min(low[side], b.turn)
		}
	}
	return bends[i].turn-low[0] >= cornerRise && bends[i].turn-low[1] >= cornerRise
}

// mergePlateaus gives one place for samples of an equal peak that lie side by side.
func mergePlateaus(peaks []bend, near float64) []bend {
	var out []bend
	for i := 0; i < len(peaks); {
		j := i
		for j+1 < len(peaks) && peaks[j+1].s-peaks[j].s <= near && math.Abs(peaks[j+1].turn-peaks[i].turn) <= cornerAlike {
			j++
		}
		out = append(out, bend{(peaks[i].s + peaks[j].s) / 2, peaks[i].turn})
		i = j + 1
	}
	return out
}
