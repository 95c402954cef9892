package layout

import (
	"math"
	"sort"

	"brushfall/internal/geom"
)

// A hard corner turns between straight flanks of a pitch's length on either side.
// Round a corner that points into the area the path is an arc about the outline's
// corner, and the flanks begin where the arc of a right angle ends.
const (
	hardTurn    = 35 * math.Pi / 180 // what a customer sees as a corner
	flankLength = 1.0                // in pitches
	flankSag    = 0.05               // no further from straight than this, in pitches
	arcSag      = 0.035              // or than this, where it begins beside the arc of a corner
	hardAlike   = 1e-3               // turns no more unlike than this, in radians, are one corner's
)

// hardCorners gives the hard corners of a closed track in order; of those nearer
// than half a flank the sharpest, along an arc its middle.
func (t track) hardCorners(pitch, arc float64) []bend {
	var turns []bend
	var from []float64 // the vertices that the turns were read at
	for _, s := range t.length[:len(t.length)-1] {
		turn := t.turnBetween(s, 0, pitch, flankSag)
		place := s
		if turn == 0 && arc > 0 {
			if turn = t.turnBetween(s, arc, pitch, arcSag); turn > hardTurn {
				place = t.crossing(s, arc, pitch)
			}
		}
		if turn > hardTurn {
			turns, from = append(turns, bend{place, turn}), append(from, s)
		}
	}
	out := t.sharpest(turns, from, flankLength*pitch/2)
	sort.Slice(out, func(i, j int) bool { return out[i].s < out[j].s })
	return out
}

// turnBetween gives the angle between the flanks that begin skip away from s, 0
// if one of them is not straight.
func (t track) turnBetween(s, skip, pitch, sag float64) float64 {
	l := flankLength * pitch
	if t.total() < 2*(skip+l) || !t.straight(s-skip-l, s-skip, sag*pitch) || !t.straight(s+skip, s+skip+l, sag*pitch) {
		return 0
	}
	in := t.loopAt(s - skip).Sub(t.loopAt(s - skip - l))
	on := t.loopAt(s + skip + l).Sub(t.loopAt(s + skip))
	return math.Abs(math.Atan2(in.Cross(on), in.Dot(on)))
}

// straight says whether a closed track stays within sag of the chord between two
// places.
func (t track) straight(s0, s1, sag float64) bool {
	from, to := t.loopAt(s0), t.loopAt(s1)
	along, total := to.Sub(from).Unit(), t.total()
	s0 = wrap(s0, total)
	s1 = s0 + wrap(s1-s0, total)
	for turn := 0.0; turn <= total; turn += total {
		for i := sort.SearchFloat64s(t.length, s0-turn); i < len(t.points) && t.length[i]+turn < s1; i++ {
			if d := t.points[i].Sub(from); math.Abs(along.Cross(d)) > sag || along.Dot(d) < -sag {
				return false
			}
		}
	}
	return true
}

// hairpin is the turn beyond which a path goes back beside itself, round the end of a
// narrow stroke: its flanks cross nowhere near, and the middle of the end is the corner.
const hairpin = 150 * math.Pi / 180

// crossing gives the place of the track within skip of s that is nearest to where
// the lines of the flanks beside it cross; round a hairpin, to the line between them.
func (t track) crossing(s, skip, pitch float64) float64 {
	l := flankLength * pitch
	a, b := t.loopAt(s-skip), t.loopAt(s+skip)
	in, on := a.Sub(t.loopAt(s-skip-l)), t.loopAt(s+skip+l).Sub(b)
	from := wrap(s-skip, t.total())
	part := t.cut(from, from+2*skip)
	if math.Abs(math.Atan2(in.Cross(on), in.Dot(on))) > hairpin {
		return wrap(from+part.beside(a.Lerp(b, 0.5), in.Unit().Sub(on.Unit())), t.total())
	}
	meet := a.Add(in.Mul(b.Sub(a).Cross(on) / in.Cross(on)))
	at, _ := part.nearest(meet)
	return wrap(from+at, t.total())
}

// beside gives the place of the track that is nearest to a line.
func (t track) beside(through, along geom.Point) float64 {
	best, least := 0.0, math.Inf(1)
	for i := 0; i+1 < len(t.points); i++ {
		from, to := along.Cross(t.points[i].Sub(through)), along.Cross(t.points[i+1].Sub(through))
		u := 0.0
		if from != to {
			u = math.Max(0, math.Min(1, from/(from-to)))
		}
		if far := math.Abs(from + u*(to-from)); far < least {
			best, least = t.length[i]+u*(t.length[i+1]-t.length[i]), far
		}
	}
	return best
}

// sharpest picks of turns in order along the track those that no other within
// reach exceeds; of a row of them that turn alike, the middle one, and of two rows the
// first along the track, by the vertices that they were read from.
func (t track) sharpest(turns []bend, from []float64, reach float64) []bend {
	places := make([]geom.Point, len(turns))
	for i, b := range turns {
		places[i] = t.at(b.s)
	}
	var out []bend
	for i := 0; i < len(turns); {
		j := i
		for j+1 < len(turns) && places[j+1].Dist(places[i]) < reach && math.Abs(turns[j+1].turn-turns[i].turn) < hardAlike {
			j++
		}
		best := true
		for k, o := range turns {
			more := o.turn > turns[i].turn+hardAlike || t.before(from[k], from[i]) && math.Abs(o.turn-turns[i].turn) <= hardAlike
			best = best && !((k < i || k > j) && more && places[k].Dist(places[i]) < reach)
		}
		if best {
			out = append(out, turns[(i+j)/2])
		}
		i = j + 1
	}
	return out
}

// before says whether one place of a closed track comes before another, the short way
// around: wherever the track begins.
func (t track) before(s, than float64) bool {
	ahead := wrap(than-s, t.total())
	return ahead > 0 && ahead <= t.total()/2
}
