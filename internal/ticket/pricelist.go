package ticket

import (
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
	"brushfall/internal/wording"
)

// PriceList is the shop's prices with their breaks by quantity. A zero date is left out.
type PriceList struct {
	Language wording.Language
	Shop     Party
	Title    string // empty: "Price list" in the language
	Date     time.Time
	Until    time.Time
	Currency string // ISO 4217
	Groups   []PriceGroup
	Notes    []string
	// Tax says whether prices hold the tax: TaxUnsaid prints nothing of it.
	Tax TaxWord
}

// TaxWord is what a price list says of tax.
type TaxWord int

// What a price list may say of tax.
const (
	TaxUnsaid TaxWord = iota
	TaxIn             // the prices hold it
	TaxOn             // it comes on top
)

// PriceGroup is a table of the list. Breaks are the numbers of pieces from which
// each column of prices holds, rising.
type PriceGroup struct {
	Title  string
	Breaks []int
	Rows   []PriceRow
}

// PriceRow is what is sold, with a price a piece for each break of its group; one
// that is not valid prints as "ask".
type PriceRow struct {
	What   string
	Detail string
	Prices []decimal.NullDecimal
}

// Check says whether the list can be printed. Faults: "paper-currency", "paper-empty"
// for a list without rows, "paper-prices" for a row with more or fewer prices than
// its group has breaks, or breaks that do not rise.
func (l PriceList) Check() error {
	if _, err := wording.Currency(l.Currency); err != nil {
		return err
	}
	rows := 0
	for _, g := range l.Groups {
		for i, b := range g.Breaks {
			if b < 1 || i > 0 && b <= g.Breaks[i-1] {
				return fault.New("paper-prices", g.Title, "the breaks %v do not rise from at least 1", g.Breaks)
			}
		}
		for _, r := range g.Rows {
			if len(r.Prices) != len(g.Breaks) {
				return fault.New("paper-prices", r.What, "it has %d prices for %d breaks; give one for each", len(r.Prices), len(g.Breaks))
			}
			rows++
		}
	}
	if rows == 0 {
		return fault.New("paper-empty", "", "the price list has no prices; give it a row")
	}
	return nil
}
