package shop

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
	"brushfall/internal/price"
)

// Rate is a change of one setting of prices, or, with Times above 0, a timing of a
// work: Value is then the seconds that so many of its units took. An empty Value
// goes back to the default.
type Rate struct {
	At    time.Time
	Name  string
	Value string
	Times int
}

// Prices keeps what prices are made of, and the price list. Faults beyond those of
// Book, Rate.Check and Listed.Check: "price-list" for a price that is not on it.
type Prices interface {
	// SetRates adds changes and timings, all or none; nothing is ever taken away.
	SetRates(ctx context.Context, at time.Time, rates []Rate) error
	// Rates gives all there ever were, in their order.
	Rates(ctx context.Context) ([]Rate, error)
	// SetListed puts prices on the list, or in the place of those there, all or none;
	// with whole those not named are taken off.
	SetListed(ctx context.Context, at time.Time, rows []Listed, whole bool) error
	// PriceList gives the prices that stand, by design, destination and number.
	PriceList(ctx context.Context) ([]Listed, error)
}

// mostTimes bounds a timing.
const mostTimes = 100_000

// Check gives the rate with its name made regular. Faults: "price-setting",
// "price-value".
func (r Rate) Check() (Rate, error) {
	var err error
	text := r.Value
	if text == "" {
		text = "0" // to look the name up
	}
	if r.Name, err = price.CheckSetting(r.Name, text); err != nil && (r.Value != "" || fault.CodeOf(err) == "price-setting") {
		return r, err
	}
	if r.Times < 0 || r.Times > mostTimes || r.Times > 0 && (!price.IsWork(r.Name) || r.Value == "") {
		return r, fault.New("price-value", r.Name, "%d times cannot be timed; give a work such as brush, 1 to %d times, and the seconds they took", r.Times, mostTimes)
	}
	return r, nil
}

// InForce gives the settings that hold after all rates, in their order: the last
// change of each, or the mean of the timings since. What is not set, or was set
// back, is left out.
func InForce(rates []Rate) map[string]price.Value {
	out := map[string]price.Value{}
	type timed struct {
		seconds       Money
		times, number int
	}
	timings := map[string]timed{}
	for _, r := range rates {
		if r.Times == 0 {
			delete(timings, r.Name)
			out[r.Name] = price.Value{Text: r.Value, Source: price.Own}
			continue
		}
		seconds, err := decimal.NewFromString(strings.TrimSuffix(r.Value, "s"))
		if err != nil {
			continue // Check lets none in
		}
		t := timings[r.Name]
		timings[r.Name] = timed{t.seconds.Add(seconds), t.times + r.Times, t.number + 1}
	}
	for name, t := range timings {
		source := fmt.Sprintf("%s: %d in all, %s s", price.Timed, t.times, t.seconds)
		out[name] = price.Value{Text: t.seconds.DivRound(decimal.NewFromInt(int64(t.times)), moneyPlaces).String(), Source: price.Source(source)}
	}
	maps.DeleteFunc(out, func(_ string, v price.Value) bool { return v.Text == "" })
	return out
}

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
		return nil, fault.New("price-stones", strings.Join(missing, ", "), "the book does not know what these stones cost; receive them with --cost, or add the pack they come in: brushfall pack add")
	}
	return out, nil
}
