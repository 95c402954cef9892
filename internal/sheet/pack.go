package sheet

import (
	"cmp"
	"slices"
)

// spot is where an item lies inside the margins of a sheet, after turning.
type spot struct {
	item       int
	x, y, w, h float64
	turned     bool
}

// area is a rectangle of a sheet.
type area struct{ x, y, w, h float64 }

// bin is a sheet in the making. free holds the largest free rectangles, which
// may overlap (maximal rectangles: Jylänki, A Thousand Ways to Pack the Bin,
// 2010). All rectangles have the spacing added on their right and below, and so
// has the sheet, which turns the spacing between frames into mere contact.
type bin struct {
	free []area
	set  []spot
	used float64
}

// score judges a place for an item; less is better.
type score [2]float64

// rules are the ways to choose among places, each tried with each order.
var rules = []func(f area, w, h float64) score{
	func(f area, w, h float64) score { return score{min(f.w-w, f.h-h), max(f.w-w, f.h-h)} }, // best short side
	func(f area, w, h float64) score { return score{f.w*f.h - w*h, min(f.w-w, f.h-h)} },     // best area
	func(f area, w, h float64) score { return score{f.y + h, f.x} },                         // lowest edge first
}

// orders are the orders in which items are taken, the largest first by one measure.
var orders = []func(w, h float64) score{
	func(w, h float64) score { return score{w * h, max(w, h)} },
	func(w, h float64) score { return score{max(w, h), min(w, h)} },
	func(w, h float64) score { return score{min(w, h), max(w, h)} },
	func(w, h float64) score { return score{w + h, max(w, h)} },
	func(w, h float64) score { return score{w, h} },
	func(w, h float64) score { return score{h, w} },
}

// turning says which ways round an item may be set. A rule that may turn every
// item by itself can miss plain rows of equal frames, so the others are tried too.
type turning int

const (
	asGiven  turning = iota // as the item came, if it fits so
	lying                   // all wider than high, if they fit so
	standing                // all higher than wide, if they fit so
	either                  // each as it fits best
)

// best tries every order with every rule and turning and keeps the packing with
// the fewest sheets, then the one whose emptiest sheet has most left on it to keep.
func best(items []Item, opt Options) []bin {
	var kept []bin
	turnings := []turning{asGiven, lying, standing, either}
	if !opt.Turn {
		turnings = turnings[:1]
	}
	for _, turn := range turnings {
		for _, order := range orders {
			queue := queueBy(items, order)
			for _, rule := range rules {
				for _, global := range []bool{false, true} {
					bins := packer{items, opt, turn, rule}.pack(queue, global)
					if kept == nil || better(bins, kept) {
						kept = bins
					}
				}
			}
		}
	}
	return kept
}

// packer is one way to pack.
type packer struct {
	items []Item
	opt   Options
	turn  turning
	rule  func(f area, w, h float64) score
}

// ways gives the ways round in which an item may be set: not turned, turned.
func (p packer) ways(it Item) []bool {
	straight, turned := p.opt.takes(it.W, it.H), p.opt.Turn && p.opt.takes(it.H, it.W)
	switch {
	case !turned:
		return []bool{false}
	case !straight:
		return []bool{true}
	case p.turn == either:
		return []bool{false, true}
	}
	return []bool{p.turn == lying && it.W < it.H || p.turn == standing && it.W > it.H}
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

func better(a, b []bin) bool {
	return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(emptiest(a), emptiest(b))) < 0
}

func emptiest(bins []bin) float64 {
	least := 0.0
	for i, b := range bins {
		if i == 0 || b.used < least {
			least = b.used
		}
	}
	return least
}

// pack sets the items in the order of the queue. If global, an item goes to the
// best place of all sheets, else to the best of the first sheet that takes it.
func (p packer) pack(queue []int, global bool) []bin {
	var bins []bin
	rw, rh := p.opt.room()
	for _, i := range queue {
		at, place, found := -1, spot{}, false
		var least score
		for b := range bins {
			s, sc, ok := p.find(bins[b], i)
			if ok && (!found || slices.Compare(sc[:], least[:]) < 0) {
				at, place, least, found = b, s, sc, true
			}
			if found && !global {
				break
			}
		}
		if !found {
			// Twice the slack: what takes let pass must fit here, however the sums round.
			bins = append(bins, bin{free: []area{{0, 0, rw + p.opt.Spacing + 2*fitSlack, rh + p.opt.Spacing + 2*fitSlack}}})
			at = len(bins) - 1
			place, _, _ = p.find(bins[at], i)
		}
		bins[at].put(place, p.opt.Spacing)
	}
	return bins
}

// find gives the best place for an item on a sheet, unturned where that is as good.
func (p packer) find(b bin, item int) (spot, score, bool) {
	var place spot
	var least score
	found := false
	ways := p.ways(p.items[item])
	for _, f := range b.free {
		for _, turned := range ways {
			w, h := p.items[item].W, p.items[item].H
			if turned {
				w, h = h, w
			}
			if w+p.opt.Spacing > f.w || h+p.opt.Spacing > f.h {
				continue
			}
			s := p.rule(f, w+p.opt.Spacing, h+p.opt.Spacing)
			if !found || slices.Compare(s[:], least[:]) < 0 {
				place, least, found = spot{item: item, x: f.x, y: f.y, w: w, h: h, turned: turned}, s, true
			}
		}
	}
	return place, least, found
}

// put sets an item down and cuts its rectangle out of the free ones.
func (b *bin) put(s spot, spacing float64) {
	b.set = append(b.set, s)
	b.used += s.w * s.h
	taken := area{s.x, s.y, s.w + spacing, s.h + spacing}
	var free []area
	for _, f := range b.free {
		free = append(free, f.without(taken)...)
	}
	b.free = b.free[:0]
	for i, f := range free {
		if !slices.ContainsFunc(free[:i], f.within) && !slices.ContainsFunc(free[i+1:], func(g area) bool { return f.within(g) && f != g }) {
			b.free = append(b.free, f)
		}
	}
}

// without gives the largest rectangles of f outside t; they may overlap.
func (f area) without(t area) []area {
	if t.x >= f.x+f.w || f.x >= t.x+t.w || t.y >= f.y+f.h || f.y >= t.y+t.h {
		return []area{f}
	}
	var out []area
	if t.x > f.x {
		out = append(out, area{f.x, f.y, t.x - f.x, f.h})
	}
	if right := t.x + t.w; right < f.x+f.w {
		out = append(out, area{right, f.y, f.x + f.w - right, f.h})
	}
	if t.y > f.y {
		out = append(out, area{f.x, f.y, f.w, t.y - f.y})
	}
	if below := t.y + t.h; below < f.y+f.h {
		out = append(out, area{f.x, below, f.w, f.y + f.h - below})
	}
	return out
}

// within says whether f lies inside g.
func (f area) within(g area) bool {
	return f.x >= g.x && f.y >= g.y && f.x+f.w <= g.x+g.w && f.y+f.h <= g.y+g.h
}
