package office

import (
	"context"
	"path"
	"strings"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/price"
	"brushfall/internal/shop"
)

// Request is what is asked for, to be quoted. Day and Until are days, "2026-12-24";
// empty: today, and as long as the settings say. Fees names those that are taken,
// Blanks what blanks cost and With settings that hold for this quote alone. Listed
// takes the prices of the price list. Before is a quote that this one takes the place
// of: it is reckoned with the settings of that one.
type Request struct {
	Lines    []Line
	Customer int64
	Day      string
	Until    string
	Note     string
	Fees     []string
	Extras   []price.Extra
	Blanks   map[string]shop.Money
	With     map[string]string

	Rush, FromShelf, Listed bool

	Before *shop.Quote
}

// Offer is a quote that is reckoned and not kept yet.
type Offer struct {
	Quote    shop.Quote
	Made     price.Quote
	Settings price.Settings

	designs []shop.Design // of the lines, in their order; those with an ID are in the book
}

// Reckon gives the offer for a request. now is for the day.
func Reckon(ctx context.Context, b Book, r Request, now time.Time) (Offer, error) {
	p, err := NewPricing(ctx, b, r.Blanks)
	if err != nil {
		return Offer{}, err
	}
	if r.Before != nil {
		if p.Settings, err = price.Read(r.Before.Basis.Settings); err != nil {
			return Offer{}, err
		}
	}
	if p.Settings, err = p.Settings.With(r.With); err != nil {
		return Offer{}, err
	}
	out := Offer{Quote: shop.Quote{Note: r.Note, Customer: r.Customer, Answer: shop.Given}}
	q := &out.Quote
	if q.Day, q.Until, err = r.days(p.Settings, now); err != nil {
		return out, err
	}
	if r.Customer != 0 {
		c, err := b.Customer(ctx, r.Customer)
		if err != nil {
			return out, err
		}
		q.Called = c.Called()
	}
	order, designs, err := p.order(ctx, b, r)
	if err != nil {
		return out, err
	}
	q.Basis, out.designs = shop.Basis{Order: order, Settings: p.Settings.Given}, designs
	if out.Made, out.Settings, err = q.Basis.Reckon(); err != nil {
		return out, err
	}
	q.Total = out.Made.Sale.Total
	return out, nil
}

// Keep keeps the quote in the book, and gives it with its number. One that takes the
// place of another turns that down. All of it is done, or nothing.
func (o Offer) Keep(ctx context.Context, b Book, at time.Time, before *shop.Quote) (shop.Quote, error) {
	q := o.Quote
	q.Basis.Designs = nil
	var fresh []shop.Design
	for _, d := range o.designs {
		q.Basis.Designs = append(q.Basis.Designs, d.ID)
		if d.ID == 0 {
			fresh = append(fresh, d)
		}
	}
	var instead int64
	if before != nil {
		instead = before.Number
	}
	return b.AddQuote(ctx, at, q, fresh, instead)
}

// days gives the day of the quote and the last on which it holds.
func (r Request) days(s price.Settings, now time.Time) (day, until string, err error) {
	day = now.Format(time.DateOnly)
	if r.Day != "" {
		day = r.Day
	}
	from, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return "", "", fault.New("quote", "--day", "%q is no day; write it as 2026-12-24", day)
	}
	until = from.AddDate(0, 0, s.ValidDays).Format(time.DateOnly)
	if r.Until != "" {
		until = r.Until
	}
	return day, until, nil
}

// order prices the lines, and gives the designs they are of.
func (p Pricing) order(ctx context.Context, b Book, r Request) (price.Order, []shop.Design, error) {
	o := price.Order{Extras: append([]price.Extra{}, r.Extras...), Fees: r.Fees, Rush: r.Rush}
	var list []shop.Listed
	var err error
	if r.Listed {
		if list, err = b.PriceList(ctx); err != nil {
			return o, nil, err
		}
	}
	var designs []shop.Design
	for _, l := range r.Lines {
		it, d, err := p.line(ctx, b, r, l, list)
		if err != nil {
			return o, nil, err
		}
		o.Items, designs = append(o.Items, it), append(designs, d)
	}
	return o, designs, nil
}

// line prices one line of an order.
func (p Pricing) line(ctx context.Context, b Book, r Request, l Line, list []shop.Listed) (price.Item, shop.Design, error) {
	it, err := p.Item(ctx, b, l)
	if err != nil {
		return it, shop.Design{}, err
	}
	d, err := l.design(ctx, b)
	if err != nil {
		return it, d, within(l.Where, err)
	}
	if it.FromShelf = r.FromShelf; r.FromShelf {
		if it.Value, err = p.shelved(ctx, b, d.Digest); err != nil {
			return it, d, err
		}
	}
	if r.Listed {
		amount, ok := shop.PriceOf(list, it.Piece.Design, ListedFor(it), it.Quantity)
		if !ok {
			return it, d, fault.New("price-list", l.Where, "there is no price for %d of these on the list; brushfall price list %s --keep makes one", it.Quantity, l.Where).
				OnPage("there is no price for %d of these on the list; put one there (Prices), or take the tick from “by the price list”", it.Quantity)
		}
		it.Price = &amount
	}
	return it, d, nil
}

// design gives the design of a line, as the book has it or is to have it.
func (l Line) design(ctx context.Context, b Book) (shop.Design, error) {
	if l.Item != nil {
		return b.Design(ctx, l.Design)
	}
	return l.Made.Design(strings.TrimSuffix(path.Base(l.Where), path.Ext(l.Where)))
}

// Rung is a price that was just made: what one costs the shop, and the smallest price
// that still earns.
type Rung struct {
	shop.Listed
	Cost, Least price.Amount
}

// Ladder makes prices of a line by quantity; none: one, and the breaks that are set.
func (p Pricing) Ladder(ctx context.Context, b Book, l Line, fees []string, quantities []int) ([]Rung, error) {
	it, err := p.Item(ctx, b, l)
	if err != nil {
		return nil, err
	}
	rungs, err := p.Settings.Ladder(it, fees, quantities)
	if err != nil {
		return nil, err
	}
	var out []Rung
	for _, r := range rungs {
		out = append(out, Rung{shop.Listed{Design: it.Piece.Design, For: ListedFor(it), From: r.From, Price: r.Price}, r.Cost, r.Least})
	}
	return out, nil
}

// ListedFor says what a price on the list is for: the blank, where the shop sells one
// with it.
func ListedFor(i price.Item) string {
	if i.Blank.Name != "" {
		return i.Blank.Name
	}
	return i.For
}

// ListChanges gives the prices of rows that are new or other than before, and those that
// go where rows are the whole list.
func ListChanges(before, rows []shop.Listed, whole bool) (fresh, gone []shop.Listed) {
	find := func(in []shop.Listed, l shop.Listed) (shop.Listed, bool) {
		for _, o := range in {
			if shop.CompareListed(o, l) == 0 {
				return o, true
			}
		}
		return shop.Listed{}, false
	}
	for _, l := range rows {
		if o, ok := find(before, l); !ok || !o.Price.Equal(l.Price) {
			fresh = append(fresh, l)
		}
	}
	for _, o := range before {
		if _, ok := find(rows, o); whole && !ok {
			gone = append(gone, o)
		}
	}
	return fresh, gone
}
