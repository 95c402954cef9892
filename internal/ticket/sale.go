package ticket

import (
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
	"brushfall/internal/wording"
)

// Party is the shop or a customer as a paper names it. Lines are the address and
// whatever else is to stand below the name, as the shop writes it; all may be empty.
type Party struct {
	Name  string
	Lines []string
}

// Sale is what a quote and an order sheet have in common. Amounts are of Currency,
// an ISO 4217 code. A zero date leaves a line to fill in, an empty Number is left
// out. Goods is the sum of the lines, Net the goods with the charges, Total what the
// customer pays: Net with the taxes, or Net alone where TaxIncluded says that they
// are in it. Check holds the sums to each other; no paper is printed that does not add up.
type Sale struct {
	Language wording.Language
	Number   string
	Shop     Party
	Customer Party
	Date     time.Time
	Currency string
	Lines    []SaleLine
	Charges  []Charge // rush, delivery; a discount is less than nought
	Taxes    []Tax
	// TaxIncluded says that prices hold the tax, which is then told and not added.
	TaxIncluded bool
	Goods       decimal.Decimal
	Net         decimal.Decimal
	Total       decimal.Decimal
	// Rounding is what was added so that the lines come to Goods, for a shop that
	// rounds its sums; nought where they add up by themselves.
	Rounding decimal.Decimal
	Notes    []string // what the shop wants to say, a paragraph each
	// Children says that the goods are meant for children: the paper then carries the
	// caution of goods for children with more weight.
	Children bool
}

// SaleLine is one position: what, how many, the price of a piece, and both together.
type SaleLine struct {
	What   string
	Detail []string // design, size, destination, colours: a line each
	Code   string   // of the template, or empty
	Pieces int
	Each   decimal.Decimal
	Amount decimal.Decimal
}

// Charge is an amount beside the lines, such as that for a rush; less than nought
// for a discount.
type Charge struct {
	What   string
	Amount decimal.Decimal
}

// Tax is a tax of Rate percent of Of.
type Tax struct {
	Name   string // as the shop's country calls it
	Rate   decimal.Decimal
	Of     decimal.Decimal
	Amount decimal.Decimal
}

// Quote is an offer. Until is the last day on which it holds; zero: not said.
type Quote struct {
	Sale
	Until time.Time
}

// Order is the sheet of an order that was accepted: what is made, for whom, by
// when, and what is still to be paid. It is no invoice and says so. Due zero: not
// said. Paid is what was paid already.
type Order struct {
	Sale
	Due     time.Time
	Paid    decimal.Decimal
	Payment []string // how to pay, as the shop writes it
}

// Open is what is left to pay.
func (o Order) Open() decimal.Decimal { return o.Total.Sub(o.Paid) }

// Check holds the sums to each other. Faults: "paper-currency" for a currency that
// is no ISO 4217 code, "paper-empty" for a sale without lines, "paper-sum" where the
// amounts do not add up.
func (s Sale) Check() error {
	if _, err := wording.Currency(s.Currency); err != nil {
		return err
	}
	if len(s.Lines) == 0 {
		return fault.New("paper-empty", "", "there is nothing on the paper; give it a line")
	}
	goods := s.Rounding
	for _, l := range s.Lines {
		goods = goods.Add(l.Amount)
	}
	if err := sameSum("the lines", goods, s.Goods); err != nil {
		return err
	}
	net := s.Goods
	for _, c := range s.Charges {
		net = net.Add(c.Amount)
	}
	if err := sameSum("goods and charges", net, s.Net); err != nil {
		return err
	}
	total := s.Net
	for _, t := range s.Taxes {
		if !s.TaxIncluded {
			total = total.Add(t.Amount)
		}
	}
	return sameSum("all amounts", total, s.Total)
}

func sameSum(what string, sum, told decimal.Decimal) error {
	if !sum.Equal(told) {
		return fault.New("paper-sum", "", "%s add up to %s, the paper says %s; work the sums out again", what, sum, told)
	}
	return nil
}
