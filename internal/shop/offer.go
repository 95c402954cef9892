package shop

import (
	"cmp"
	"slices"

	"brushfall/internal/fault"
)

// Supplier is who sells packs. Delivery is what an order costs beyond its packs,
// whatever is in it.
type Supplier struct {
	Name     string
	Delivery Money
}

// Check gives the supplier with its name made regular. Faults: "supplier", "text", "money".
func (s Supplier) Check() (Supplier, error) {
	var err error
	if s.Name, err = cleanText("the supplier", s.Name); err != nil {
		return s, err
	}
	if s.Name == "" {
		return s, fault.New("supplier", "", "give the supplier's name")
	}
	return s, checkMoney(s.Delivery)
}

// Break is a price: from so many packs on, every pack costs Price.
type Break struct {
	From  int
	Price Money
}

// Pack is what a supplier sells of a kind. Labelled is what its label says, in
// pieces. Breaks has at least the price of one pack, its From rising from the
// first; that is the fewest that are sold.
type Pack struct {
	ID       int64
	Supplier string
	Kind     Kind
	Labelled int
	Filled   Filled
	Breaks   []Break
}

// mostBreaks and mostFrom bound the price breaks of a pack.
const (
	mostBreaks = 12
	mostFrom   = 10_000
)

// Check gives the pack with its texts made regular and its breaks in order.
// Faults: "pieces", "pack", "pack-break", "supplier", "text", "money".
func (p Pack) Check() (Pack, error) {
	if err := checkPieces(p.Labelled, 1); err != nil {
		return p, err
	}
	s, err := Supplier{Name: p.Supplier}.Check()
	if err != nil {
		return p, err
	}
	p.Supplier = s.Name
	if p.Filled == "" {
		p.Filled = ByPieces
	}
	if len(p.Breaks) == 0 || len(p.Breaks) > mostBreaks {
		return p, fault.New("pack", p.Kind.String(), "a pack has 1 to %d prices; give what one costs", mostBreaks)
	}
	p.Breaks = slices.Clone(p.Breaks)
	slices.SortFunc(p.Breaks, func(a, b Break) int { return cmp.Compare(a.From, b.From) })
	for i, b := range p.Breaks {
		if b.From < 1 || b.From > mostFrom || (i > 0 && b.From == p.Breaks[i-1].From) {
			return p, fault.New("pack-break", p.Kind.String(), "a price from %d packs on cannot be; give 1 to %d, each once", b.From, mostFrom)
		}
		if err := checkMoney(b.Price); err != nil {
			return p, err
		}
	}
	return p, nil
}

// Price gives what one of n packs costs; false below the fewest that are sold.
func (p Pack) Price(n int) (Money, bool) {
	price, ok := Money{}, false
	for _, b := range p.Breaks {
		if b.From <= n {
			price, ok = b.Price, true
		}
	}
	return price, ok
}

// AsLastBought gives a pack like the newest lot of a holding with a known cost,
// for kinds that no supplier's pack is known of; false where there is none.
func (h Holding) AsLastBought() (Pack, bool) {
	for _, l := range slices.Backward(h.Lots) {
		if l.Cost != nil && l.Labelled > 0 {
			return Pack{Supplier: l.Supplier, Kind: h.Kind, Labelled: l.Labelled, Filled: l.Filled, Breaks: []Break{{1, *l.Cost}}}, true
		}
	}
	return Pack{}, false
}
