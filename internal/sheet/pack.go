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

// best tries every order with every rule and keeps the packing with the fewest
// sheets, then the one whose emptiest sheet has most left on it to keep.
func best(items []Item, opt Options) []bin {
	var kept []bin
	for _, order := range orders {
		queue := queueBy(items, order)
		for _, rule := range rules {
			for _, global := range []bool{false, true} {
				bins := pack(items, queue, opt, rule, global)
				if kept == nil || better(bins, kept) {
					kept = bins
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
func pack(items []Item, queue []int, opt Options, rule func(f area, w, h float64) score, global bool) []bin {
	var bins []bin
	rw, rh := opt.room()
	for _, i := range queue {
		at, place, found := -1, spot{}, false
		var least score
		for b := range bins {
			p, s, ok := bins[b].find(items[i], opt, rule)
			if ok && (!found || slices.Compare(s[:], least[:]) < 0) {
				at, place, least, found = b, p, s, true
			}
			if found && !global {
				break
			}
		}
		if !found {
			bins = append(bins, bin{free: []area{{0, 0, rw + opt.Spacing + fitSlack, rh + opt.Spacing + fitSlack}}})
			at = len(bins) - 1
			place, _, _ = bins[at].find(items[i], opt, rule)
		}
		place.item = i
		bins[at].put(place, opt.Spacing)
	}
	return bins
}

// find gives the best place for an item on a sheet, unturned where that is as good.
func (b *bin) find(it Item, opt Options, rule func(f area, w, h float64) score) (spot, score, bool) {
	var place spot
	var least score
	found := false
	for _, f := range b.free {
		for _, turned := range []bool{false, true} {
			w, h := it.W, it.H
			if turned {
				w, h = h, w
			}
			if turned && !opt.Turn || w+opt.Spacing > f.w || h+opt.Spacing > f.h {
				continue
			}
			s := rule(f, w+opt.Spacing, h+opt.Spacing)
			if !found || slices.Compare(s[:], least[:]) < 0 {
				place, least, found = spot{x: f.x, y: f.y, w: w, h: h, turned: turned}, s, true
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
