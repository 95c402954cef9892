package main

import (
	"context"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"brushfall/internal/catalogue"
	"brushfall/internal/cut/pace"
	"brushfall/internal/fault"
	"brushfall/internal/price"
	"brushfall/internal/price/piece"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

// itemForm is a design to be priced: a folder or layout.json, and as one likes
// =NUMBER, :WHAT FOR and :BLANK.
var itemForm = regexp.MustCompile(`^(.+?)(?:=(\d{1,6}))?(?::(transfer|decal|garment|bag|bow|disc)(?::(.+))?)?$`)

// itemHelp explains the form.
const itemHelp = `A design is the folder that brushfall make wrote, or its layout.json, then as you like
=NUMBER of pieces, :WHAT they are for (transfer, the default, sold on its tape; decal,
pressed onto film; garment, bag, bow or disc, pressed onto it), and :BLANK, the name of what
of yours they are pressed onto; without one it is the customer's own.`

// item is one of them, taken apart.
type item struct {
	path     string
	quantity int
	what     string
	blank    string
}

func parseItem(arg string) (item, error) {
	if exists(arg) {
		return item{arg, 1, price.ForTransfer, ""}, nil
	}
	m := itemForm.FindStringSubmatch(arg)
	if m == nil {
		return item{}, fault.New("usage", "", "name a design")
	}
	i := item{m[1], 1, price.ForTransfer, strings.TrimSpace(m[4])}
	if m[2] != "" {
		i.quantity, _ = strconv.Atoi(m[2]) // at most six digits
	}
	if m[3] != "" {
		i.what = m[3]
	}
	return i, nil
}

// pricing is what designs are priced with.
type pricing struct {
	settings price.Settings
	stock    []shop.Holding
	packs    []shop.Pack
	over     shop.Overrun
	goods    []shop.Goods
	blanks   map[string]price.Blank
}

// newPricing reads what prices need from a book. blanks are "NAME=COST".
func newPricing(ctx context.Context, b *store.Book, blanks []string) (pricing, error) {
	d := pricing{blanks: map[string]price.Blank{}}
	var err error
	if d.goods, err = b.Goods(ctx); err != nil {
		return d, err
	}
	if d.stock, err = b.Stock(ctx); err != nil {
		return d, err
	}
	if d.packs, err = b.Packs(ctx); err != nil {
		return d, err
	}
	if d.over, err = b.Overrun(ctx); err != nil {
		return d, err
	}
	rates, err := b.Rates(ctx)
	if err != nil {
		return d, err
	}
	given := shop.Sheets(d.goods, d.stock, d.packs, d.over)
	maps.Copy(given, shop.InForce(rates))
	if d.settings, err = price.Read(given); err != nil {
		return d, err
	}
	for _, text := range blanks {
		name, cost, ok := strings.Cut(text, "=")
		amount, err := shop.ParseMoney(cost)
		if !ok || err != nil || strings.TrimSpace(name) == "" {
			return d, fault.New("usage", "--blank", "%q is no blank; write its name and what one costs, such as \"disc 3 in=1.40\"", text)
		}
		name = strings.ToLower(strings.TrimSpace(name))
		d.blanks[name] = price.Blank{Name: name, Cost: amount, Source: price.ThisOrder}
	}
	return d, nil
}

// item reads a design and puts prices to what it takes.
func (d pricing) item(ctx context.Context, b *store.Book, i item) (price.Item, error) {
	doc, err := readLayout(i.path)
	if err != nil {
		return price.Item{}, err
	}
	taken, err := piece.Of(doc, pace.Usual())
	if err != nil {
		return price.Item{}, within(i.path, err)
	}
	var wants []shop.Want
	for _, l := range taken.Lines {
		kind, err := b.Find(ctx, l.Size, l.Colour)
		if err != nil {
			return price.Item{}, within(i.path, err)
		}
		wants = append(wants, shop.Want{Kind: kind, Pieces: l.Pieces})
	}
	out := price.Item{Piece: taken.Piece, Quantity: i.quantity, For: i.what}
	if out.Piece.Stones, err = shop.WorthAll(wants, d.stock, d.packs, d.over); err != nil {
		return out, err
	}
	if i.blank != "" {
		out.Blank, err = d.blank(ctx, b, i.blank)
	}
	return out, err
}

// blank gives what a blank of the catalogue costs: what was said, or what the book knows.
func (d pricing) blank(ctx context.Context, b *store.Book, name string) (price.Blank, error) {
	kind, err := b.Find(ctx, catalogue.Blank, name)
	if err != nil {
		return price.Blank{}, err
	}
	if said, ok := d.blanks[kind.Colour]; ok {
		return said, nil
	}
	at := slices.IndexFunc(d.goods, func(g shop.Goods) bool { return g.Kind() == kind })
	w, ok := shop.WorthOf(d.goods[at], d.stock, d.packs, d.over)
	if !ok {
		return price.Blank{}, fault.New("price-blank", name, "it is not known what this costs; receive some with --cost, or add --blank %q", kind.Colour+"=1.40")
	}
	return price.Blank{Name: kind.Colour, Cost: w.Value.DivRound(decimal.NewFromInt(int64(w.Of)), costPlaces), Source: w.Source}, nil
}

// costPlaces is how many decimals the cost of one of something has.
const costPlaces = 4

// shelved gives what a transfer of a design that lies on the shelf is worth; nil where
// the book has none, or does not know.
func (d pricing) shelved(ctx context.Context, b *store.Book, of shop.Design) (*price.Amount, error) {
	designs, err := b.Designs(ctx)
	if err != nil {
		return nil, err
	}
	at := slices.IndexFunc(designs, func(o shop.Design) bool { return o.Digest == of.Digest })
	if at < 0 {
		return nil, nil
	}
	w, ok := shop.Worth(shop.TransferOf(designs[at].ID), d.stock, nil, d.over)
	if !ok {
		return nil, nil
	}
	value := w.Value.DivRound(decimal.NewFromInt(int64(w.Of)), costPlaces)
	return &value, nil
}
