package shop

import (
	"strings"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
)

// Money is an amount in the shop's own currency, exact.
type Money = decimal.Decimal

// moneyPlaces is how many decimals an amount may have: prices of single stones
// go below a cent.
const moneyPlaces = 4

// mostMoney bounds an amount: a million is more than a pack or a lot costs.
const mostMoney = 1_000_000

// ParseMoney reads an amount such as 6.50: digits with a point, 0 to a million,
// at most four decimals. Fault "money".
func ParseMoney(text string) (Money, error) {
	text = strings.TrimSpace(text)
	if text == "" || strings.Trim(text, "0123456789.") != "" || len(text) > 20 {
		return Money{}, fault.New("money", "", "%q is no amount; write digits with a point, such as 6.50, without a currency", text)
	}
	m, err := decimal.NewFromString(text)
	if err != nil {
		return Money{}, fault.New("money", "", "%q is no amount; write digits with a point, such as 6.50, without a currency", text)
	}
	return m, checkMoney(m)
}

func checkMoney(m Money) error {
	if m.IsNegative() || m.GreaterThan(decimal.NewFromInt(mostMoney)) || !m.Equal(m.Truncate(moneyPlaces)) {
		return fault.New("money", "", "an amount of %s cannot be; give 0 to %d with at most %d decimals", m, mostMoney, moneyPlaces)
	}
	return nil
}

// ticks gives an amount in ten-thousandths, which are whole for every Money that
// ParseMoney gives, so that searches add and compare exactly.
func ticks(m Money) int64 { return m.Shift(moneyPlaces).IntPart() }

func fromTicks(t int64) Money { return decimal.New(t, -moneyPlaces) }
