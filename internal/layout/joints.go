package layout

import (
	"math"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// joint is a place where a line meets or crosses another, or itself: one stone there
// serves both, and the rows on both sides of it are even.
type joint struct {
	at geom.Point
	on []jointPlace
}

// jointPlace is where on a line a joint is.
type jointPlace struct {
	line int
	s    float64
}

const (
	// jointNear is how far, in pitches, a line may end from another that it is drawn
	// to end on.
	jointNear = 0.15
	// jointStretch is the longest mean step, in pitches, that rows may get for a
	// stone at a joint; with a longer one the gap beside it is worse than rows that
	// pass each other as they come.
	jointStretch = 1.34
	// mostJointed bounds the points of the lines whose joints are sought, which takes
	// time by their square: those of a letter have a hundred, of an ornament a thousand.
	mostJointed = 3000
)

// joinLines sets a stone on each joint that the rows can take, and gives for each line
// where on it they are.
func (s *site) joinLines(tracks []track, loops []bool) [][]float64 {
	out := make([][]float64, len(tracks))
	n := 0
	for _, t := range tracks {
		n += len(t.points)
	}
	if n > mostJointed {
		return out
	}
	stops := make([][]float64, len(tracks))
	for i, t := range tracks {
		switch {
		case len(t.points) < 2:
		case loops[i]:
			stops[i] = t.pins(s.pitch, 0, false)
		default:
			stops[i] = slices.Concat([]float64{0, t.total()}, t.openCorners(s.pitch))
		}
	}
	for _, j := range slices.Concat(s.meetings(tracks, loops), lineCrossings(tracks)) {
		at := round(j.at)
		fits := s.clearOfOwn(at, -1) && s.clearOfOthers(at)
		for _, p := range j.on {
			fits = fits && s.takesJoint(tracks[p.line], loops[p.line], stops[p.line], p.s)
		}
		if !fits {
			continue
		}
		s.put(at, design.RoleSpine)
		for _, p := range j.on {
			stops[p.line] = append(stops[p.line], p.s)
			out[p.line] = append(out[p.line], p.s)
		}
	}
	return out
}

// takesJoint says whether a line with some stops can have one more at a place: on both
// sides of it whole steps must fit about as they did before. At an end, or a corner,
// there is one anyway.
func (s *site) takesJoint(t track, loop bool, stops []float64, at float64) bool {
	before, after := math.Inf(1), math.Inf(1)
	for _, v := range stops {
		d := v - at
		if loop {
			d = wrap(d, t.total())
			after, before = math.Min(after, d), math.Min(before, t.total()-d)
		} else if d >= 0 {
			after = math.Min(after, d)
		} else {
			before = math.Min(before, -d)
		}
		if math.Abs(v-at) < grid {
			return true
		}
	}
	for _, d := range []float64{before, after} {
		steps := math.Floor(d / s.pitch)
		if steps == 0 || d/steps > jointStretch*s.pitch {
			return false
		}
	}
	return true
}

// meetings lists where lines end on others or on themselves, and where a corner of a
// line touches another stretch of it.
func (s *site) meetings(tracks []track, loops []bool) []joint {
	var out []joint
	for i, t := range tracks {
		if len(t.points) < 2 || loops[i] {
			continue
		}
		ends := []float64{0, t.total()}
		for _, v := range slices.Concat(ends, t.openCorners(s.pitch)) {
			if on, ok := t.touches(v, s.pitch); ok {
				out = append(out, joint{t.loopEnd(v), []jointPlace{{i, on}}})
			}
		}
		for _, v := range ends {
			at := t.loopEnd(v)
			for k, other := range tracks {
				if k == i || len(other.points) < 2 {
					continue
				}
				if on, far := other.nearest(at); far <= jointNear*s.pitch {
					out = append(out, joint{at, []jointPlace{{k, on}}})
				}
			}
		}
	}
	return out
}

// touches gives the place where another stretch of the track, more than two pitches
// along it, passes the place at v.
func (t track) touches(v, pitch float64) (float64, bool) {
	p := t.loopEnd(v)
	best, at := jointNear*pitch, -1.0
	for i := 1; i < len(t.points); i++ {
		if t.length[i] > v-2*pitch && t.length[i-1] < v+2*pitch {
			continue
		}
		a, b := t.points[i-1], t.points[i]
		u := math.Max(0, math.Min(1, p.Sub(a).Dot(b.Sub(a))/b.Sub(a).Len2()))
		if d := p.Dist(a.Lerp(b, u)); d < best {
			best, at = d, t.length[i-1]+u*(t.length[i]-t.length[i-1])
		}
	}
	return at, at >= 0
}

// lineCrossings lists where lines cross each other and themselves, away from their ends.
func lineCrossings(tracks []track) []joint {
	var out []joint
	boxes := make([]geom.Box, len(tracks))
	for i, t := range tracks {
		boxes[i] = geom.Bounds(t.points)
	}
	for i, a := range tracks {
		for k := i; k < len(tracks); k++ {
			if !boxes[i].Overlaps(boxes[k]) {
				continue
			}
			b := tracks[k]
			for m := 1; m < len(a.points); m++ {
				first := 1
				if k == i {
					first = m + 2
				}
				for n := first; n < len(b.points); n++ {
					if u, v, ok := crossing(a.points[m-1], a.points[m], b.points[n-1], b.points[n]); ok {
						out = append(out, joint{a.points[m-1].Lerp(a.points[m], u), []jointPlace{
							{i, a.length[m-1] + u*(a.length[m]-a.length[m-1])}, {k, b.length[n-1] + v*(b.length[n]-b.length[n-1])},
						}})
					}
				}
			}
		}
	}
	return out
}

// crossing gives the shares of two segments at which they cross, if they do inside both.
func crossing(a, b, c, d geom.Point) (u, v float64, ok bool) {
	r, q, w := b.Sub(a), d.Sub(c), c.Sub(a)
	den := r.Cross(q)
	if den == 0 {
		return 0, 0, false
	}
	u, v = w.Cross(q)/den, w.Cross(r)/den
	return u, v, u > 0 && u < 1 && v > 0 && v < 1
}
