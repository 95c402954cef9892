package geom

import (
	"math"
	"slices"
)

// merge makes one node of two junctions whose arc is shorter than the share of
// the larger radius, the shortest arc first; and of the two ends of a line
// that is no more than noise, as in a square.
func (sk *Skeleton) merge(share float64) {
	for {
		degree := make([]int, len(sk.Nodes))
		for _, a := range sk.Arcs {
			degree[a.From]++
			degree[a.To]++
		}
		best, least := -1, math.Inf(1)
		for i, a := range sk.Arcs {
			l := Line(a.Points).Length()
			r := max(sk.Nodes[a.From].Radius, sk.Nodes[a.To].Radius)
			junctions := degree[a.From] > 2 && degree[a.To] > 2 && l <= share*r
			dot := degree[a.From] == 1 && degree[a.To] == 1 && l <= noiseShare*r
			if a.From != a.To && (junctions || dot) && l < least {
				best, least = i, l
			}
		}
		if best < 0 {
			return
		}
		sk.join(best)
	}
}

// join takes an arc away and makes one node of its two, in the arc's middle.
func (sk *Skeleton) join(arc int) {
	gone := sk.Arcs[arc]
	keep, lose := min(gone.From, gone.To), max(gone.From, gone.To)
	middle := resample(gone.Points, 2)[1]
	sk.Nodes[keep].Point = middle
	sk.Nodes[keep].Radius = max(sk.Nodes[keep].Radius, sk.Nodes[lose].Radius)
	sk.Nodes = slices.Delete(sk.Nodes, lose, lose+1)
	sk.Arcs = slices.Delete(sk.Arcs, arc, arc+1)
	rename := func(n int) int {
		switch {
		case n == lose:
			return keep
		case n > lose:
			return n - 1
		}
		return n
	}
	for i := range sk.Arcs {
		a := &sk.Arcs[i]
		a.From, a.To = rename(a.From), rename(a.To)
		if a.From == keep {
			a.Points[0] = middle
		}
		if a.To == keep {
			a.Points[len(a.Points)-1] = middle
		}
	}
}

// resample gives n+1 points at equal steps along a line.
func resample(line []Point, n int) []Point {
	total := Line(line).Length()
	out := []Point{line[0]}
	way, i := 0.0, 1
	for k := 1; k < n; k++ {
		want := total * float64(k) / float64(n)
		for i < len(line)-1 && way+line[i-1].Dist(line[i]) < want {
			way += line[i-1].Dist(line[i])
			i++
		}
		share := 0.0
		if l := line[i-1].Dist(line[i]); l > 0 {
			share = min(1, (want-way)/l)
		}
		out = append(out, line[i-1].Lerp(line[i], share))
	}
	return append(out, line[len(line)-1])
}

// Smoothing by Taubin (SIGGRAPH 1995): rounds of a step towards the middle of
// the neighbours and a slightly larger one back, which damps zigzag and leaves
// bends their size; never further than smoothShare of the radius from the axis.
const (
	smoothRounds  = 4
	smoothTowards = 0.5
	smoothBack    = -0.53
	smoothShare   = 0.02
)

// smooth gives the points of an arc at equal steps, without the small zigzag
// that is left of the sampling.
func smooth(a SkeletonArc, step float64, outline *Boundary) []Point {
	n := max(2, int(math.Ceil(Line(a.Points).Length()/step)))
	axis := resample(a.Points, n)
	now := slices.Clone(axis)
	for range smoothRounds {
		now = towardsMiddle(now, smoothTowards, a.Closed)
		now = towardsMiddle(now, smoothBack, a.Closed)
	}
	for i, p := range axis {
		limit := smoothShare * outline.Nearest(p).Dist
		if d := now[i].Dist(p); d > limit {
			now[i] = p.Lerp(now[i], limit/d)
		}
	}
	return now
}

// towardsMiddle moves each point by a share of the way to the middle of its
// neighbours; the ends of an open line stay.
func towardsMiddle(line []Point, share float64, closed bool) []Point {
	out := slices.Clone(line)
	n := len(line) - 1
	for i := range line {
		before, after := i-1, i+1
		if i == 0 || i == n {
			if !closed {
				continue
			}
			before, after = n-1, 1
		}
		out[i] = line[i].Lerp(line[before].Lerp(line[after], 0.5), share)
	}
	return out
}

// extendEnds carries each end on along its tangent until the outline is d away.
func (sk *Skeleton) extendEnds(d, step float64, outline *Boundary) {
	degree := make([]int, len(sk.Nodes))
	for _, a := range sk.Arcs {
		degree[a.From]++
		degree[a.To]++
	}
	for i := range sk.Arcs {
		a := &sk.Arcs[i]
		if degree[a.To] == 1 {
			a.Points = extend(a.Points, d, step, outline)
			sk.Nodes[a.To].Point = a.Points[len(a.Points)-1]
		}
		if degree[a.From] == 1 {
			slices.Reverse(a.Points)
			a.Points = extend(a.Points, d, step, outline)
			slices.Reverse(a.Points)
			sk.Nodes[a.From].Point = a.Points[0]
		}
	}
}

// Extension: extendError ends the march, extendRounds bounds it. The tangent
// is taken over tangentShare of the radius, and over twice that to see how the
// line bends, if it bends by less than tangentBend radians.
const (
	extendError  = 1e-6
	extendRounds = 64
	tangentShare = 0.75
	tangentBend  = 0.3
)

// tangent gives the direction of a line at its end. A chord lags behind by half
// of the bend over its length.
func tangent(line []Point, l float64) Point {
	near, far := chord(line, l), chord(line, 2*l)
	if math.Abs(near.Cross(far)) > tangentBend {
		return near
	}
	return near.Mul(2).Sub(far).Unit()
}

// chord gives the direction to the end of a line from the last point at least
// l away.
func chord(line []Point, l float64) Point {
	end := line[len(line)-1]
	back := len(line) - 1
	for back > 0 && line[back].Dist(end) < l {
		back--
	}
	return end.Sub(line[back]).Unit()
}

// extend carries a line on from its last point, inside, until the outline is d
// away: by steps that cannot pass it, each as long as the distance left.
func extend(line []Point, d, step float64, outline *Boundary) []Point {
	end := line[len(line)-1]
	along := tangent(line, tangentShare*outline.Nearest(end).Dist)
	way := 0.0
	for i := 0; i < extendRounds && along != (Point{}); i++ {
		left := outline.Depth(end.Add(along.Mul(way))) - d
		if left <= extendError {
			break
		}
		way += left
	}
	n := int(math.Ceil(way / step))
	for k := 1; k <= n; k++ {
		line = append(line, end.Add(along.Mul(way*float64(k)/float64(n))))
	}
	return line
}
