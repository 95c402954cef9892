package shop

import (
	"cmp"
	"math/bits"
	"slices"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
)

// cheap is what choices are compared by: cost in ticks, then pieces, then packs.
type cheap struct {
	cost          int64
	pieces, packs int64
}

func (c cheap) plus(d cheap) cheap {
	return cheap{c.cost + d.cost, c.pieces + d.pieces, c.packs + d.packs}
}

func (c cheap) less(d cheap) bool {
	return cmp.Or(cmp.Compare(c.cost, d.cost), cmp.Compare(c.pieces, d.pieces), cmp.Compare(c.packs, d.packs)) < 0
}

// offer is a pack in the numbers of the search. from and price are its breaks.
type offer struct {
	pack        Pack
	supplier    int
	pieces      int64
	from, price []int64
	lowest      int64 // the least price of one pack at any quantity
}

// cost gives what n packs cost; false below the fewest that are sold.
func (o offer) cost(n int64) (int64, bool) {
	if n == 0 {
		return 0, true
	}
	cost, ok := int64(0), false
	for i, from := range o.from {
		if from <= n {
			cost, ok = n*o.price[i], true
		}
	}
	return cost, ok
}

// choice is the best for a set of suppliers: packs of each offer.
type choice struct {
	cheap
	packs []int64 // one a kindBuyer's offer
	ok    bool
}

// kindBuyer searches the packs of one kind.
type kindBuyer struct {
	need   int
	offers []offer
	memo   map[uint64]choice // by the suppliers of the set that sell the kind
}

func (k *kindBuyer) add(p Pack, supplier int, o Overrun) error {
	named := p
	if p.Supplier == "" { // a lot bought before, from nobody knows whom
		named.Supplier = "unknown"
	}
	checked, err := named.Check()
	if err != nil {
		return err
	}
	checked.Supplier = p.Supplier
	pieces := o.Plan(checked.Labelled, checked.Filled)
	if pieces < 1 {
		return fault.New("pack", p.Kind.String(), "a pack of %d by weight holds none by the shop's own counts; look at them", checked.Labelled)
	}
	offer := offer{pack: checked, supplier: supplier, pieces: int64(pieces), lowest: ticks(checked.Breaks[0].Price)}
	for _, b := range checked.Breaks {
		offer.from = append(offer.from, int64(b.From))
		offer.price = append(offer.price, ticks(b.Price))
		offer.lowest = min(offer.lowest, ticks(b.Price))
	}
	k.offers = append(k.offers, offer)
	return nil
}

// solve gives the best packs from the suppliers of a set.
func (k *kindBuyer) solve(set uint64) choice {
	var mine uint64
	for _, o := range k.offers {
		mine |= 1 << o.supplier
	}
	set &= mine
	if c, ok := k.memo[set]; ok {
		return c
	}
	s := kindSearch{reached: map[state]cheap{}}
	for i, o := range k.offers {
		if set&(1<<o.supplier) != 0 {
			s.order = append(s.order, i)
		}
	}
	s.offers = k.offers
	s.packs = make([]int64, len(k.offers))
	// The cheapest by the piece first: its packs make a good list at once. Of those
	// as cheap the larger first, which takes fewer.
	slices.SortStableFunc(s.order, func(a, b int) int {
		x, y := k.offers[a], k.offers[b]
		return cmp.Or(cmp.Compare(x.lowest*y.pieces, y.lowest*x.pieces), cmp.Compare(y.pieces, x.pieces))
	})
	s.walk(0, int64(k.need), cheap{})
	k.memo[set] = s.best
	return s.best
}

// state is a place in the search: the offers still to come and the pieces still
// needed. What comes after it depends on nothing else.
type state struct {
	at   int
	need int64
}

type kindSearch struct {
	offers  []offer
	order   []int
	packs   []int64
	best    choice
	reached map[state]cheap // the best way to a state so far
}

// walk decides how many packs of the offer at are bought, so being what those
// before cost.
func (s *kindSearch) walk(at int, need int64, so cheap) {
	if need <= 0 {
		if !s.best.ok || so.less(s.best.cheap) {
			s.best = choice{so, slices.Clone(s.packs), true}
		}
		return
	}
	if at == len(s.order) || (s.best.ok && !s.bound(at, need, so).less(s.best.cheap)) {
		return
	}
	here := state{at, need}
	if before, ok := s.reached[here]; ok && !so.less(before) {
		return
	}
	s.reached[here] = so
	i := s.order[at]
	o := s.offers[i]
	try := func(n int64) {
		if cost, ok := o.cost(n); ok {
			s.packs[i] = n
			s.walk(at+1, need-n*o.pieces, so.plus(cheap{cost, n * o.pieces, n}))
		}
	}
	alone := (need + o.pieces - 1) / o.pieces
	try(alone)
	// Beyond it only the first quantity of a price break can be of use, where more cost less.
	for _, from := range o.from {
		if from > alone {
			try(from)
		}
	}
	if at+1 < len(s.order) { // fewer leave something for the others
		for n := alone - 1; n >= 0; n-- {
			try(n)
		}
	}
	s.packs[i] = 0
}

// bound gives less than any way on from here costs: the pieces needed at the
// least price for a piece of the offers to come. order has it first.
func (s *kindSearch) bound(at int, need int64, so cheap) cheap {
	o := s.offers[s.order[at]]
	hi, lo := bits.Mul64(uint64(need), uint64(o.lowest))
	cost, rest := bits.Div64(hi, lo, uint64(o.pieces))
	if rest > 0 {
		cost++
	}
	return cheap{so.cost + int64(cost), so.pieces + need, so.packs + 1}
}

// bought is a purchase and the number of its supplier.
type bought struct {
	Purchase
	supplier int
}

func (k *kindBuyer) purchases(c choice) []bought {
	var out []bought
	for i, n := range c.packs {
		if n == 0 {
			continue
		}
		o := k.offers[i]
		price, _ := o.pack.Price(int(n))
		out = append(out, bought{Purchase{o.pack, int(n), price, price.Mul(decimal.NewFromInt(n)), int(n * o.pieces)}, o.supplier})
	}
	return out
}
