package layout

import (
	"cmp"
	"math"
	"slices"

	"brushfall/internal/geom"
)

// stopsByHand puts the stones set by hand that stand on a row's path among its
// corners: the row is evened out from them. A corner too near to one is none.
func (s *site) stopsByHand(t track, pins []float64) []float64 {
	var stops []float64
	for _, o := range s.hand {
		if at, far := t.nearest(o.at); far <= rimEase && o.reach <= s.pitch+slack {
			stops = append(stops, at)
			pins = slices.DeleteFunc(slices.Clone(pins), func(pin float64) bool { return t.at(pin).Dist(o.at) < o.reach })
		}
	}
	pins = append(stops, pins...)
	slices.Sort(pins)
	return pins
}

// shadowsByHand adds to the stretches that a row leaves out those that come too
// near to stones set by hand beside its path, or larger than its own.
func (s *site) shadowsByHand(t track, left []stretch) []stretch {
	total := t.total()
	for _, o := range s.hand {
		if _, far := t.nearest(o.at); far >= o.reach || far <= rimEase && o.reach <= s.pitch+slack {
			continue
		}
		left = append(left, t.within(o.at, o.reach+slack, s.pitch)...)
	}
	return joined(left, total)
}

// within gives the stretches of a closed track nearer to a point than reach.
func (t track) within(p geom.Point, reach, pitch float64) []stretch {
	total := t.total()
	n := max(int(total/(narrowStep*pitch)), 8)
	step := total / float64(n)
	near := func(v float64) bool { return t.loopAt(v).Dist(p) < reach }
	flags := make([]bool, n)
	for i := range n {
		flags[i] = near(step * float64(i))
	}
	if !slices.Contains(flags, false) {
		return []stretch{{0, total}}
	}
	out := stretches(flags, total)
	edge := func(in, out float64) float64 {
		for range chordSteps {
			if mid := (in + out) / 2; near(mid) {
				in = mid
			} else {
				out = mid
			}
		}
		return out
	}
	for i, st := range out {
		out[i] = stretch{wrap(edge(st.from, st.from-step), total), wrap(edge(st.to, st.to+step), total)}
	}
	return out
}

// joined merges stretches of a loop that overlap.
func joined(all []stretch, total float64) []stretch {
	var flat []stretch
	for _, st := range all {
		if st == (stretch{0, total}) {
			return []stretch{st}
		}
		if st.to < st.from {
			flat = append(flat, stretch{0, st.to})
			st.to = total
		}
		flat = append(flat, st)
	}
	slices.SortFunc(flat, func(a, b stretch) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) })
	var out []stretch
	for _, st := range flat {
		if n := len(out); n > 0 && st.from <= out[n-1].to {
			out[n-1].to = math.Max(out[n-1].to, st.to)
			continue
		}
		out = append(out, st)
	}
	if n := len(out); n > 1 && out[0].from == 0 && out[n-1].to == total {
		out[0].from = out[n-1].from
		out = out[:n-1]
	}
	return out
}

// splitByHand cuts spines at the stones set by hand that stand in their way, so
// that each part is evened out by itself.
func (s *site) splitByHand(spines []spine) []spine {
	for _, o := range s.hand {
		var out []spine
		for _, sp := range spines {
			out = append(out, sp.splitAt(o)...)
		}
		spines = out
	}
	return spines
}

// splitAt cuts a spine at its point nearest to a stone that is in its way; a
// closed one becomes one open part.
func (sp spine) splitAt(o foreign) []spine {
	near, dist := 0, math.Inf(1)
	points, radii := sp.track.points, sp.radii
	if n := len(points) - 1; sp.isClosed && n > 0 && points[0] == points[n] {
		points, radii = points[:n], radii[:n]
	}
	for i, p := range points {
		if d := p.Dist(o.at); d < dist {
			near, dist = i, d
		}
	}
	if dist >= o.reach {
		return []spine{sp}
	}
	if sp.isClosed {
		points = slices.Concat(points[near:], points[:near+1])
		radii = slices.Concat(radii[near:], radii[:near+1])
		return []spine{{track: newTrack(points, false), radii: radii, node: [2]int{-1, -1}}}
	}
	if near == 0 || near == len(points)-1 {
		return []spine{sp}
	}
	return []spine{
		{track: newTrack(points[:near+1], false), radii: radii[:near+1], pinned: [2]bool{sp.pinned[0], false}, node: [2]int{sp.node[0], -1}},
		{track: newTrack(points[near:], false), radii: radii[near:], pinned: [2]bool{false, sp.pinned[1]}, node: [2]int{-1, sp.node[1]}},
	}
}

// lineStops puts the stones set by hand on a line among its corners.
func (s *site) lineStops(t track, corners []float64) []float64 {
	for _, o := range s.hand {
		at, far := t.nearest(o.at)
		if far >= o.reach {
			continue
		}
		corners = slices.DeleteFunc(slices.Clone(corners), func(v float64) bool { return t.at(v).Dist(o.at) < o.reach })
		if far <= rimEase && at > narrowStep*s.pitch && at < t.total()-narrowStep*s.pitch {
			corners = append(corners, at)
		}
	}
	slices.Sort(corners)
	return corners
}
