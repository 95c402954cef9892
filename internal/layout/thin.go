package layout

import (
	"math/bits"

	"brushfall/internal/geom"
)

// exactLimit is the size up to which a knot of stones that are too close to
// each other is solved exactly, and exactSteps the branchings that it may take.
const (
	exactLimit = 60
	exactSteps = 20_000
)

// thin drops the fewest stones from proposed rows such that no two are nearer
// than the pitch and none too near to stones already set; a corner counts for
// several others. Knots of conflict are solved exactly when small, else by
// taking away the stone with most conflicts until none are left.
func (s *site) thin(rows []candidate) []candidate {
	var kept []candidate
	for _, c := range rows {
		if s.clearOfOwn(c.at, -1) && s.clearOfOthers(c.at) {
			kept = append(kept, c)
		}
	}
	near := s.conflicts(kept)
	drop := make([]bool, len(kept))
	seen := make([]bool, len(kept))
	for i := range kept {
		if seen[i] || len(near[i]) == 0 {
			continue
		}
		knot := component(near, i, seen)
		stay := bestOf(knot, near, kept)
		for _, j := range knot {
			drop[j] = !stay[j]
		}
	}
	out := kept[:0]
	for i, c := range kept {
		if !drop[i] {
			out = append(out, c)
		}
	}
	return out
}

// conflicts lists for each candidate the others nearer than the pitch.
func (s *site) conflicts(rows []candidate) [][]int {
	near := make([][]int, len(rows))
	if len(rows) == 0 {
		return near
	}
	box := geom.EmptyBox()
	for _, c := range rows {
		box = box.Extend(c.at)
	}
	index := geom.NewIndex(box, s.pitch)
	for i, c := range rows {
		index.Each(c.at, s.pitch, func(j int, q geom.Point) bool {
			if c.at.Dist(q) < s.pitch {
				near[i], near[j] = append(near[i], j), append(near[j], i)
			}
			return true
		})
		index.Insert(i, c.at)
	}
	return near
}

// component gathers what hangs together with i.
func component(near [][]int, i int, seen []bool) []int {
	seen[i] = true
	knot := []int{i}
	for k := 0; k < len(knot); k++ {
		for _, j := range near[knot[k]] {
			if !seen[j] {
				seen[j] = true
				knot = append(knot, j)
			}
		}
	}
	return knot
}

// worth weighs a candidate: a corner is worth several stones between corners.
func worth(c candidate) int {
	if c.pin {
		return 40
	}
	return 10
}

// bestOf gives the members of a knot that stay: the set of most worth without a
// conflict, by branching on the most troubled stone; knots too large or too
// tangled for that are peeled.
func bestOf(knot []int, near [][]int, rows []candidate) map[int]bool {
	if len(knot) > exactLimit {
		return peel(knot, near, rows)
	}
	place := map[int]int{}
	for k, i := range knot {
		place[i] = k
	}
	g := knotGraph{masks: make([]uint64, len(knot)), worth: make([]int, len(knot)), steps: exactSteps}
	for k, i := range knot {
		g.worth[k] = worth(rows[i])
		for _, j := range near[i] {
			g.masks[k] |= 1 << place[j]
		}
	}
	_, set := g.best(1<<len(knot) - 1)
	if g.steps <= 0 {
		return peel(knot, near, rows)
	}
	stay := map[int]bool{}
	for k, i := range knot {
		stay[i] = set&(1<<k) != 0
	}
	return stay
}

// knotGraph is a knot as bits: masks[k] are the rivals of stone k.
type knotGraph struct {
	masks []uint64
	worth []int
	steps int // branchings left
}

// best gives the worthiest set without rivals among the open stones. A stone
// without rivals stays, and so does one with a single rival of no more worth.
func (g *knotGraph) best(open uint64) (sum int, set uint64) {
	for again := true; again; {
		again = false
		for rest := open; rest != 0; rest &= rest - 1 {
			k := bits.TrailingZeros64(rest)
			rivals := g.masks[k] & open
			n := bits.OnesCount64(rivals)
			if n == 0 || (n == 1 && g.worth[k] >= g.worth[bits.TrailingZeros64(rivals)]) {
				sum, set = sum+g.worth[k], set|1<<k
				open &^= 1<<k | rivals
				again = true
				break
			}
		}
	}
	if g.steps--; open == 0 || g.steps <= 0 {
		return sum, set
	}
	pick, most := 0, -1
	for rest := open; rest != 0; rest &= rest - 1 {
		k := bits.TrailingZeros64(rest)
		if n := bits.OnesCount64(g.masks[k] & open); n > most {
			pick, most = k, n
		}
	}
	with, withSet := g.best(open &^ (1<<pick | g.masks[pick]))
	with += g.worth[pick]
	without, withoutSet := g.best(open &^ (1 << pick))
	if with >= without {
		return sum + with, set | withSet | 1<<pick
	}
	return sum + without, set | withoutSet
}

// peel takes away the candidate with most conflicts for its worth until none is left.
func peel(knot []int, near [][]int, rows []candidate) map[int]bool {
	stay := map[int]bool{}
	degree := map[int]int{}
	for _, i := range knot {
		stay[i], degree[i] = true, len(near[i])
	}
	for {
		worst, score := -1, 0.0
		for _, i := range knot {
			if v := float64(degree[i]) / float64(worth(rows[i])); stay[i] && v > score {
				worst, score = i, v
			}
		}
		if worst < 0 {
			break
		}
		stay[worst], degree[worst] = false, 0
		for _, j := range near[worst] {
			if stay[j] {
				degree[j]--
			}
		}
	}
	for _, i := range knot { // a stone that lost all its rivals comes back
		if !stay[i] && lone(i, near, stay) {
			stay[i] = true
		}
	}
	return stay
}

func lone(i int, near [][]int, stay map[int]bool) bool {
	for _, j := range near[i] {
		if stay[j] {
			return false
		}
	}
	return true
}
