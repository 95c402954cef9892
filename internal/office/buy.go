package office

import (
	"context"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/shop"
	"brushfall/internal/ticket"
	"brushfall/internal/ticket/pdf"
	"brushfall/internal/wording"
)

// moneyShown is how many decimals a person sees of an amount; half is rounded away
// from zero.
const moneyShown = 2

// Buy gives the packs that meet all wants at the least cost, less what is on hand. A kind
// without a pack is bought as its newest lot was.
func Buy(ctx context.Context, b shop.Book, wants []shop.Want) (shop.List, error) {
	stock, err := b.Stock(ctx)
	if err != nil {
		return shop.List{}, err
	}
	var m shop.Market
	if m.Suppliers, err = b.Suppliers(ctx); err != nil {
		return shop.List{}, err
	}
	if m.Packs, err = b.Packs(ctx); err != nil {
		return shop.List{}, err
	}
	if m.Overrun, err = b.Overrun(ctx); err != nil {
		return shop.List{}, err
	}
	onHand := map[shop.Kind]int{}
	for _, h := range stock {
		onHand[h.Kind] = h.Pieces()
		wanted := slices.ContainsFunc(wants, func(w shop.Want) bool { return w.Kind == h.Kind })
		known := slices.ContainsFunc(m.Packs, func(p shop.Pack) bool { return p.Kind == h.Kind })
		if last, ok := h.AsLastBought(); ok && wanted && !known {
			m.Packs = append(m.Packs, last)
		}
	}
	return shop.Buy(wants, onHand, m)
}

// BuyAnswer is a buy list for a machine, which docs/formats/book.md explains. Amounts
// have two decimals.
type BuyAnswer struct {
	Needs    []NeedRow     `json:"needs"`
	From     []SupplierRow `json:"from"`
	Goods    string        `json:"goods"`
	Delivery string        `json:"delivery"`
	Total    string        `json:"total"`
}

// NeedRow is what is bought of a kind.
type NeedRow struct {
	Size      string        `json:"size"`
	Colour    string        `json:"colour"`
	Wanted    int           `json:"wanted"`
	OnHand    int           `json:"on_hand"`
	Short     int           `json:"short"`
	Purchases []PurchaseRow `json:"buy"`
	Bought    int           `json:"bought"`
	Leftover  int           `json:"leftover"`
	Unpriced  int           `json:"packs_without_price"`
}

// PurchaseRow is so many of one pack.
type PurchaseRow struct {
	Supplier string `json:"supplier"`
	Labelled int    `json:"labelled"`
	Filled   string `json:"filled"`
	Packs    int    `json:"packs"`
	Price    string `json:"price"`
	Cost     string `json:"cost"`
	Pieces   int    `json:"pieces"`
	AsLast   bool   `json:"as_last_bought"`
}

// SupplierRow is a supplier with what a delivery costs.
type SupplierRow struct {
	Supplier string `json:"supplier"`
	Delivery string `json:"delivery"`
}

// Answer gives a buy list for a machine.
func Answer(l shop.List) BuyAnswer {
	out := BuyAnswer{Needs: []NeedRow{}, From: []SupplierRow{}, Goods: l.Goods.StringFixed(moneyShown), Delivery: l.Delivery.StringFixed(moneyShown), Total: l.Total().StringFixed(moneyShown)}
	for _, s := range l.From {
		out.From = append(out.From, SupplierRow{s.Name, s.Delivery.StringFixed(moneyShown)})
	}
	for _, n := range l.Needs {
		row := NeedRow{n.Kind.Size, n.Kind.Colour, n.Wanted, n.OnHand, n.Short, []PurchaseRow{}, n.Bought, n.Leftover, n.Unpriced}
		for _, p := range n.Purchases {
			row.Purchases = append(row.Purchases, PurchaseRow{p.Pack.Supplier, p.Pack.Labelled, string(p.Pack.Filled), p.Packs, priceText(p.Price), p.Cost.StringFixed(moneyShown), p.Pieces, p.Pack.ID == 0})
		}
		out.Needs = append(out.Needs, row)
	}
	return out
}

// priceText gives a price with two decimals, or with all that a finer one has.
func priceText(price decimal.Decimal) string {
	if price.Equal(price.Round(moneyShown)) {
		return price.StringFixed(moneyShown)
	}
	return price.String()
}

// PrintBuyList writes a buy list to be taken along, with boxes to tick; stones are for
// the looks of the colours. An empty
// currency prints amounts alone, a zero day a line to fill in. Fault "buy-list" where
// the purchases do not add up to the total.
func PrintBuyList(w io.Writer, a BuyAnswer, stones catalogue.Stones, currency string, day time.Time, p Print) error {
	l, err := a.paper(stones, p.Spoken(), strings.ToUpper(currency))
	if err != nil {
		return err
	}
	l.Shop, l.Date = Party(p.Shop), day
	return pdf.WriteBuyList(w, l, p.Options())
}

// paper makes the paper's model: what is bought, supplier by supplier.
func (a BuyAnswer) paper(stones catalogue.Stones, language wording.Language, currency string) (ticket.BuyList, error) {
	l := ticket.BuyList{Language: language, Currency: currency}
	at, items := map[string]int{}, 0
	var err error
	number := func(text string) decimal.Decimal {
		d, e := decimal.NewFromString(text)
		if e != nil && err == nil {
			err = fault.New("buy-list", "", "%q is no amount", text)
		}
		return d
	}
	supplier := func(name string) *ticket.BuyFrom {
		i, ok := at[name]
		if !ok {
			i = len(l.Suppliers)
			at[name] = i
			l.Suppliers = append(l.Suppliers, ticket.BuyFrom{Name: name})
		}
		return &l.Suppliers[i]
	}
	for _, n := range a.Needs {
		kind := shop.Kind{Size: n.Size, Colour: n.Colour}
		what := kindWords(wording.In(language), kind)
		var look *ticket.Swatch
		if c, err := stones.FindColour(n.Colour); err == nil {
			look = &ticket.Swatch{Hex: c.Hex, AB: c.Finish == catalogue.AB}
		}
		switch {
		case n.Unpriced > 0:
			item := ticket.BuyItem{What: what, Look: look, Packs: n.Unpriced, Short: n.Short}
			if usual := kind.UsualPack(); usual > 1 {
				item.Holds = usual
			}
			l.Unpriced = append(l.Unpriced, item)
		case n.Short == 0:
			l.Enough = append(l.Enough, what)
		}
		for _, p := range n.Purchases {
			from := supplier(p.Supplier)
			item := ticket.BuyItem{What: what, Look: look, Holds: p.Labelled, Packs: p.Packs, Each: number(p.Price), Amount: number(p.Cost), Short: n.Short, Left: n.Leftover}
			from.Items = append(from.Items, item)
			items++
			from.Sum = from.Sum.Add(item.Amount)
		}
	}
	for _, s := range a.From {
		from := supplier(s.Supplier)
		from.Delivery = number(s.Delivery)
		from.Sum = from.Sum.Add(from.Delivery)
	}
	for _, s := range l.Suppliers {
		l.Delivery = l.Delivery.Add(s.Delivery)
		l.Total = l.Total.Add(s.Sum)
	}
	l.Goods = l.Total.Sub(l.Delivery)
	// each purchase is told rounded to a cent, by half of one at most
	most := decimal.New(int64(5*(items+1)), -3)
	if told := number(a.Total); err == nil && l.Total.Sub(told).Abs().GreaterThan(most) {
		err = fault.New("buy-list", "", "the purchases add up to %s, the list says %s: it was changed", l.Total, told)
	}
	return l, err
}
