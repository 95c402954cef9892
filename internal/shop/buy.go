package shop

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
	"sync"

	"github.com/shopspring/decimal"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
)

// Want is pieces of a kind that are needed.
type Want struct {
	Kind   Kind
	Pieces int
}

// Market is what the buying is done from. Packs that are not of a listed
// supplier have no delivery.
type Market struct {
	Suppliers []Supplier
	Packs     []Pack
	Overrun   Overrun
}

// Purchase is packs to buy. Price is that of one of them, Cost that of all.
// Pieces are those to count on: the overrun's Plan.
type Purchase struct {
	Pack   Pack
	Packs  int
	Price  Money
	Cost   Money
	Pieces int
}

// Need is one kind of a buy list. Short is what is wanted beyond what is on hand.
// Bought are the pieces of the purchases, Leftover what is left once all wants
// are met. Unpriced is how many of the kind's UsualPack it takes, where no pack is known;
// then there are no purchases.
type Need struct {
	Kind      Kind
	Wanted    int
	OnHand    int
	Short     int
	Purchases []Purchase
	Bought    int
	Leftover  int
	Unpriced  int
}

// List is what to buy. Goods is the cost of all packs, Delivery of all orders;
// From are the suppliers with an order.
type List struct {
	Needs    []Need
	From     []Supplier
	Goods    Money
	Delivery Money
}

// Total gives the cost of goods and delivery.
func (l List) Total() Money { return l.Goods.Add(l.Delivery) }

// mostSuppliers is how many a set of 64 bits tells apart.
const mostSuppliers = 64

// Buy gives the whole packs that meet the wants beyond what is on hand at the
// least cost, over suppliers, packs, price breaks and deliveries. Exact: it
// branches on whether a supplier is ordered from, and bounds with the cheapest
// packs of all suppliers not yet ruled out, which is no dearer than any choice
// among them; within a set of suppliers kinds do not touch each other and each
// is searched by branch and bound too. Of lists that cost the same it gives one
// with the fewest pieces, then the fewest packs. Kinds are in the order of
// sizes and names. Faults: "buy-want", "buy-suppliers", those of Pack.Check and
// Supplier.Check.
func Buy(wants []Want, onHand map[Kind]int, market Market) (List, error) {
	needs, err := needsOf(wants, onHand)
	if err != nil {
		return List{}, err
	}
	b, err := newBuyer(needs, market)
	if err != nil {
		return List{}, err
	}
	b.branch(0, b.all(), 0)
	return b.list(needs), nil
}

// needsOf adds the wants up by kind and takes off what is there.
func needsOf(wants []Want, onHand map[Kind]int) ([]Need, error) {
	var needs []Need
	for _, w := range wants {
		i := slices.IndexFunc(needs, func(n Need) bool { return n.Kind == w.Kind })
		if i < 0 {
			needs = append(needs, Need{Kind: w.Kind, OnHand: max(0, onHand[w.Kind])})
			i = len(needs) - 1
		}
		if w.Pieces < 0 || needs[i].Wanted+w.Pieces > MostPieces {
			return nil, fault.New("buy-want", w.Kind.String(), "%d pieces cannot be bought; at most %d of a kind", w.Pieces, MostPieces)
		}
		needs[i].Wanted += w.Pieces
	}
	for i, n := range needs {
		needs[i].Short = max(0, n.Wanted-n.OnHand)
	}
	slices.SortFunc(needs, func(a, b Need) int { return CompareKinds(a.Kind, b.Kind) })
	return needs, nil
}

// CompareKinds orders stones by their diameter, then goods by their class and
// transfers last; then by name.
func CompareKinds(a, b Kind) int {
	return cmp.Or(cmp.Compare(a.rank(), b.rank()), cmp.Compare(a.Size, b.Size), compareNames(a, b))
}

// rank is the stone's diameter, or for others more than any.
func (k Kind) rank() float64 {
	if d, ok := diameters()[k.Size]; ok {
		return d
	}
	if k.Stone() {
		return 0
	}
	if i := slices.Index(catalogue.Classes(), k.Size); i >= 0 {
		return beyondStones + float64(i)
	}
	return math.MaxFloat64
}

// beyondStones is wider than any stone, in mm.
const beyondStones = 1000

// compareNames orders transfers by their design's number, others by name.
func compareNames(a, b Kind) int {
	if one, ok := a.Design(); ok {
		if other, ok := b.Design(); ok {
			return cmp.Compare(one, other)
		}
	}
	return cmp.Compare(a.Colour, b.Colour)
}

// UsualPack is how many pieces of the kind are bought at a time where no pack is
// known: ten gross of stones, single pieces of anything else.
func (k Kind) UsualPack() int {
	if k.Stone() {
		return catalogue.Pack
	}
	return 1
}

