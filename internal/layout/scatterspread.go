package layout

import (
	"container/heap"
	"context"
	"math"

	"brushfall/internal/geom"
)

// crowded is a heap of places, the one with the greatest weight on top: that with the
// closest neighbours, or in most trouble.
type crowded struct {
	weight []float64
	order  []int // places, as a heap
	at     []int // where each place is in order, −1 for one that is not
}

// init makes a heap of what order holds.
func (h *crowded) init() {
	for i := range h.at {
		h.at[i] = -1
	}
	for at, i := range h.order {
		h.at[i] = at
	}
	heap.Init(h)
}

// change gives a place another weight; what weighs nothing goes.
func (h *crowded) change(i int, weight float64) {
	switch h.weight[i] = weight; {
	case h.at[i] < 0:
	case weight > 0:
		heap.Fix(h, h.at[i])
	default:
		heap.Remove(h, h.at[i])
	}
}

func (h *crowded) Len() int { return len(h.order) }

func (h *crowded) Less(i, j int) bool {
	a, b := h.order[i], h.order[j]
	if h.weight[a] != h.weight[b] {
		return h.weight[a] > h.weight[b]
	}
	return a < b
}

func (h *crowded) Swap(i, j int) {
	h.order[i], h.order[j] = h.order[j], h.order[i]
	h.at[h.order[i]], h.at[h.order[j]] = i, j
}

// Push is of no use here: places only go.
func (h *crowded) Push(any) {}

func (h *crowded) Pop() any {
	last := h.order[len(h.order)-1]
	h.order = h.order[:len(h.order)-1]
	h.at[last] = -1
	return last
}

// crowding gives how much a neighbour at distance d counts that counts up to
// distance reach: (1 − d/reach)⁸, as Yuksel advises.
func crowding(d, reach float64) float64 {
	if d >= reach {
		return 0
	}
	u := 1 - d/reach
	u *= u
	u *= u
	return u * u
}

// cancelEvery is how many steps of a loop go by between two looks at the context.
const cancelEvery = 1 << 12

// thinOut takes the most crowded place away until n are left, which stay in order.
func (c *scatterer) thinOut(ctx context.Context, places []geom.Point, n int) ([]geom.Point, error) {
	if len(places) <= n {
		return places, ctx.Err()
	}
	// The distance of neighbours if the stones stood in a honeycomb, at density 1.
	reach := math.Sqrt(2 / math.Sqrt(3) * c.area * c.mean / math.Max(1, float64(n)))
	reaches := make([]float64, len(places))
	index := geom.NewIndex(geom.Bounds(places), reach)
	for i, p := range places {
		reaches[i] = reach / math.Sqrt(c.density(p))
		index.Insert(i, p)
	}
	// Of two places of unlike reach only one may see the other; then the weight is
	// next to nothing.
	between := func(i int, f func(j int, weight float64)) {
		index.Each(places[i], reaches[i], func(j int, q geom.Point) bool {
			if w := crowding(math.Sqrt(places[i].Dist2(q)), (reaches[i]+reaches[j])/2); j != i && w > 0 {
				f(j, w)
			}
			return true
		})
	}
	h := &crowded{weight: make([]float64, len(places)), order: make([]int, len(places)), at: make([]int, len(places))}
	for i, p := range places {
		h.order[i] = i
		between(i, func(_ int, w float64) { h.weight[i] += w })
		c.rowIndex.Each(p, reaches[i], func(_ int, q geom.Point) bool {
			h.weight[i] += crowding(p.Dist(q), reaches[i])
			return true
		})
	}
	h.init()
	for h.Len() > n {
		if h.Len()%cancelEvery == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		i := heap.Pop(h).(int)
		index.Remove(i)
		between(i, func(j int, w float64) {
			h.weight[j] -= w
			heap.Fix(h, h.at[j])
		})
	}
	var out []geom.Point
	for i, p := range places {
		if h.at[i] >= 0 {
			out = append(out, p)
		}
	}
	return out, ctx.Err()
}

// spreading says how places are pushed apart: to so many times the distances
// wished for, though at least to what the rules ask for, in at most so many rounds.
type spreading struct {
	wish   float64
	rounds int
}

// flock is places being pushed apart.
type flock struct {
	*scatterer
	spreading
	at     []geom.Point
	aim    []float64 // distance aimed at from others
	walled []bool
	pairs  [][2]int // of places
	stops  [][2]int // a place and a stone of the rows
}

// spread pushes places apart, as a crowd is pushed.
func (c *scatterer) spread(ctx context.Context, at []geom.Point, how spreading) error {
	f := &flock{scatterer: c, spreading: how, at: at, aim: make([]float64, len(at)), walled: make([]bool, len(at))}
	for round := range how.rounds {
		if round%pairRounds == 0 {
			if err := ctx.Err(); err != nil {
				return err
			}
			f.watch()
		}
		if f.push() < slack {
			break
		}
	}
	return ctx.Err()
}

// watch lists what is near enough to matter for the next rounds.
func (f *flock) watch() {
	f.pairs, f.stops = f.pairs[:0], f.stops[:0]
	if len(f.at) == 0 {
		return
	}
	index := geom.NewIndex(geom.Bounds(f.at), f.pitch)
	for i, p := range f.at {
		f.aim[i] = math.Max(f.pitch, f.spreading.wish*f.pitch/math.Sqrt(f.density(p)))
		f.walled[i] = f.outline.Within(p, f.depth+f.aim[i]/2)
		index.Each(p, scatterNeighbour*f.aim[i], func(j int, _ geom.Point) bool {
			f.pairs = append(f.pairs, [2]int{i, j})
			return true
		})
		f.rowIndex.Each(p, scatterNeighbour*f.aim[i]+f.rowReach, func(j int, _ geom.Point) bool {
			f.stops = append(f.stops, [2]int{i, j})
			return true
		})
		index.Insert(i, p)
	}
}

// push parts every pair once and gives the largest overlap met, in mm.
func (f *flock) push() float64 {
	worst := 0.0
	for _, pr := range f.pairs {
		keep := (f.aim[pr[0]]+f.aim[pr[1]])/2 + pushAim
		d := f.at[pr[0]].Sub(f.at[pr[1]])
		l2 := d.Len2()
		if l2 >= keep*keep || l2 == 0 {
			continue
		}
		l := math.Sqrt(l2)
		worst = max(worst, keep-l-pushAim)
		m := d.Mul(pushOver / 2 * (keep - l) / l)
		f.at[pr[0]], f.at[pr[1]] = f.at[pr[0]].Add(m), f.at[pr[1]].Sub(m)
	}
	for _, st := range f.stops {
		o := f.rows[st[1]]
		d := f.at[st[0]].Sub(o.at)
		l := d.Len()
		var move float64
		switch keep := o.reach + pushAim; {
		case l == 0:
			continue
		case l < keep:
			move = keep - l
			worst = max(worst, move-pushAim)
		default: // what is wished for gives way between two rows that are near
			move = scatterRowPush * math.Max(0, scatterRowKeep*f.aim[st[0]]-l)
		}
		f.at[st[0]] = f.at[st[0]].Add(d.Mul(move / l))
	}
	for i, w := range f.walled {
		if w {
			to := f.holdInside(f.at[i])
			worst = max(worst, to.Dist(f.at[i])-depthEase)
			f.at[i] = to
		}
	}
	return worst
}
