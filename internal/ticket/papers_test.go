package ticket

import (
	"testing"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
)

func amount(text string) decimal.Decimal { return decimal.RequireFromString(text) }

// sampleSale is a made-up sale: 12 × 6.25 = 75, 5 % off and a rush of 10 make 81.25,
// 20 % tax of it 16.25, together 97.50.
func sampleSale() Sale {
	return Sale{
		Currency: "GBP",
		Lines:    []SaleLine{{What: "Heron badge on hoodie", Pieces: 12, Each: amount("6.25"), Amount: amount("75")}},
		Charges:  []Charge{{"Twelve pieces", amount("-3.75")}, {"Rush", amount("10")}},
		Taxes:    []Tax{{"VAT", amount("20"), amount("81.25"), amount("16.25")}},
		Goods:    amount("75"), Net: amount("81.25"), Total: amount("97.50"),
	}
}

func TestSumsMustAddUp(t *testing.T) {
	if err := sampleSale().Check(); err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string]func(*Sale){
		"paper-sum, line":          func(s *Sale) { s.Lines[0].Amount = amount("75.01") },
		"paper-sum, charge":        func(s *Sale) { s.Charges[1].Amount = amount("9.99") },
		"paper-sum, tax":           func(s *Sale) { s.Taxes[0].Amount = amount("16") },
		"paper-sum, tax in prices": func(s *Sale) { s.TaxIncluded = true },
		"paper-sum, total":         func(s *Sale) { s.Total = amount("97.51") },
		"paper-currency":           func(s *Sale) { s.Currency = "POUNDS" },
		"paper-empty":              func(s *Sale) { s.Lines = nil },
	} {
		s := sampleSale()
		change(&s)
		code := fault.CodeOf(s.Check())
		if len(name) < len(code) || code == "" || name[:len(code)] != code {
			t.Errorf("%s: %q", name, code)
		}
	}
	order := Order{Sale: sampleSale(), Paid: amount("50")}
	if !order.Open().Equal(amount("47.5")) {
		t.Errorf("open: %s", order.Open())
	}
}

func TestPriceListsAndBuyListsAreHeldToThemselves(t *testing.T) {
	list := func() PriceList {
		some := decimal.NullDecimal{Decimal: amount("4.20"), Valid: true}
		return PriceList{Currency: "EUR", Groups: []PriceGroup{{Breaks: []int{1, 6, 12}, Rows: []PriceRow{{What: "Badge", Prices: []decimal.NullDecimal{some, some, {}}}}}}}
	}
	if err := list().Check(); err != nil {
		t.Error(err)
	}
	for code, change := range map[string]func(*PriceList){
		"paper-prices":   func(l *PriceList) { l.Groups[0].Breaks = []int{1, 6, 6} },
		"paper-empty":    func(l *PriceList) { l.Groups = nil },
		"paper-currency": func(l *PriceList) { l.Currency = "" },
	} {
		l := list()
		change(&l)
		if got := fault.CodeOf(l.Check()); got != code {
			t.Errorf("want %s: %q", code, got)
		}
	}
	buy := BuyList{
		Suppliers: []BuyFrom{{Name: "Reed & Co", Items: []BuyItem{{What: "SS10 crystal", Packs: 2, Each: amount("5.90"), Amount: amount("11.80")}}, Delivery: amount("4"), Sum: amount("15.80")}},
		Goods:     amount("11.80"), Delivery: amount("4"), Total: amount("15.80"),
	}
	if err := buy.Check(); err != nil {
		t.Error(err)
	}
	buy.Total = amount("11.80")
	if got := fault.CodeOf(buy.Check()); got != "paper-sum" {
		t.Errorf("a total without its delivery: %q", got)
	}
}

// Three columns of 63.5 × 38.1 mm with 2.5 mm between, seven rows, on A4: 7.2 mm
// left and right, 15.1 mm above and below (a common grid; from memory).
func TestLabelsFallIntoTheirCells(t *testing.T) {
	g := LabelGrid{Columns: 3, Rows: 7, Width: 63.5, Height: 38.1, Left: 7.2, Top: 15.1, StepX: 66}
	for i, want := range map[int][3]float64{0: {0, 7.2, 15.1}, 2: {0, 139.2, 15.1}, 3: {0, 7.2, 53.2}, 20: {0, 139.2, 243.7}, 21: {1, 7.2, 15.1}} {
		page, x, y := g.Cell(i)
		if float64(page) != want[0] || abs(x-want[1])+abs(y-want[2]) > 1e-9 {
			t.Errorf("cell %d is at %g, %g of page %d", i, x, y, page)
		}
	}
	for code, l := range map[string]Labels{
		"paper-grid":  {Grid: LabelGrid{Columns: 3, Rows: 7, Width: 63.5, Height: 38.1, StepX: 60}, Labels: []Label{{}}},
		"paper-empty": {Grid: g},
		"paper-qr":    {Grid: g, Labels: []Label{{QR: [][]bool{{true}, {false}}}}},
	} {
		if got := fault.CodeOf(l.Check()); got != code {
			t.Errorf("want %s: %q", code, got)
		}
	}
}

func abs(v float64) float64 { return max(v, -v) }
