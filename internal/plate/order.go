package plate

import (
	"cmp"
	"math"
	"slices"

	"brushfall/internal/design"
)

// inBrushingOrder renumbers the plates. While plate 2 is brushed the stones of
// plate 1 hang under the tape; when it is folded down they come to lie on the
// face of plate 2 and hold the tape off it by their height. So low stones are
// lifted first: they hold the tape off least, and the tall ones that come last
// stand up to meet it. Between plates of one height the one with fewer stones
// goes first, as fewer stones hold the tape off and fewer go through a second
// lift. (Reasoned from the hinge method, which is common practice; no published
// source.) A plate's height is its tallest stone's.
func (w *work) inBrushingOrder(on []int, count int) []int {
	tall := make([]float64, count)
	low := make([]float64, count)
	stones := make([]int, count)
	order := make([]int, count)
	for p := range order {
		order[p] = p
		low[p] = math.Inf(1)
	}
	for s, p := range on {
		h := w.kinds[w.kindOf[s]].Height
		tall[p] = max(tall[p], h)
		low[p] = min(low[p], h)
		stones[p]++
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(tall[a], tall[b]), cmp.Compare(low[a], low[b]), cmp.Compare(stones[a], stones[b]))
	})
	rank := make([]int, count)
	for r, p := range order {
		rank[p] = r
	}
	out := make([]int, len(on))
	for s, p := range on {
		out[s] = rank[p]
	}
	return out
}

// plates builds the plates: their holes in the stones' order, the kinds in the
// order of brushing, all in one frame.
func (w *work) plates(on []int, count int) []design.Plate {
	frame := w.frame(count)
	out := make([]design.Plate, count)
	kinds := make([][]int, count)
	for p := range out {
		out[p] = design.Plate{Number: p + 1, Frame: frame, Notch: notch(frame), Nicks: nicks(frame, p+1)}
	}
	for i, s := range w.stones {
		p := on[i]
		out[p].Holes = append(out[p].Holes, design.Hole{X: s.X, Y: s.Y, D: w.hole(i)})
		kinds[p] = append(kinds[p], w.kindOf[i])
	}
	for p := range out {
		slices.Sort(kinds[p])
		kinds[p] = slices.Compact(kinds[p])
		slices.SortStableFunc(kinds[p], func(a, b int) int { return cmp.Compare(w.kinds[b].Diameter, w.kinds[a].Diameter) })
		out[p].Order = w.labels(kinds[p])
	}
	return out
}
