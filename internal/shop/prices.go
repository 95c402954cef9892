package shop

import (
	"context"
	"fmt"
	"maps"
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

// Timings gives how long the shop's own works take, of the settings that hold after all
// rates: the works that it timed or set, in seconds, by the names of package price.
func Timings(rates []Rate) map[string]price.Value {
	out := InForce(rates)
	maps.DeleteFunc(out, func(name string, _ price.Value) bool { return !price.IsWork(name) })
	return out
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
