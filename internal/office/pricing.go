package office

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"brushfall/internal/catalogue"
	"brushfall/internal/cut/pace"
	"brushfall/internal/fault"
	"brushfall/internal/price"
	"brushfall/internal/price/piece"
	"brushfall/internal/shop"
)

// costPlaces is how many decimals the cost of one of something has.
const costPlaces = 4

// Line is a design that is asked for: so many pieces, what they are for (package
// price has the names), and the name of the blank of the catalogue that they are
// pressed on; empty: the customer's own, or none. Where is what faults call it. A line
// of an earlier quote has Item and Design in the place of Made: what it was priced
// with then.
type Line struct {
	Where    string
	Made     Made
	Quantity int
	For      string
	Blank    string

	Item   *price.Item
	Design int64
}

// Pricing is what designs are priced with: the settings that hold, and what the book
// says that stones, materials and blanks are worth.
type Pricing struct {
	Settings price.Settings

	stock  []shop.Holding
	packs  []shop.Pack
	over   shop.Overrun
	goods  []shop.Goods
	blanks map[string]price.Blank
}

// NewPricing reads it from the book. blanks say what one of a name costs, before what
// the book knows of it.
func NewPricing(ctx context.Context, b Book, blanks map[string]shop.Money) (Pricing, error) {
	p := Pricing{blanks: map[string]price.Blank{}}
	var err error
	if p.goods, err = b.Goods(ctx); err != nil {
		return p, err
	}
	if p.stock, err = b.Stock(ctx); err != nil {
		return p, err
	}
	if p.packs, err = b.Packs(ctx); err != nil {
		return p, err
	}
	if p.over, err = b.Overrun(ctx); err != nil {
		return p, err
	}
	rates, err := b.Rates(ctx)
	if err != nil {
		return p, err
	}
	given := shop.Sheets(p.goods, p.stock, p.packs, p.over)
	maps.Copy(given, shop.InForce(rates))
	if p.Settings, err = price.Read(given); err != nil {
		return p, err
	}
	for name, cost := range blanks {
		name = strings.ToLower(strings.TrimSpace(name))
		p.blanks[name] = price.Blank{Name: name, Cost: cost, Source: price.ThisOrder}
	}
	return p, nil
}

// Item puts prices to what a line takes.
func (p Pricing) Item(ctx context.Context, b Book, l Line) (price.Item, error) {
	out := price.Item{Quantity: l.Quantity, For: l.For}
	if l.Item != nil {
		out.Piece = l.Item.Piece
	} else {
		var err error
		if out.Piece, err = p.piece(ctx, b, l); err != nil {
			return out, err
		}
	}
	if l.Blank == "" {
		return out, nil
	}
	var err error
	if l.Item != nil && l.Item.Blank.Name == l.Blank && p.blanks[l.Blank].Name == "" {
		out.Blank = l.Item.Blank
		return out, nil
	}
	out.Blank, err = p.blank(ctx, b, l.Blank)
	return out, err
}

// piece gives what a transfer of a made design takes, with what its stones are worth.
func (p Pricing) piece(ctx context.Context, b Book, l Line) (price.Piece, error) {
	taken, err := piece.Of(l.Made.Document, pace.Usual())
	if err != nil {
		return price.Piece{}, within(l.Where, err)
	}
	var wants []shop.Want
	for _, c := range taken.Lines {
		kind, err := b.Find(ctx, c.Size, c.Colour)
		if err != nil {
			return price.Piece{}, within(l.Where, err)
		}
		wants = append(wants, shop.Want{Kind: kind, Pieces: c.Pieces})
	}
	taken.Piece.Stones, err = shop.WorthAll(wants, p.stock, p.packs, p.over)
	return taken.Piece, err
}

// blank gives what a blank of the catalogue costs: what was said, or what the book knows.
func (p Pricing) blank(ctx context.Context, b Book, name string) (price.Blank, error) {
	kind, err := b.Find(ctx, catalogue.Blank, name)
	if err != nil {
		return price.Blank{}, err
	}
	if said, ok := p.blanks[kind.Colour]; ok {
		return said, nil
	}
	at := slices.IndexFunc(p.goods, func(g shop.Goods) bool { return g.Kind() == kind })
	w, ok := shop.WorthOf(p.goods[at], p.stock, p.packs, p.over)
	if !ok {
		return price.Blank{}, fault.New("price-blank", name, "it is not known what this costs; receive some with --cost, or add --blank %q", kind.Colour+"=1.40").
			OnPage("the book does not know what one of these costs; book some that came in with their cost, or choose what the customer brings")
	}
	return price.Blank{Name: kind.Colour, Cost: w.Value.DivRound(decimal.NewFromInt(int64(w.Of)), costPlaces), Source: w.Source}, nil
}

// shelved gives what a transfer of a design that lies on the shelf is worth; nil where
// the book has none, or does not know.
func (p Pricing) shelved(ctx context.Context, b Book, digest string) (*price.Amount, error) {
	designs, err := b.Designs(ctx)
	if err != nil {
		return nil, err
	}
	at := slices.IndexFunc(designs, func(o shop.Design) bool { return o.Digest == digest })
	if at < 0 {
		return nil, nil
	}
	w, ok := shop.Worth(shop.TransferOf(designs[at].ID), p.stock, nil, p.over)
	if !ok {
		return nil, nil
	}
	value := w.Value.DivRound(decimal.NewFromInt(int64(w.Of)), costPlaces)
	return &value, nil
}

// within puts a name before the place of a fault.
func within(name string, err error) error {
	return fault.Placed(err, func(where string) string { return strings.TrimSpace(name + " " + where) })
}

// placed gives a fault that has no place one.
func placed(where string, err error) error {
	return fault.Placed(err, func(own string) string { return cmp.Or(own, where) })
}
