package price

import (
	"strings"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
)

// Mode is a direction of rounding. Amounts are never below zero, so that toward
// zero is down.
type Mode string

// The modes, with their names in IEEE 754-2019, 4.3, and for the two to the
// nearest those in ISO 80000-1:2009, B.3.
const (
	Even    Mode = "even"    // roundTiesToEven; rule A
	Nearest Mode = "nearest" // roundTiesToAway; rule B
	Up      Mode = "up"      // roundTowardPositive
	Down    Mode = "down"    // roundTowardNegative
)

// Grid is the prices that a shop has: Ending, Ending + Step, Ending + 2·Step and so
// on, and how others are brought to them. Step is above 0, Ending from 0 to below
// Step.
type Grid struct {
	Mode   Mode
	Step   Amount
	Ending Amount
}

// ParseGrid reads "up 0.05", steps of 0.05, or "up x.99", whole amounts and 0.99;
// likewise with nearest, even and down. Fault "price-value".
func ParseGrid(text string) (Grid, error) {
	wrong := fault.New("price-value", "", "%q is no rounding; write up, nearest, even or down and a step, such as up 0.05, or an ending, such as up x.99", text)
	mode, to, _ := strings.Cut(strings.TrimSpace(text), " ")
	g := Grid{Mode: Mode(mode), Step: one()}
	switch g.Mode {
	case Even, Nearest, Up, Down:
	default:
		return g, wrong
	}
	to = strings.TrimSpace(to)
	var err error
	if ending, ok := strings.CutPrefix(to, "x."); ok && ending != "" {
		g.Ending, err = parseNumber("0."+ending, linePlaces)
	} else if g.Step, err = parseNumber(to, linePlaces); err == nil && g.Step.IsZero() {
		return g, wrong
	}
	if err != nil {
		return g, wrong
	}
	return g, nil
}

// String gives what ParseGrid reads.
func (g Grid) String() string {
	if g.Ending.IsZero() {
		return string(g.Mode) + " " + g.Step.String()
	}
	return string(g.Mode) + " x" + strings.TrimPrefix(g.Ending.String(), "0")
}

// Round brings an amount to the grid. What is below the first price becomes that.
func (g Grid) Round(x Amount) Amount {
	return g.At(g.Index(x))
}

// At gives the price with the index, the first having 0.
func (g Grid) At(index int64) Amount {
	return g.Ending.Add(g.Step.Mul(decimal.NewFromInt(index)))
}

// Index gives the index of the price that an amount is rounded to.
func (g Grid) Index(x Amount) int64 {
	beyond := x.Sub(g.Ending)
	if !beyond.IsPositive() {
		return 0
	}
	quotient, rest := beyond.QuoRem(g.Step, 0)
	k := quotient.IntPart()
	switch half := rest.Add(rest).Cmp(g.Step); {
	case rest.IsZero() || g.Mode == Down:
	case g.Mode == Up || half > 0 || half == 0 && (g.Mode == Nearest || k%2 == 1):
		k++
	}
	return k
}
