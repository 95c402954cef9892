package plate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"brushfall/internal/design"
)

// inBrushingOrder renumbers the plates. While plate 2 is brushed the stones of
// plate 1 hang under the tape; when it is folded down they come to lie on the
// face of plate 2 and hold the tape off it by their height. So the order is the
// one whose worst step is least: the height of a stone already lifted over that
// of one to be lifted. With i before j the pair's step is tall(i) − low(j), so of
// two neighbours the one with the smaller tall + low goes first, and sorting by
// that sum is best (an exchange of neighbours never changes another pair's step).
// Of plates alike the one with fewer stones goes first, as fewer stones hold the
// tape off and fewer go through a second lift. (Reasoned from the hinge method,
// which is common practice; no published source.)
func (w *work) inBrushingOrder(on []int, count int) []int {
	tall, low := w.heights(on, count)
	stones := make([]int, count)
	order := make([]int, count)
	for p := range order {
		order[p] = p
	}
	for _, p := range on {
		stones[p]++
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(tall[a]+low[a], tall[b]+low[b]), cmp.Compare(tall[a], tall[b]), cmp.Compare(stones[a], stones[b]))
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

// heights gives the height of the tallest and of the lowest stone of each plate, in mm.
func (w *work) heights(on []int, count int) (tall, low []float64) {
	tall, low = make([]float64, count), make([]float64, count)
	for p := range low {
		low[p] = math.Inf(1)
	}
	for s, p := range on {
		h := w.kinds[w.kindOf[s]].Height
		tall[p], low[p] = max(tall[p], h), min(low[p], h)
	}
	return tall, low
}

// steps notes each lift in which a stone already on the tape stands higher over
// the stones to be lifted than the tape allows.
func (w *work) steps(on []int, count int) []Note {
	tall, low := w.heights(on, count)
	var notes []Note
	highest := 0
	for p := 1; p < count; p++ {
		if tall[p-1] > tall[highest] {
			highest = p - 1
		}
		if step := tall[highest] - low[p]; step > w.opt.TapeStep+slack {
			notes = append(notes, Note{Code: "lift-step", Message: fmt.Sprintf(
				"the lift of plate %d presses on stones of plate %d that stand %.2f mm higher than its lowest; the tape allows for %.2f mm. "+
					"Rub it down around them with a fingertip, and check that every stone of plate %d came up; or let plates: colour, or other sizes, part them",
				p+1, highest+1, step, w.opt.TapeStep, p+1)})
		}
	}
	return notes
}

// plates builds the plates: their holes in the stones' order, the kinds in the
// order of brushing, all in one frame with its marks.
func (w *work) plates(on []int, count int) ([]design.Plate, []Note) {
	out := make([]design.Plate, count)
	kinds := make([][]int, count)
	for p := range out {
		out[p].Number = p + 1
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
	return out, w.mark(out)
}
