package sheet

import "slices"

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
// has room, which turns the spacing between frames into mere contact.
type bin struct {
	width, height float64 // of the whole sheet
	room          area    // inside the margins
	piece         int     // index of the odd piece, or NoPiece
	free          []area
	set           []spot
	used          float64
}

// newBin gives an empty sheet. Its room has twice the slack: what takes let pass
// must fit here, however the sums round.
func (o Options) newBin(width, height float64, piece int) bin {
	more := o.apart() - 2*o.Margin + 2*fitSlack
	b := bin{width: width, height: height, piece: piece, room: area{0, 0, width + more, height + more}}
	b.clear()
	return b
}

// clear takes everything off a sheet.
func (b *bin) clear() {
	b.free = append(b.free[:0], b.room)
	b.set, b.used = b.set[:0], 0
}

// clone gives a copy that shares nothing.
func (b bin) clone() bin {
	b.free, b.set = slices.Clone(b.free), slices.Clone(b.set)
	return b
}

func cloned(bins []bin) []bin {
	out := make([]bin, len(bins))
	for i, b := range bins {
		out[i] = b.clone()
	}
	return out
}

// put sets an item down and cuts its rectangle out of the free ones. Free
// rectangles with a side under least are forgotten: nothing fits them.
func (b *bin) put(s spot, spacing, least float64) {
	b.set = append(b.set, s)
	b.used += s.w * s.h
	taken := area{s.x, s.y, s.w + spacing, s.h + spacing}
	var buffer [32]area
	cut := buffer[:0]
	kept := b.free[:0]
	for _, f := range b.free {
		if f.meets(taken) {
			cut = f.without(taken, least, cut)
		} else {
			kept = append(kept, f)
		}
	}
	// A rectangle that was kept is in none that was cut: it would have been in
	// what that one was cut from.
	old := len(kept)
	for i, f := range cut {
		if !slices.ContainsFunc(kept[:old], f.within) && !slices.ContainsFunc(cut[:i], f.within) &&
			!slices.ContainsFunc(cut[i+1:], func(g area) bool { return f.within(g) && f != g }) {
			kept = append(kept, f)
		}
	}
	b.free = kept
}

// meets says whether two rectangles overlap.
func (f area) meets(t area) bool {
	return t.x < f.x+f.w && f.x < t.x+t.w && t.y < f.y+f.h && f.y < t.y+t.h
}

// without appends the largest rectangles of f outside t, which may overlap, but
// for those with a side under least. f and t meet.
func (f area) without(t area, least float64, out []area) []area {
	if f.h >= least {
		if w := t.x - f.x; w > 0 && w >= least {
			out = append(out, area{f.x, f.y, w, f.h})
		}
		if w := f.x + f.w - t.x - t.w; w > 0 && w >= least {
			out = append(out, area{t.x + t.w, f.y, w, f.h})
		}
	}
	if f.w >= least {
		if h := t.y - f.y; h > 0 && h >= least {
			out = append(out, area{f.x, f.y, f.w, h})
		}
		if h := f.y + f.h - t.y - t.h; h > 0 && h >= least {
			out = append(out, area{f.x, t.y + t.h, f.w, h})
		}
	}
	return out
}

// within says whether f lies inside g.
func (f area) within(g area) bool {
	return f.x >= g.x && f.y >= g.y && f.x+f.w <= g.x+g.w && f.y+f.h <= g.y+g.h
}

// score judges a place for an item; less is better.
type score [2]float64

// before says whether a is the better one.
func (a score) before(b score) bool { return a[0] < b[0] || a[0] == b[0] && a[1] < b[1] }

// rule is a way to choose among places.
type rule func(f area, w, h float64) score

// rules are tried with each order.
func rules() []rule {
	return []rule{
		func(f area, w, h float64) score { return score{min(f.w-w, f.h-h), max(f.w-w, f.h-h)} }, // best short side
		func(f area, w, h float64) score { return score{f.w*f.h - w*h, min(f.w-w, f.h-h)} },     // best area
		func(f area, w, h float64) score { return score{f.y + h, f.x} },                         // lowest edge first
	}
}

// orders are the orders in which items are taken, the largest first by one measure.
func orders() []func(w, h float64) score {
	return []func(w, h float64) score{
		func(w, h float64) score { return score{w * h, max(w, h)} },
		func(w, h float64) score { return score{max(w, h), min(w, h)} },
		func(w, h float64) score { return score{min(w, h), max(w, h)} },
		func(w, h float64) score { return score{w + h, max(w, h)} },
		func(w, h float64) score { return score{w, h} },
		func(w, h float64) score { return score{h, w} },
	}
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

// ways says whether an item may be set as it came, and turned.
func (o Options) ways(it Item, turn turning) (straight, turned bool) {
	if turn == either { // on an odd piece a way may fit that does not fit a sheet
		return true, o.turns(it)
	}
	straight, turned = o.takes(it.W, it.H), o.turns(it) && o.takes(it.H, it.W)
	if straight && turned {
		turned = turn == lying && it.W < it.H || turn == standing && it.W > it.H
		straight = !turned
	}
	return straight, turned
}

// finder looks for a place by one rule.
type finder struct {
	items   []Item
	opt     Options
	turn    turning
	rule    rule
	skip    func() bool // passes a free rectangle over now and then; nil: never
	scanned *int        // counts the free rectangles looked at
}

// find gives the best place for an item on a sheet, unturned where that is as good.
func (p finder) find(b *bin, item int) (place spot, least score, found bool) {
	it, gap := p.items[item], p.opt.apart()
	straight, turned := p.opt.ways(it, p.turn)
	w, h := it.W+gap, it.H+gap
	*p.scanned += len(b.free)
	for _, f := range b.free {
		if straight && w <= f.w && h <= f.h && (p.skip == nil || !p.skip()) {
			if s := p.rule(f, w, h); !found || s.before(least) {
				place, least, found = spot{item, f.x, f.y, it.W, it.H, false}, s, true
			}
		}
		if turned && h <= f.w && w <= f.h && (p.skip == nil || !p.skip()) {
			if s := p.rule(f, h, w); !found || s.before(least) {
				place, least, found = spot{item, f.x, f.y, it.H, it.W, true}, s, true
			}
		}
	}
	return place, least, found
}
