package sheet

// The steps in which a piece of a roll is made shorter: a share of its length, but
// no less than what is worth a cut, in mm.
const (
	shorterBy    = 0.004
	shorterLeast = 1.0
)

// tidy makes the most of sheets whose plates are settled: pieces of a roll are cut
// as short as they can be, and the plates of the emptiest new sheet are moved
// together, so that its largest offcut is large.
func (s *search) tidy(bins []bin) {
	if s.opt.Roll {
		for i := range bins {
			if bins[i].piece == NoPiece {
				s.shorten(&bins[i])
			}
		}
		return
	}
	at := -1
	for i, b := range bins {
		if b.piece == NoPiece && (at < 0 || b.used < bins[at].used) {
			at = i
		}
	}
	if at >= 0 {
		bins[at] = s.together(bins[at], func(b bin) float64 { return -b.largestOffcut(s.opt) })
	}
}

// together sets the items of a sheet anew in every order by every rule, and gives
// the way with the least cost; the sheet as it is if none is less.
func (s *search) together(b bin, cost func(bin) float64) bin {
	best, least := b, cost(b)
	items := make([]Item, len(b.set))
	for i, p := range b.set {
		items[i] = s.items[p.item]
	}
	turnings := []turning{asGiven, lying, standing, either}
	for _, turn := range turnings {
		for _, order := range orders() {
			queue := queueBy(items, order)
			for _, rule := range rules() {
				p := finder{items: s.items, opt: s.opt, turn: turn, rule: rule, scanned: &s.scanned}
				again := b.clone()
				again.clear()
				for _, i := range queue {
					place, _, ok := p.find(&again, b.set[i].item)
					if !ok {
						break
					}
					again.put(place, s.opt.apart(), s.least)
				}
				if len(again.set) < len(b.set) {
					continue
				}
				if c := cost(again); c < least-fitSlack {
					best, least = again, c
				}
			}
		}
	}
	return best
}

func (b bin) largestOffcut(opt Options) float64 {
	if list := b.offcuts(opt); len(list) > 0 {
		return list[0].Width * list[0].Height
	}
	return 0
}

// extent gives how far down the plates of a sheet reach, without the spacing.
func (b bin) extent() float64 {
	down := 0.0
	for _, p := range b.set {
		down = max(down, p.y+p.h)
	}
	return down
}

// shorten makes a piece of a roll as short as is found: first by the plain ways,
// then by asking for a little less again and again, while the search finds it. As
// much of the budget as a search for fewer sheets has is spent on it.
func (s *search) shorten(b *bin) {
	*b = s.together(*b, bin.extent)
	s.budget = s.scanned + min(budgetMost, budgetEach*len(b.set)*len(b.set))
	gap := s.opt.apart()
	for {
		extent := b.extent()
		target := extent - max(shorterLeast, shorterBy*extent)
		if target < s.shortest(*b) || s.scanned >= s.budget {
			break
		}
		shorter := b.clone()
		shorter.room.h = target + gap + fitSlack
		shorter.clear()
		var left []int
		for _, p := range b.set {
			if p.y+p.h <= target {
				shorter.put(p, gap, s.least)
			} else {
				left = append(left, p.item)
			}
		}
		got := s.settle(attempt{bins: []bin{shorter}, left: left, cost: s.costOf(left)})
		if len(got.left) > 0 {
			break
		}
		*b = got.bins[0]
	}
	b.height = b.extent() + 2*s.opt.Margin
	b.room.h = b.extent() + gap + 2*fitSlack
}

// shortest gives a length that no way to set a sheet's items goes below.
func (s *search) shortest(b bin) float64 {
	gap := s.opt.apart()
	sum, least := 0.0, 0.0
	for _, p := range b.set {
		it := s.items[p.item]
		sum += (it.W + gap) * (it.H + gap)
		side := it.H
		if s.opt.turns(it) && it.H <= b.room.w-gap {
			side = min(side, it.W)
		}
		if it.W > b.room.w-gap {
			side = it.W
		}
		least = max(least, side)
	}
	return max(least, sum/b.room.w-gap)
}
