package sheet

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// The budget of a search, in free rectangles looked at: it grows with the square
// of the items, as a plan's troubles do, and ends where a person would begin to
// wait (about a second).
const (
	budgetEach = 6_000
	budgetMost = 24_000_000
	stepWork   = 30 // of one step beside that, in the time of looking at a free rectangle
	itemWork   = 8  // of each item that is set anew in it
)

// The settings of the search, found by trial on published rectangles.
const (
	memoryOf  = 60   // accepted outcomes that a worse one may be as bad as
	wholeUpTo = 6    // a sheet with no more plates is cleared as a whole
	skipOneOf = 60   // free places passed over by chance
	windowMin = 0.25 // least side of a cleared window, as a share of the sheet's
)

// search looks for fewer sheets. All chance is drawn from a fixed seed.
type search struct {
	items           []Item
	opt             Options
	least           float64 // the least side of any item, with its spacing
	scanned, budget int
	random          *rand.Rand
	skipIn          int // free places until one is passed over
}

func newSearch(items []Item, opt Options) *search {
	s := &search{items: items, opt: opt, random: rand.New(rand.NewPCG(1, 2)), least: math.Inf(1)}
	for _, it := range items {
		s.least = min(s.least, it.W+opt.apart(), it.H+opt.apart())
	}
	s.budget = min(budgetMost, budgetEach*len(items)*len(items))
	return s
}

// run gives the sheets that hold all items, odd pieces first, then the fullest.
func (s *search) run() []bin {
	if len(s.items) == 0 {
		return nil
	}
	bins := s.greedy()
	bound := LowerBound(s.items, s.opt)
	for fresh(bins) > bound {
		target, left, worse := s.fewer(bins)
		if len(left) > 0 {
			if worse != nil && better(worse, bins) {
				bins = worse
			}
			break
		}
		bins = target
	}
	bins = slices.DeleteFunc(bins, func(b bin) bool { return len(b.set) == 0 })
	s.tidy(bins)
	slices.SortStableFunc(bins, func(a, b bin) int {
		return cmp.Or(cmp.Compare(bool2(a.piece == NoPiece), bool2(b.piece == NoPiece)), cmp.Compare(b.used, a.used))
	})
	return bins
}

func bool2(b bool) int {
	if b {
		return 1
	}
	return 0
}

// attempt is a packing that may have left items over.
type attempt struct {
	bins []bin
	left []int
	cost float64 // the area of what is left over
}

func (s *search) costOf(left []int) float64 {
	sum := 0.0
	for _, i := range left {
		sum += s.items[i].W * s.items[i].H
	}
	return sum
}

// fewer tries to do with one new sheet less: the emptiest is given up, and its
// items are set in place of others, again and again, until nothing is left over
// or the budget is used up (ruin and recreate with a goal: Gardeyn and Wauters,
// European Journal of Operational Research 301, 2022; late acceptance: Burke and
// Bykov, the same journal 258, 2017). Where something is left over at the end,
// worse has it on a sheet of its own, if one holds it: as many sheets as before,
// with more left of one.
func (s *search) fewer(bins []bin) (target []bin, left []int, worse []bin) {
	now := attempt{bins: cloned(bins)}
	at := -1
	for i, b := range now.bins {
		if b.piece == NoPiece && (at < 0 || b.used < now.bins[at].used) {
			at = i
		}
	}
	for _, p := range now.bins[at].set {
		now.left = append(now.left, p.item)
	}
	now.bins = slices.Delete(now.bins, at, at+1)
	now.cost = s.costOf(now.left)
	if len(now.bins) == 0 {
		return nil, now.left, nil
	}
	best := s.settle(now)
	if len(best.left) == 0 {
		return best.bins, nil, nil
	}
	last := s.opt.newBin(s.opt.Width, s.opt.Height, NoPiece)
	if rest := s.insert([]*bin{&last}, slices.Clone(best.left)); len(rest) > 0 {
		return nil, best.left, nil
	}
	return nil, best.left, append(best.bins, last)
}

