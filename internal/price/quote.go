package price

import (
	"fmt"
	"slices"

	"brushfall/internal/fault"
)

// Item is a line of an order: so many pieces of a design, made so. Price, where it
// is not nil, is what one costs by the price list, as it is shown.
type Item struct {
	Piece     Piece   `json:"piece"`
	Quantity  int     `json:"quantity"`
	For       string  `json:"for"`
	Blank     Blank   `json:"blank"`
	FromShelf bool    `json:"from_shelf,omitempty"`
	Value     *Amount `json:"value,omitempty"`
	Price     *Amount `json:"price,omitempty"`
}

func (i Item) making() Making {
	return Making{For: i.For, Blank: i.Blank, FromShelf: i.FromShelf, Value: i.Value, Quantity: i.Quantity}
}

// Extra is something beside the designs, such as delivery, as it is shown. It
// earns nothing: what the customer pays for it without tax is what it costs.
type Extra struct {
	What   string `json:"what"`
	Amount Amount `json:"amount"`
}

// Order is what a customer asks for. Fees names those that are taken of the
// payment.
type Order struct {
	Items  []Item   `json:"items"`
	Extras []Extra  `json:"extras"`
	Fees   []string `json:"fees"`
	Rush   bool     `json:"rush"`
}

// Offer is a line of a quote. Price is that of one piece and Amount that of all,
// as shown; Less is the share taken off for the quantity. Least is the smallest
// price that still earns, and ForWage the one that pays the wage wished for, 0
// where none is. Hand compares the template with setting by hand.
type Offer struct {
	Design   string `json:"design"`
	For      string `json:"for"`
	Blank    string `json:"blank"`
	Quantity int    `json:"quantity"`
	Cost     Cost   `json:"cost"`
	Less     Amount `json:"less"`
	Listed   bool   `json:"listed"`
	Price    Amount `json:"price"`
	Amount   Amount `json:"amount"`
	Least    Amount `json:"least"`
	ForWage  Amount `json:"for_wage"`
	Hand     ByHand `json:"by_hand"`
}

// Quote is an order with its prices. Shown adds up the lines, the rush fee and the
// extras as the customer sees them; Sale is the money of it. Cost is what all
// costs, Earned what is left beyond that, Margin and Markup what it is of the price
// without tax and of the cost, to four decimals; Hours is the work, and Hourly what
// is left for an hour of it once all else is paid.
type Quote struct {
	Offers []Offer `json:"lines"`
	Extras []Extra `json:"extras"`
	Rush   Amount  `json:"rush"`
	Shown  Amount  `json:"shown"`
	Sale   Sale    `json:"sale"`
	Cost   Amount  `json:"cost"`
	Earned Amount  `json:"earned"`
	Margin Amount  `json:"margin"`
	Markup Amount  `json:"markup"`
	Hours  Amount  `json:"hours"`
	Hourly Amount  `json:"hourly"`
}

// mostItems bounds the lines of an order, and its extras.
const mostItems = 500

// For gives the quote for an order. Faults: "price-order", "price-unset",
// "price-impossible", "price-setting" for a fee that is not known.
func (s Settings) For(o Order) (Quote, error) {
	t, err := s.terms(o)
	if err != nil {
		return Quote{}, err
	}
	q := Quote{Offers: []Offer{}, Extras: append([]Extra{}, o.Extras...)}
	wages, seconds := Amount{}, Amount{}
	for _, i := range o.Items {
		offer, err := s.offer(i, t)
		if err != nil {
			return Quote{}, err
		}
		q.Offers = append(q.Offers, offer)
		n := whole(i.Quantity)
		q.Shown = q.Shown.Add(offer.Amount)
		q.Cost = q.Cost.Add(offer.Cost.Total.Mul(n))
		wages = wages.Add(offer.Cost.Wages().Mul(n))
		seconds = seconds.Add(offer.Cost.Seconds.Mul(n))
	}
	if o.Rush {
		q.Rush = s.Coin.Round(q.Shown.Mul(s.Rush))
		q.Shown = q.Shown.Add(q.Rush)
	}
	for _, e := range o.Extras {
		q.Shown = q.Shown.Add(e.Amount)
		q.Cost = q.Cost.Add(s.Tax.without(e.Amount))
	}
	q.Sale = t.Sell(q.Shown)
	q.Earned = q.Sale.Left.Sub(q.Cost)
	q.Margin, q.Markup = ratio(q.Earned, q.Sale.Goods), ratio(q.Earned, q.Cost)
	q.Hours = quotient(seconds, hour())
	if seconds.IsPositive() {
		q.Hourly = quotient(q.Earned.Add(wages).Mul(hour()), seconds)
	}
	return q, nil
}

