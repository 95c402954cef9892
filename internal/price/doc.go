// Package price works out what a transfer costs, what to ask for it, and what is
// left of that. It is arithmetic alone, on exact decimals, with every rounding
// said; docs/pricing.md has the formulas and worked examples.
//
// Roundings: each line of a breakdown is rounded once, to four decimals, and the
// total is the sum of the lines; a price is rounded as the shop has it (Grid); taxes
// and fees are those of the whole order, each rounded to the smallest coin by itself. Where
// nothing else is said, half goes away from zero.
//
// The codes of its faults: "price-setting", "price-value", "price-unset",
// "price-impossible", "price-order".
package price

import (
	"strings"

	"github.com/shopspring/decimal"
	"golang.org/x/text/currency"

	"brushfall/internal/fault"
	"brushfall/internal/wording"
)

// Amount is an exact decimal: money in the shop's own currency, or a number of
// something.
type Amount = decimal.Decimal

// linePlaces is how many decimals a line of a breakdown has: a single stone costs
// less than a cent.
const linePlaces = 4

// quotientPlaces is how many decimals a quotient keeps that is rounded again
// later: what it loses is far below any coin.
const quotientPlaces = 16

// most bounds every number that is read, so that no sum leaves what a person can
// mean: a million.
const most = 1_000_000

// mostQuantity bounds the pieces of one line of an order.
const mostQuantity = 100_000

func whole(n int) Amount { return decimal.NewFromInt(int64(n)) }

// one and hour are the whole of a share, and the seconds of an hourly rate.
func one() Amount  { return whole(1) }
func hour() Amount { return whole(3600) }

// parseNumber reads digits with a point, 0 to most, with at most so many decimals.
// Fault "price-value".
func parseNumber(text string, places int32) (Amount, error) {
	text = strings.TrimSpace(text)
	wrong := fault.New("price-value", "", "%q is no number; write digits with a point, such as 6.50, at most %d with at most %d decimals", text, most, places)
	if text == "" || strings.Trim(text, "0123456789.") != "" || len(text) > 20 {
		return Amount{}, wrong
	}
	n, err := decimal.NewFromString(text)
	if err != nil || n.GreaterThan(whole(most)) || !n.Equal(n.Truncate(places)) {
		return Amount{}, wrong
	}
	return n, nil
}

// parseShare reads "2.5 %" or "2.5%" as 0.025, at most limit percent. Fault
// "price-value".
func parseShare(text string, limit int64) (Amount, error) {
	digits, ok := strings.CutSuffix(strings.TrimSpace(text), "%")
	if !ok {
		return Amount{}, fault.New("price-value", "", "%q is no share; write a number and %%, such as 2.5%%", text)
	}
	n, err := parseNumber(digits, linePlaces)
	if err != nil {
		return n, err
	}
	if n.GreaterThan(decimal.NewFromInt(limit)) {
		return n, fault.New("price-value", "", "%s %% cannot be; give at most %d%%", n, limit)
	}
	return n.Shift(-2), nil
}

// Coin is the smallest coin of a currency: it has so many decimals.
type Coin int32

// usualCoin is a hundredth, where no currency is said.
const usualCoin Coin = 2

// Least gives the amount of the smallest coin.
func (c Coin) Least() Amount { return decimal.New(1, -int32(c)) }

// Round gives an amount in whole coins, half away from zero.
func (c Coin) Round(x Amount) Amount { return x.Round(int32(c)) }

// parseCurrency reads a code of ISO 4217, and gives its smallest coin as that
// standard has it. Fault "price-value".
func parseCurrency(text string) (string, Coin, error) {
	unit, err := wording.Currency(text)
	if err != nil {
		return "", usualCoin, fault.New("price-value", "", "%v", err)
	}
	decimals, _ := currency.Standard.Rounding(unit)
	return unit.String(), Coin(decimals), nil
}

// Percent writes a share as "2.5 %".
func Percent(share Amount) string { return share.Shift(2).String() + " %" }
