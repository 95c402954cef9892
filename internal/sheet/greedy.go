package sheet

import (
	"cmp"
	"slices"
)

// few is up to how many items every order is tried with every rule; above it a
// third of the rules and orders must do, which by then differ little.
const few = 250

// greedy tries every order with every rule and turning and keeps the best packing.
func (s *search) greedy() []bin {
	var kept []bin
	turnings := []turning{asGiven, lying, standing, either}
	if !s.opt.Turn {
		turnings = turnings[:1]
	}
	orders, rules := orders(), rules()
	if len(s.items) > few {
		turnings, orders, rules = turnings[len(turnings)-1:], orders[:2], rules[:2]
	}
	for _, turn := range turnings {
		for _, order := range orders {
			queue := queueBy(s.items, order)
			for _, rule := range rules {
				for _, global := range []bool{false, true} {
					p := finder{items: s.items, opt: s.opt, turn: turn, rule: rule, scanned: &s.scanned}
					if bins := s.pack(p, queue, global); kept == nil || better(bins, kept) {
						kept = bins
					}
				}
			}
		}
	}
	return kept
}

func queueBy(items []Item, order func(w, h float64) score) []int {
	queue := make([]int, len(items))
	for i := range queue {
		queue[i] = i
	}
	slices.SortStableFunc(queue, func(a, b int) int {
		x, y := order(items[a].W, items[a].H), order(items[b].W, items[b].H)
		return -slices.Compare(x[:], y[:])
	})
	return queue
}

// better says whether a packing has fewer new sheets, or as many and more left on
// the emptiest of them.
func better(a, b []bin) bool {
	return cmp.Or(cmp.Compare(fresh(a), fresh(b)), cmp.Compare(emptiest(a), emptiest(b))) < 0
}

// fresh counts the new sheets.
func fresh(bins []bin) int {
	n := 0
	for _, b := range bins {
		if b.piece == NoPiece {
			n++
		}
	}
	return n
}

// emptiest gives the area taken on the emptiest new sheet; 0 if there is none.
func emptiest(bins []bin) float64 {
	least, found := 0.0, false
	for _, b := range bins {
		if b.piece == NoPiece && (!found || b.used < least) {
			least, found = b.used, true
		}
	}
	return least
}

// offered gives the odd pieces, the smallest first.
func (s *search) offered() []bin {
	var out []bin
	for i, p := range s.opt.Pieces {
		if b := s.opt.newBin(p.Width, p.Height, i); b.room.w > 0 && b.room.h > 0 {
			out = append(out, b)
		}
	}
	slices.SortStableFunc(out, func(a, b bin) int { return cmp.Compare(a.width*a.height, b.width*b.height) })
	return out
}

// pack sets the items in the order of the queue. If global, an item goes to the
// best place of all sheets, else to the best of the first sheet that takes it.
func (s *search) pack(p finder, queue []int, global bool) []bin {
	bins := s.offered()
	for _, i := range queue {
		at, place, found := -1, spot{}, false
		var least score
		for b := range bins {
			q, sc, ok := p.find(&bins[b], i)
			if ok && (!found || sc.before(least)) {
				at, place, least, found = b, q, sc, true
			}
			if found && !global {
				break
			}
		}
		if !found {
			bins = append(bins, s.opt.newBin(s.opt.Width, s.opt.Height, NoPiece))
			at = len(bins) - 1
			place, _, _ = p.find(&bins[at], i)
		}
		bins[at].put(place, s.opt.apart(), s.least)
	}
	return bins
}
