package inspect

import (
	"math"
	"math/bits"

	"brushfall/internal/geom"
)

// reachSides is the number of sides of the polygon round the circle of places
// that hold a corner: it lies outside the circle by less than 0.5 % of it.
const reachSides = 32

// mostHeld gives how many of the corners of a rim's path can hold a stone at
// once, or a number no less than that: the largest set of corners of which no two
// are rivals. Two are rivals if no two places of the allowed set, each within
// reach of its corner, are a pitch apart. Groups of rivals are solved exactly;
// in one of more than 64 corners each counts for itself. Stones are of the
// region's own size.
func mostHeld(corners []geom.Point, allowed geom.Shape, pitch float64) int {
	rivals := make([][]int, len(corners))
	for i := range corners {
		for j := range i {
			if rival(corners[i], corners[j], allowed, pitch) {
				rivals[i], rivals[j] = append(rivals[i], j), append(rivals[j], i)
			}
		}
	}
	sum := 0
	seen := make([]bool, len(corners))
	for i := range corners {
		if group := reached(rivals, i, seen); len(group) > 64 {
			sum += len(group)
		} else {
			sum += mostApart(group, rivals)
		}
	}
	return sum
}

// rival says whether no two stones can hold both corners.
func rival(a, b geom.Point, allowed geom.Shape, pitch float64) bool {
	reach := cornerReach * pitch
	d := a.Dist(b)
	if d >= pitch-GapTolerance || d+2*reach < pitch {
		return d < pitch-GapTolerance
	}
	// The furthest places of two areas are vertices of their outlines.
	for _, p := range placesNear(a, allowed, reach) {
		for _, q := range placesNear(b, allowed, reach) {
			if p.Dist(q) >= pitch-GapTolerance {
				return false
			}
		}
	}
	return true
}

// placesNear gives the vertices of what an allowed set holds within reach of a
// corner, and the corner itself. An open line has no area: there it is all
// places of the polygon round it.
func placesNear(corner geom.Point, allowed geom.Shape, reach float64) []geom.Point {
	ring := make(geom.Ring, reachSides)
	for i := range ring {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / reachSides)
		ring[i] = corner.Add(geom.Point{X: cos, Y: sin}.Mul(reach / math.Cos(math.Pi/reachSides)))
	}
	if allowed.Empty() {
		return ring
	}
	out := []geom.Point{corner}
	for _, r := range geom.Intersect(allowed, geom.Fill([]geom.Ring{ring}, geom.NonZero)).Rings {
		out = append(out, r...)
	}
	return out
}

// reached gathers the unseen members of the group that i belongs to.
func reached(rivals [][]int, i int, seen []bool) []int {
	if seen[i] {
		return nil
	}
	seen[i] = true
	group := []int{i}
	for k := 0; k < len(group); k++ {
		for _, j := range rivals[group[k]] {
			if !seen[j] {
				seen[j] = true
				group = append(group, j)
			}
		}
	}
	return group
}

// mostApart gives the size of the largest part of a group without rivals.
func mostApart(group []int, rivals [][]int) int {
	place := map[int]int{}
	for k, i := range group {
		place[i] = k
	}
	g := rivalGraph{masks: make([]uint64, len(group)), steps: branchings}
	for k, i := range group {
		for _, j := range rivals[i] {
			g.masks[k] |= 1 << place[j]
		}
	}
	return g.largest(^uint64(0) >> (64 - len(group)))
}

// branchings bounds the search in one group; beyond it the members that are left
// count for themselves.
const branchings = 100_000

// rivalGraph is a group as bits: masks[k] are the rivals of member k.
type rivalGraph struct {
	masks []uint64
	steps int // branchings left
}

// largest gives the size of the largest part of the open members without rivals:
// a member with one rival or none is always in one of them, else the search
// branches on the member with most.
func (g *rivalGraph) largest(open uint64) int {
	pick, most := -1, -1
	for rest := open; rest != 0; rest &= rest - 1 {
		k := bits.TrailingZeros64(rest)
		n := bits.OnesCount64(g.masks[k] & open)
		if n <= 1 {
			return 1 + g.largest(open&^(g.masks[k]|1<<k))
		}
		if n > most {
			pick, most = k, n
		}
	}
	if g.steps--; pick < 0 || g.steps < 0 {
		return bits.OnesCount64(open)
	}
	with := 1 + g.largest(open&^(g.masks[pick]|1<<pick))
	return max(with, g.largest(open&^(1<<pick)))
}

// CanSpace says whether a whole number of equal steps could give the run a mean
// step from least to most pitches: always, unless both its ends hold a corner, or
// are one, and so stay where they are.
func (r Run) CanSpace(least, most float64) bool {
	if !r.Pinned[0] || !r.Pinned[1] {
		return !r.loop() || wholeSteps(r.length(), least, most)
	}
	return wholeSteps(r.length(), least, most)
}

// length gives the way along the run's stones, in pitches.
func (r Run) length() float64 { return r.Spacing * float64(r.Stones-1) }

// loop says whether the run is a whole loop.
func (r Run) loop() bool { return len(r.Places) > 0 && r.Places[0] == r.Places[len(r.Places)-1] }

// wholeSteps says whether a length is a whole number of steps from least to most.
func wholeSteps(length, least, most float64) bool {
	return math.Floor(length/least) >= math.Ceil(length/most)
}