// settle is the search itself; it gives the outcome with least left over.
func (s *search) settle(now attempt) attempt {
	best := attempt{cloned(now.bins), slices.Clone(now.left), now.cost}
	var accepted [memoryOf]float64
	for i := range accepted {
		accepted[i] = now.cost
	}
	for step := 0; now.cost > 0 && s.scanned < s.budget; step++ {
		chosen := s.choose(len(now.bins))
		saved := make([]bin, len(chosen))
		open := make([]*bin, len(chosen))
		pool := slices.Clone(now.left)
		for i, c := range chosen {
			saved[i] = now.bins[c].clone()
			open[i] = &now.bins[c]
			pool = s.ruin(open[i], pool)
		}
		left := s.insert(open, pool)
		cost := s.costOf(left)
		if cost <= max(now.cost, accepted[step%memoryOf]) {
			now.left, now.cost = left, cost
		} else {
			for i, c := range chosen {
				now.bins[c] = saved[i]
			}
		}
		accepted[step%memoryOf] = now.cost
		if now.cost < best.cost {
			best = attempt{cloned(now.bins), slices.Clone(now.left), now.cost}
		}
	}
	return best
}

// choose draws one to three sheets.
func (s *search) choose(n int) []int {
	k := min(n, 1+s.random.IntN(3))
	var out []int
	for len(out) < k {
		if c := s.random.IntN(n); !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}

// ruin takes items off a sheet, all of them or those in a window, and adds them
// to the pool.
func (s *search) ruin(b *bin, pool []int) []int {
	window := b.room
	if len(b.set) > wholeUpTo {
		window.w *= windowMin + (1-windowMin)*s.random.Float64()
		window.h *= windowMin + (1-windowMin)*s.random.Float64()
		window.x = (b.room.w - window.w) * s.random.Float64()
		window.y = (b.room.h - window.h) * s.random.Float64()
	}
	set := slices.Clone(b.set)
	b.clear()
	for _, p := range set {
		if window.meets(area{p.x, p.y, p.w, p.h}) {
			pool = append(pool, p.item)
		} else {
			s.scanned += len(b.free)
			b.put(p, s.opt.apart(), s.least)
		}
	}
	return pool
}

// insert sets what it can of the pool onto the sheets, in a drawn order by a drawn
// rule, and gives the rest.
func (s *search) insert(bins []*bin, pool []int) []int {
	s.scanned += stepWork + itemWork*len(pool) // what a step costs beside its search
	s.shuffle(pool)
	all := rules()
	p := finder{
		items: s.items, opt: s.opt, turn: either, rule: all[s.random.IntN(len(all))], scanned: &s.scanned,
		skip: s.skip,
	}
	left := pool[:0]
	for _, i := range pool {
		at, place, found := -1, spot{}, false
		var least score
		for b := range bins {
			if q, sc, ok := p.find(bins[b], i); ok && (!found || sc.before(least)) {
				at, place, least, found = b, q, sc, true
			}
		}
		if !found {
			left = append(left, i)
			continue
		}
		s.scanned += len(bins[at].free)
		bins[at].put(place, s.opt.apart(), s.least)
	}
	return left
}

// skip says now and then, by chance, that a free place is to be passed over.
func (s *search) skip() bool {
	if s.skipIn--; s.skipIn > 0 {
		return false
	}
	s.skipIn = 1 + s.random.IntN(2*skipOneOf)
	return true
}

// shuffle sorts the pool by a drawn order, each item's measure a little off.
func (s *search) shuffle(pool []int) {
	all := orders()
	order := all[s.random.IntN(len(all))]
	noise := []float64{0.05, 0.2, 0.6}[s.random.IntN(3)]
	key := make(map[int]float64, len(pool))
	for _, i := range pool {
		key[i] = order(s.items[i].W, s.items[i].H)[0] * (1 + noise*(s.random.Float64()-0.5))
	}
	slices.SortFunc(pool, func(a, b int) int { return cmp.Or(cmp.Compare(key[b], key[a]), cmp.Compare(a, b)) })
}
