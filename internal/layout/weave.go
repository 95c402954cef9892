package layout

import (
	"math"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// When a spine weaves from side to side. Between one row and two, the stones
// stand alternately left and right of the centre line, as far as the stroke's
// width allows: the row changes from straight to a staggered pair without a jolt.
// The thought of letting the number of rows follow the width along a centre line
// is from Kuipers et al., CAD 128 (2020) 102907.
const (
	weaveFrom  = 0.50 // width left for centres, in pitches, from which it begins
	weaveFull  = 0.62 // and at which it uses the whole width
	weaveStep  = 0.03 // step of the search for the next place, in pitches
	weaveRise  = 0.5  // pitches from an end over which the weave grows
	weaveMost  = 0.46 // widest sway in pitches: steps from side to side are then no longer than 1.05 pitches
	weaveAhead = 0.5  // least way along the centre line from stone to stone, in steps: less, and they stand in pairs
	weaveShare = 0.3  // share of a spine that must be wide enough, or it stays straight
)

// weave is a spine with a sway to either side along it.
type weave struct {
	track track
	sway  []float64 // at the track's points, in mm
	pitch float64
}

// newWeave gives the weave of a spine, or false if it stays straight.
func (s *site) newWeave(sp spine) (weave, bool) {
	w := weave{track: sp.track, sway: make([]float64, len(sp.radii)), pitch: s.pitch}
	total := sp.track.total()
	wide := 0.0
	for i, r := range sp.radii {
		room := math.Max(0, r-s.depth)
		share := smooth((2*room/s.pitch - weaveFrom) / (weaveFull - weaveFrom))
		w.sway[i] = math.Min(room, weaveMost*s.pitch) * share
		if share > 0.5 {
			wide += total / float64(len(sp.radii))
		}
		if !sp.isClosed {
			rise := weaveRise * s.pitch
			w.sway[i] *= smooth(sp.track.length[i]/rise) * smooth((total-sp.track.length[i])/rise)
		}
	}
	if sp.isClosed { // the track gains its closing step
		w.track = newTrack(sp.track.points, true)
		if len(w.track.points) > len(w.sway) {
			w.sway = append(w.sway, w.sway[0])
		}
	}
	return w, wide > weaveShare*total
}

// smooth is 0 below 0, 1 above 1, and rises without a corner between.
func smooth(x float64) float64 {
	x = math.Max(0, math.Min(1, x))
	return x * x * (3 - 2*x)
}

// at gives the place at s on the given side, −1 or 1.
func (w weave) at(s, side float64) geom.Point {
	i := w.track.segment(s)
	span := w.track.length[i+1] - w.track.length[i]
	u := math.Max(0, math.Min(1, (s-w.track.length[i])/span))
	sway := w.sway[i] + u*(w.sway[i+1]-w.sway[i])
	normal := w.track.heading(s).Perp()
	return w.track.at(s).Add(normal.Mul(side * sway))
}

// walk steps from s0 with at least c between each stone and the two before it, up
// to s1. It gives the places and the number of steps, the last one a fraction.
func (w weave) walk(s0, s1, c float64) (places []geom.Point, steps float64) {
	s, side := s0, 1.0
	places = []geom.Point{w.at(s0, side)}
	short := func(v float64) float64 {
		p := w.at(v, -side)
		lack := p.Dist(places[len(places)-1]) - c
		if n := len(places); n > 1 {
			lack = math.Min(lack, p.Dist(places[n-2])-c)
		}
		return lack
	}
	for {
		v, step := math.Min(s+weaveAhead*c, s1), weaveStep*w.pitch
		for v < s1 && short(v) < 0 {
			v = math.Min(v+step, s1)
		}
		if lack := short(v); lack < 0 {
			return places, steps + math.Max(0, 1+lack/c)
		}
		lo, hi := math.Max(math.Min(s+weaveAhead*c, s1), v-step), v
		for range chordSteps {
			if mid := (lo + hi) / 2; short(mid) < 0 {
				lo = mid
			} else {
				hi = mid
			}
		}
		s, side = hi, -side
		places = append(places, w.at(hi, side))
		steps++
		if s >= s1 {
			return places, steps
		}
	}
}

// row sets the most stones between two places that keep the pitch, evenly, with
// one on each; a closed weave has an even number of steps.
func (w weave) row(s0, s1 float64, closed bool) []geom.Point {
	aim := w.pitch + slack
	_, have := w.walk(s0, s1, aim)
	n := math.Floor(have + 1e-9)
	if closed {
		n -= math.Mod(n, 2)
	}
	if n < 2 {
		return nil
	}
	lo, hi := aim, aim*(have+1)/n
	for range chordSteps {
		mid := (lo + hi) / 2
		if _, k := w.walk(s0, s1, mid); k >= n {
			lo = mid
		} else {
			hi = mid
		}
	}
	places, _ := w.walk(s0, s1, lo)
	places = places[:min(len(places), int(n))]
	if !closed {
		places = append(places, w.at(s1, 0))
	}
	return places
}

// setWeave sets one woven row, as setOpen sets a straight one; it says whether
// it did.
func (s *site) setWeave(sp spine) bool {
	w, ok := s.newWeave(sp)
	if !ok {
		return false
	}
	total := w.track.total()
	if sp.isClosed {
		s.putRow(w.row(0, total, true), design.RoleSpine)
		return true
	}
	from, ok0 := s.firstClear(w.track, 0, total, sp.pinned[0])
	to, ok1 := s.firstClear(w.track, total, 0, sp.pinned[1])
	if !ok0 || !ok1 || to <= from {
		return false
	}
	row := w.row(from, to, false)
	s.putRow(row, design.RoleSpine)
	return row != nil
}