// diameters gives the largest diameter of every size by its name, 0 for others: kinds
// are sorted by the thousand.
var diameters = sync.OnceValue(func() map[string]float64 {
	out := map[string]float64{}
	for _, s := range catalogue.Sizes() {
		out[s.Name] = s.Largest
	}
	return out
})

// buyer is one search over sets of suppliers. Suppliers without a delivery cost
// are in every set: there is nothing to decide. paid are the others' numbers.
type buyer struct {
	suppliers []Supplier
	paid      []int
	kinds     []*kindBuyer
	best      cheap
	bestSet   uint64
	found     bool
}

func newBuyer(needs []Need, m Market) (*buyer, error) {
	b := &buyer{}
	number := map[string]int{}
	add := func(s Supplier) (int, error) {
		if i, ok := number[s.Name]; ok {
			return i, nil
		}
		if len(b.suppliers) == mostSuppliers {
			return 0, fault.New("buy-suppliers", "", "packs of more than %d suppliers cannot be compared at once", mostSuppliers)
		}
		number[s.Name] = len(b.suppliers)
		b.suppliers = append(b.suppliers, s)
		return number[s.Name], nil
	}
	listed := map[string]Supplier{}
	for _, s := range m.Suppliers {
		s, err := s.Check()
		if err != nil {
			return nil, err
		}
		listed[s.Name] = s
	}
	for _, n := range needs {
		k := &kindBuyer{need: n.Short, memo: map[uint64]choice{}}
		for _, p := range m.Packs {
			if p.Kind != n.Kind || n.Short == 0 {
				continue
			}
			s, ok := listed[p.Supplier]
			if !ok {
				s = Supplier{Name: p.Supplier}
			}
			i, err := add(s)
			if err != nil {
				return nil, err
			}
			if err := k.add(p, i, m.Overrun); err != nil {
				return nil, err
			}
		}
		b.kinds = append(b.kinds, k)
	}
	for i, s := range b.suppliers {
		if s.Delivery.IsPositive() {
			b.paid = append(b.paid, i)
		}
	}
	return b, nil
}

func (b *buyer) all() uint64 {
	if len(b.suppliers) == mostSuppliers {
		return ^uint64(0)
	}
	return 1<<len(b.suppliers) - 1
}

// goods gives what all kinds cost from a set of suppliers; false where a kind
// that has packs gets none from it.
func (b *buyer) goods(set uint64) (cheap, bool) {
	var sum cheap
	for _, k := range b.kinds {
		if k.need == 0 || len(k.offers) == 0 {
			continue
		}
		c := k.solve(set)
		if !c.ok {
			return cheap{}, false
		}
		sum = sum.plus(c.cheap)
	}
	return sum, true
}

// branch decides over the paid suppliers from at on. set has those decided for
// and all not yet decided; fees are the deliveries of those decided for.
func (b *buyer) branch(at int, set uint64, fees int64) {
	bound, ok := b.goods(set)
	if !ok {
		return
	}
	bound.cost += fees
	if b.found && !bound.less(b.best) {
		return
	}
	if at == len(b.paid) {
		b.best, b.bestSet, b.found = bound, set, true
		return
	}
	s := b.paid[at]
	b.branch(at+1, set&^(1<<s), fees)
	b.branch(at+1, set, fees+ticks(b.suppliers[s].Delivery))
}

// list reads the best choice off.
func (b *buyer) list(needs []Need) List {
	out := List{Needs: needs, Goods: decimal.Zero, Delivery: decimal.Zero}
	var ordered uint64
	for i, k := range b.kinds {
		n := &out.Needs[i]
		switch {
		case k.need == 0:
		case len(k.offers) == 0:
			n.Unpriced = (k.need + n.Kind.UsualPack() - 1) / n.Kind.UsualPack()
		default:
			for _, p := range k.purchases(k.solve(b.bestSet)) {
				n.Purchases = append(n.Purchases, p.Purchase)
				n.Bought += p.Pieces
				out.Goods = out.Goods.Add(p.Cost)
				ordered |= 1 << p.supplier
			}
		}
		if n.Unpriced == 0 {
			n.Leftover = n.OnHand + n.Bought - n.Wanted
		}
	}
	for ; ordered != 0; ordered &= ordered - 1 {
		s := b.suppliers[bits.TrailingZeros64(ordered)]
		out.From = append(out.From, s)
		out.Delivery = out.Delivery.Add(s.Delivery)
	}
	slices.SortFunc(out.From, func(a, b Supplier) int { return cmp.Compare(a.Name, b.Name) })
	return out
}
