package shop

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/price"
)

// Worth gives what so many stones of a kind are worth, and where that comes from:
// the lots on hand whose cost is known, at what they really cost; else the pack that
// is cheapest for each stone to count on; else the newest lot that there was. False
// where nothing is known.
func Worth(kind Kind, stock []Holding, packs []Pack, over Overrun) (price.Stones, bool) {
	out := price.Stones{Kind: kind.String()}
	at := slices.IndexFunc(stock, func(h Holding) bool { return h.Kind == kind })
	if at >= 0 {
		for _, l := range stock[at].Lots {
			if v, ok := l.Value(); ok && l.OnHand() > 0 {
				out.Value, out.Of = out.Value.Add(v), out.Of+l.OnHand()
			}
		}
		if out.Of > 0 {
			out.Source = "lots on hand"
			return out, true
		}
	}
	for _, p := range packs {
		pieces := over.Plan(p.Labelled, p.Filled)
		if p.Kind != kind || pieces < 1 {
			continue
		}
		first := p.Breaks[0]
		if out.Of == 0 || first.Price.Mul(whole(out.Of)).LessThan(out.Value.Mul(whole(pieces))) {
			out.Value, out.Of, out.Source = first.Price, pieces, price.Source("pack of "+p.Supplier)
		}
	}
	if out.Of > 0 {
		return out, true
	}
	if at < 0 {
		return out, false
	}
	last, ok := stock[at].AsLastBought()
	if ok {
		out.Value, out.Of, out.Source = last.Breaks[0].Price, last.Labelled, "as last bought"
	}
	return out, ok
}

func whole(n int) Money { return decimal.NewFromInt(int64(n)) }

// WorthAll is Worth for several kinds with their pieces. Fault "price-stones" with
// all that nothing is known of.
func WorthAll(wants []Want, stock []Holding, packs []Pack, over Overrun) ([]price.Stones, error) {
	var out []price.Stones
	var missing []string
	for _, w := range wants {
		s, ok := Worth(w.Kind, stock, packs, over)
		if !ok {
			missing = append(missing, w.Kind.String())
			continue
		}
		s.Pieces = w.Pieces
		out = append(out, s)
	}
	if len(missing) > 0 {
		return nil, fault.New("price-stones", strings.Join(missing, ", "), "the book does not know what these stones cost; receive them with --cost, or add the pack they come in: brushfall pack add").
			OnPage("the book does not know what these stones cost; book some that came in with their cost (Stock), or keep the pack they come in (Buy list)")
	}
	return out, nil
}

// WorthOf is Worth for goods: where neither lots nor packs say what one costs, the
// shop's catalogue may.
func WorthOf(g Goods, stock []Holding, packs []Pack, over Overrun) (price.Stones, bool) {
	w, ok := Worth(g.Kind(), stock, packs, over)
	if !ok && g.Cost != nil {
		w.Value, w.Of, w.Source, ok = *g.Cost, 1, "catalogue of the shop", true
	}
	return w, ok
}

// Sheets gives what a sheet of each material costs by what the book knows of the usual
// goods of its class, for those settings of prices that are not set: the cost of one,
// by its area of the sheet that the setting is for. What is not known is left out.
func Sheets(goods []Goods, stock []Holding, packs []Pack, over Overrun) map[string]price.Value {
	out := map[string]price.Value{}
	for class, name := range UsualOf(goods) {
		at := slices.IndexFunc(goods, func(g Goods) bool { return g.Class == class && g.Name == name })
		width, height := catalogue.TapeWidth, catalogue.TapeHeight
		if class == catalogue.Flock {
			width, height = catalogue.FlockWidth, catalogue.FlockHeight
		}
		g := goods[at]
		w, ok := WorthOf(g, stock, packs, over)
		if !ok {
			continue
		}
		if g.Width == 0 || g.Height == 0 { // not known: taken as the usual sheet
			g.Width, g.Height = width, height
		}
		area := func(w, h float64) Money { return decimal.NewFromFloat(w).Mul(decimal.NewFromFloat(h)) }
		cost := w.Value.Mul(area(width, height)).DivRound(area(g.Width, g.Height).Mul(whole(w.Of)), moneyPlaces)
		out[class] = price.Value{Text: cost.String(), Source: price.Source(g.Name + ", " + string(w.Source))}
	}
	return out
}
