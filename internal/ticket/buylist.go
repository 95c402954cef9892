package ticket

import (
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
	"brushfall/internal/wording"
)

// BuyList is what to buy, supplier by supplier. Currency may be empty: amounts then
// print without one. Total is all of it with deliveries.
type BuyList struct {
	Language  wording.Language
	Shop      Party
	Date      time.Time
	Currency  string // ISO 4217, or empty
	Suppliers []BuyFrom
	Unpriced  []BuyItem // what no supplier has a price for
	Enough    []string  // kinds that are on hand in full, in words
	Goods     decimal.Decimal
	Delivery  decimal.Decimal
	Total     decimal.Decimal
}

// BuyFrom is what is bought from one supplier. An empty name stands for whoever
// sold it last. Sum is goods and delivery.
type BuyFrom struct {
	Name     string
	Lines    []string // address, customer number
	Items    []BuyItem
	Delivery decimal.Decimal
	Sum      decimal.Decimal
}

// BuyItem is a pack to buy, so many times. What is a kind of stone or any other
// material; Look is its swatch, or nil.
type BuyItem struct {
	What   string // "SS10 crystal"
	Look   *Swatch
	Pack   string // the supplier's article, or empty
	Holds  int    // pieces a pack, as labelled; 0: not said
	Packs  int
	Each   decimal.Decimal
	Amount decimal.Decimal
	Short  int // pieces that are needed of the kind; 0: not said
	Left   int // pieces left over of it; 0: not said
}

// Check holds the sums to each other. Faults: "paper-currency", "paper-empty",
// "paper-sum".
func (l BuyList) Check() error {
	if l.Currency != "" {
		if _, err := wording.Currency(l.Currency); err != nil {
			return err
		}
	}
	if len(l.Suppliers)+len(l.Unpriced)+len(l.Enough) == 0 {
		return fault.New("paper-empty", "", "there is nothing on the buy list")
	}
	var goods, delivery decimal.Decimal
	for _, s := range l.Suppliers {
		sum := s.Delivery
		for _, i := range s.Items {
			sum, goods = sum.Add(i.Amount), goods.Add(i.Amount)
		}
		if err := sameSum("what is bought from "+s.Name, sum, s.Sum); err != nil {
			return err
		}
		delivery = delivery.Add(s.Delivery)
	}
	if err := sameSum("the packs", goods, l.Goods); err != nil {
		return err
	}
	if err := sameSum("the deliveries", delivery, l.Delivery); err != nil {
		return err
	}
	return sameSum("packs and deliveries", goods.Add(delivery), l.Total)
}