// ratio divides to four decimals; by nothing, nothing.
func ratio(x, by Amount) Amount {
	if by.IsZero() {
		return Amount{}
	}
	return quotient(x, by)
}

// terms checks an order and gives its terms.
func (s Settings) terms(o Order) (Terms, error) {
	t := Terms{Tax: s.Tax, Grid: s.Grid, Coin: s.Coin}
	if len(o.Items) == 0 || len(o.Items) > mostItems || len(o.Extras) > mostItems {
		return t, fault.New("price-order", "", "an order has 1 to %d lines", mostItems)
	}
	for n, i := range o.Items {
		if i.Quantity < 1 || i.Quantity > mostQuantity {
			return t, fault.New("price-order", i.Piece.Design, "%d pieces cannot be ordered; give 1 to %d", i.Quantity, mostQuantity)
		}
		if i.Price != nil && (i.Price.IsNegative() || !i.Price.Equal(s.Coin.Round(*i.Price)) || i.Price.GreaterThan(whole(most))) {
			return t, fault.New("price-order", fmt.Sprintf("line %d", n+1), "a price of %s cannot be paid in coins of %s", i.Price, s.Coin.Least())
		}
		t.Pieces += i.Quantity
	}
	for _, e := range o.Extras {
		if e.What == "" || e.Amount.IsNegative() || !e.Amount.Equal(s.Coin.Round(e.Amount)) || e.Amount.GreaterThan(whole(most)) {
			return t, fault.New("price-order", e.What, "an extra has a name and an amount in whole coins, such as Delivery=4.90")
		}
	}
	for n, name := range o.Fees {
		f, ok := s.Fees[name]
		if !ok || slices.Contains(o.Fees[:n], name) {
			return t, fault.New("price-setting", name, "there is no such fee, or it is there twice; there are card and market")
		}
		t.Fees = append(t.Fees, f)
	}
	return t, nil
}

// offer prices one line.
func (s Settings) offer(i Item, t Terms) (Offer, error) {
	var err error
	o := Offer{Design: i.Piece.Design, For: i.For, Blank: i.Blank.Name, Quantity: i.Quantity}
	if o.Cost, err = CostOf(i.Piece, i.making(), s); err != nil {
		return o, err
	}
	if i.Price != nil {
		o.Listed, o.Price = true, *i.Price
	} else {
		o.Less = s.discount(i.Quantity)
		if o.Price, err = t.Ask(o.Cost.Total, s.Target, o.Less); err != nil {
			return o, err
		}
	}
	o.Amount = o.Price.Mul(whole(i.Quantity))
	if o.Least, err = t.Least(o.Cost.Total, i.Quantity); err != nil {
		return o, err
	}
	if !s.Wage.IsZero() {
		if o.ForWage, err = s.forWage(i, t); err != nil {
			return o, err
		}
	}
	o.Hand, err = Compare(i.Piece, s)
	return o, err
}

// forWage gives the smallest price at which an hour of work, whatever it is, is paid as
// wished.
func (s Settings) forWage(i Item, t Terms) (Amount, error) {
	s.Labour, s.Rates = s.Wage, nil
	c, err := CostOf(i.Piece, i.making(), s)
	if err != nil {
		return Amount{}, err
	}
	return t.Least(c.Total, i.Quantity)
}
