package price

import (
	"brushfall/internal/fault"
)

// Terms are what is taken of an order's money besides its cost, and how prices
// are rounded. Fixed fees are for the whole order, of so many Pieces.
type Terms struct {
	Tax    Tax
	Fees   []Fee
	Grid   Grid
	Coin   Coin
	Pieces int
}

// Taken is a fee that someone takes.
type Taken struct {
	Name   string `json:"name"`
	Amount Amount `json:"amount"`
}

// Sale is an order's money. Goods is without tax, Total with it; Tax is all of Taxes
// together, and Left is Goods less the fees.
type Sale struct {
	Goods Amount   `json:"goods"`
	Tax   Amount   `json:"tax"`
	Taxes []Levied `json:"taxes"`
	Total Amount   `json:"total"`
	Fees  []Taken  `json:"fees"`
	Left  Amount   `json:"left"`
}

// Sell gives the money of an order whose prices, as they are shown, add up to an
// amount. Each tax and each fee are rounded to the smallest coin, half away from zero.
// An order for nothing is not paid, and has no fees.
func (t Terms) Sell(shown Amount) Sale {
	s := Sale{Goods: shown, Taxes: t.Tax.on(shown, t.Coin), Total: shown, Fees: []Taken{}}
	for _, l := range s.Taxes {
		s.Tax = s.Tax.Add(l.Amount)
	}
	if t.Tax.Contained {
		s.Goods = shown.Sub(s.Tax)
	} else {
		s.Total = shown.Add(s.Tax)
	}
	s.Left = s.Goods
	for _, f := range t.Fees {
		fee := t.Coin.Round(s.Total.Mul(f.Share)).Add(f.Fixed)
		if s.Total.IsZero() {
			fee = Amount{}
		}
		s.Fees = append(s.Fees, Taken{f.Name, fee})
		s.Left = s.Left.Sub(fee)
	}
	return s
}

// share gives the part of a price without tax that the fees' shares take: they
// are of the price with tax.
func (t Terms) share() Amount {
	sum := Amount{}
	for _, f := range t.Fees {
		sum = sum.Add(f.Share)
	}
	return sum.Mul(one().Add(t.Tax.Share()))
}

// fixed gives the fixed fees of the order.
func (t Terms) fixed() Amount {
	sum := Amount{}
	for _, f := range t.Fees {
		sum = sum.Add(f.Fixed)
	}
	return sum
}

// leastLeft is the least part of a price that must be left for a price to exist:
// where fees and margin take nearly all of it, prices run off beyond all sense.
func leastLeft() Amount { return one().Shift(-2) }

// solve gives the price as it is shown of which, without rounding, `left` is left
// after fees and a further share of the price without tax. Fault "price-impossible".
func (t Terms) solve(left, further Amount) (Amount, error) {
	remains := one().Sub(t.share()).Sub(further)
	if remains.LessThan(leastLeft()) {
		return Amount{}, fault.New("price-impossible", "", "fees and margin take %s of a price, so that no price covers them; ask for less margin, or use markup", Percent(t.share().Add(further)))
	}
	if t.Tax.Contained {
		left = left.Mul(one().Add(t.Tax.Share()))
	}
	return left.DivRound(remains, quotientPlaces), nil
}

// Ask gives the price of one piece, as it is shown, that reaches the target:
//
//	markup u: (c·(1+u) + f) / (1 − φ·(1+t))
//	margin m: (c + f) / (1 − m − φ·(1+t))
//
// c is the cost of a piece, f its part of the fixed fees, φ the shares of the fees
// and t the tax; times 1+t where prices contain the tax, and less the discount.
// Rounded by the grid. The earnings are what is left after fees, less the cost: m
// of the price without tax, or u of the cost. Fault "price-impossible".
func (t Terms) Ask(cost Amount, target Target, less Amount) (Amount, error) {
	further := target.Share
	if target.Markup {
		cost, further = cost.Mul(one().Add(target.Share)), Amount{}
	}
	exact, err := t.solve(cost.Add(t.fixed().DivRound(whole(t.Pieces), quotientPlaces)), further)
	if err != nil {
		return exact, err
	}
	return t.Grid.Round(exact.Mul(one().Sub(less)).Round(quotientPlaces)), nil
}

// Least gives the smallest price of the grid at which so many pieces, alone in
// their order, leave at least what they cost. Fault "price-impossible".
func (t Terms) Least(cost Amount, pieces int) (Amount, error) {
	costs := cost.Mul(whole(pieces))
	if !costs.IsPositive() {
		return t.Grid.At(0), nil
	}
	// Each tax and each fee may be rounded to the shop's favour by half a coin.
	favour := t.Coin.Least().Mul(whole(1 + len(t.Tax.Levies) + len(t.Fees)))
	exact, err := t.solve(costs.Add(t.fixed()).Sub(favour), Amount{})
	if err != nil {
		return exact, err
	}
	below := t.Grid
	below.Mode = Down
	from := below.Index(exact.DivRound(whole(pieces), quotientPlaces))
	for i := from; ; i++ {
		price := t.Grid.At(i)
		if t.Sell(price.Mul(whole(pieces))).Left.GreaterThanOrEqual(costs) {
			return price, nil
		}
	}
}
