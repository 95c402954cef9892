package plate

import (
	"fmt"
	"math"
	"slices"

	"github.com/tidwall/rtree"
)

// nearStones gives for each stone the others, in rising order, whose holes
// would leave less flock between them than the web.
func (w *work) nearStones() [][]int {
	var tree rtree.RTreeG[int]
	largest := 0.0
	for i, s := range w.stones {
		at := [2]float64{s.X, s.Y}
		tree.Insert(at, at, i)
		largest = max(largest, w.hole(i))
	}
	near := make([][]int, len(w.stones))
	for i, s := range w.stones {
		reach := w.hole(i)/2 + largest/2 + w.opt.Web
		tree.Search([2]float64{s.X - reach, s.Y - reach}, [2]float64{s.X + reach, s.Y + reach},
			func(_, _ [2]float64, j int) bool {
				if j != i && w.webBetween(i, j) < w.opt.Web-WebTolerance {
					near[i] = append(near[i], j)
				}
				return true
			})
		slices.Sort(near[i])
	}
	return near
}

// hole gives the diameter of the hole of a stone.
func (w *work) hole(stone int) float64 { return w.kinds[w.kindOf[stone]].Hole }

// webBetween gives the flock between the holes of two stones; negative when they overlap.
func (w *work) webBetween(i, j int) float64 {
	a, b := w.stones[i], w.stones[j]
	return math.Hypot(a.X-b.X, a.Y-b.Y) - w.hole(i)/2 - w.hole(j)/2
}

// graph joins the stones of a set where their web is too thin. The graph's
// vertices are the set's places.
func (w *work) graph(set []int) [][]int {
	at := make(map[int]int, len(set))
	for v, s := range set {
		at[s] = v
	}
	adj := make([][]int, len(set))
	for v, s := range set {
		for _, t := range w.near[s] {
			if u, ok := at[t]; ok {
				adj[v] = append(adj[v], u)
			}
		}
	}
	return adj
}

// splits notes each kind whose stones are on several plates.
func (w *work) splits(on []int) []Note {
	var notes []Note
	for k, kind := range w.kinds {
		var plates []int
		stones := 0
		for s, p := range on {
			if w.kindOf[s] == k {
				stones++
				plates = append(plates, p)
			}
		}
		slices.Sort(plates)
		if n := len(slices.Compact(plates)); n > 1 {
			notes = append(notes, Note{Code: "kind-split", Message: fmt.Sprintf(
				"the %d stones of %s are split over %d plates: on fewer, less than %.2f mm of flock would stay between some holes and tear; a wider gap needs fewer plates",
				stones, label(kind), n, w.opt.Web)})
		}
	}
	return notes
}
