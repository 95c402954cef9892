package layout

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Pattern names a way in which stones share colours.
type Pattern int

// The patterns.
const (
	Plain    Pattern = iota // the first colour for all
	Along                   // the colours in turn along each row; stones in no row keep theirs
	ByRow                   // a colour a row, in turn, the outermost row first
	Gradient                // from the first colour to the last, mixed in between
	Random                  // drawn by lot, in given shares
)

// Coat is one pattern over the stones of some roles. It moves no stone.
type Coat struct {
	Roles   []design.Role // nil: every role
	Pattern Pattern
	Colours []string  // at least one; for Along and ByRow one may stand several times
	Shares  []float64 // of each colour, for Random; only their proportions count
	Seed    uint64    // for Random
	Towards float64   // for Gradient: its direction, in radians clockwise on the page from rightwards
	Outward bool      // for Gradient: from the middle outwards instead
}

// wears says whether the coat is for the stone.
func (c Coat) wears(s design.Stone) bool { return c.Roles == nil || slices.Contains(c.Roles, s.Role) }

// Row is a row of stones as they were set: their places in a list of stones, in
// order. Level counts rows inwards, or across, from 0 at the rim; rows of one
// level, as those of an outer and an inner rim, belong together.
type Row struct {
	Stones []int
	Level  int
	Closed bool
}

// Paint gives stones the colours of the first coat that is for their role, and
// leaves the others as they are. The stones are of one region and size; pitch is
// their least distance. The same stones get the same colours.
func Paint(stones []design.Stone, rows []Row, pitch float64, coats []Coat) {
	painted := make([]bool, len(stones))
	for _, c := range coats {
		var wearers []int
		for i, s := range stones {
			if !painted[i] && c.wears(s) {
				painted[i] = true
				wearers = append(wearers, i)
			}
		}
		if len(wearers) == 0 || len(c.Colours) == 0 {
			continue
		}
		switch c.Pattern {
		case Plain:
			for _, i := range wearers {
				stones[i].Colour = c.Colours[0]
			}
		case Along:
			c.paintAlong(stones, wearers, rows)
		case ByRow:
			c.paintRows(stones, wearers, rows, pitch)
		case Gradient:
			c.paintGradient(stones, wearers, pitch)
		case Random:
			c.paintRandom(stones, wearers)
		}
	}
}

// paintAlong gives each row the colours in turn. A stone of two rows, as at a
// joint, has its colour from the first.
func (c Coat) paintAlong(stones []design.Stone, wearers []int, rows []Row) {
	open := make([]bool, len(stones))
	for _, i := range wearers {
		open[i] = true
	}
	for _, r := range rows {
		var row []int
		for _, i := range r.Stones {
			if open[i] {
				open[i] = false
				row = append(row, i)
			}
		}
		for k, i := range row {
			stones[i].Colour = c.Colours[turnOf(k, len(row), len(c.Colours), r.Closed)]
		}
	}
}

// turnOf says which colour of a period the k-th of n stones of a row has. A
// closed row has whole periods, as many as go into it, so that none is cut off
// where it closes; the stones left over are spread out around it, each the double
// of another.
func turnOf(k, n, period int, closed bool) int {
	if !closed || n < period {
		return k % period
	}
	return k * (n / period) % n * period / n
}

// paintRows gives each level of rows a colour. The stones of a bed without rows
// are one level further in than the rim; single stones among rows are of the
// level of the nearest one.
func (c Coat) paintRows(stones []design.Stone, wearers []int, rows []Row, pitch float64) {
	level := levels(stones, wearers, rows, pitch)
	first := math.MaxInt
	for _, i := range wearers {
		first = min(first, level[i])
	}
	for _, i := range wearers {
		stones[i].Colour = c.Colours[(level[i]-first)%len(c.Colours)]
	}
}

// levels gives the level of each of the wearers, by their place in stones.
func levels(stones []design.Stone, wearers []int, rows []Row, pitch float64) []int {
	const none = -1
	level := make([]int, len(stones))
	for i := range level {
		level[i] = none
	}
	bedded := false
	box := geom.EmptyBox()
	for _, r := range rows {
		for _, i := range r.Stones {
			if level[i] == none {
				level[i] = r.Level
			}
			bedded = bedded || stones[i].Role == design.RoleBed
			box = box.Extend(geom.Point{X: stones[i].X, Y: stones[i].Y})
		}
	}
	rowed := geom.NewIndex(box, pitch)
	for i, l := range level {
		if l != none {
			rowed.Insert(i, geom.Point{X: stones[i].X, Y: stones[i].Y})
		}
	}
	for _, i := range wearers {
		if level[i] != none {
			continue
		}
		level[i] = 1
		if bedded || stones[i].Role != design.RoleBed {
			if near, _, ok := rowed.Nearest(geom.Point{X: stones[i].X, Y: stones[i].Y}, math.Inf(1), -1); ok {
				level[i] = level[near]
			}
		}
	}
	return level
}

// paintRandom draws lots. Regions of other names get other lots of one seed.
func (c Coat) paintRandom(stones []design.Stone, wearers []int) {
	name := fnv.New64a()
	name.Write([]byte(stones[wearers[0]].Region))
	rnd := rand.New(rand.NewPCG(c.Seed, name.Sum64()))
	order := rnd.Perm(len(wearers))
	k := 0
	for colour, n := range Split(len(wearers), c.Shares) {
		for range n {
			stones[wearers[order[k]]].Colour = c.Colours[colour]
			k++
		}
	}
}

// Split shares n out in the proportions of shares, none negative and one at
// least positive: each part is its exact share rounded up or down, and the
// rounding up goes where most would be lost, the earlier first (the method of the
// largest remainder, of Hamilton and Hare).
func Split(n int, shares []float64) []int {
	sum := 0.0
	for _, s := range shares {
		sum += s
	}
	parts := make([]int, len(shares))
	rest := make([]float64, len(shares))
	order := make([]int, len(shares))
	left := n
	for i, s := range shares {
		exact := float64(n) * s / sum
		parts[i] = int(math.Floor(exact))
		rest[i], order[i] = exact-float64(parts[i]), i
		left -= parts[i]
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case rest[a] > rest[b]:
			return -1
		case rest[a] < rest[b]:
			return 1
		}
		return 0
	})
	for _, i := range order[:min(left, len(order))] {
		parts[i]++
	}
	return parts
}
