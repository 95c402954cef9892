package main

import (
	"context"
	"regexp"
	"strconv"
	"strings"

	"brushfall/internal/cut/pace"
	"brushfall/internal/fault"
	"brushfall/internal/price"
	"brushfall/internal/price/piece"
	"brushfall/internal/shop"
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
	blanks   map[string]price.Blank
}

// keeper is the part of a book that prices need.
type keeper interface {
	shop.Book
	shop.Prices
}

// newPricing reads what prices need from a book. blanks are "NAME=COST".
func newPricing(ctx context.Context, b keeper, blanks []string) (pricing, error) {
	d := pricing{blanks: map[string]price.Blank{}}
	var err error
	if d.settings, err = settings(ctx, b); err != nil {
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
	for _, text := range blanks {
		name, cost, ok := strings.Cut(text, "=")
		amount, err := shop.ParseMoney(cost)
		if !ok || err != nil || strings.TrimSpace(name) == "" {
			return d, fault.New("usage", "--blank", "%q is no blank; write its name and what one costs, such as \"disc 3 in=1.40\"", text)
		}
		name = strings.TrimSpace(name)
		d.blanks[name] = price.Blank{Name: name, Cost: amount, Source: price.ThisOrder}
	}
	return d, nil
}

// item reads a design and puts prices to what it takes.
func (d pricing) item(i item) (price.Item, error) {
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
		kind, err := shop.NewKind(l.Size, l.Colour)
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
		b, ok := d.blanks[i.blank]
		if !ok {
			return out, fault.New("price-blank", i.blank, "it is not known what this costs; add --blank %q", i.blank+"=1.40")
		}
		out.Blank = b
	}
	return out, nil
}
