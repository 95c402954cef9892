package shop

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"brushfall/internal/fault"
)

// Listed is a price of the list: what one piece of a design for a destination costs
// from so many on, as customers see it.
type Listed struct {
	Design string
	For    string
	From   int
	Price  Money
}

// mostListed bounds the number from which a price holds.
const mostListed = 100_000

// Check gives the price with its texts made regular. Faults: "price-list", "text", "money".
func (l Listed) Check() (Listed, error) {
	var err error
	if l.Design, err = cleanText("the design", l.Design); err != nil {
		return l, err
	}
	if l.For, err = cleanText("what it is for", strings.ToLower(l.For)); err != nil {
		return l, err
	}
	if l.Design == "" || l.For == "" {
		return l, fault.New("price-list", "", "a price needs a design, and what it is for, such as transfer, decal or disc")
	}
	if l.From < 1 || l.From > mostListed {
		return l, fault.New("price-list", "", "a price from %d pieces on cannot be; give 1 to %d", l.From, mostListed)
	}
	return l, checkMoney(l.Price)
}

// CompareListed orders prices by design, destination and number.
func CompareListed(a, b Listed) int {
	return cmp.Or(cmp.Compare(a.Design, b.Design), cmp.Compare(a.For, b.For), cmp.Compare(a.From, b.From))
}

// PriceOf gives the price of the list for so many; false where there is none.
func PriceOf(list []Listed, design, destination string, quantity int) (Money, bool) {
	best, found := Listed{}, false
	for _, l := range list {
		if l.Design == design && l.For == destination && l.From <= quantity && l.From > best.From {
			best, found = l, true
		}
	}
	return best.Price, found
}

// priceColumns are the columns of prices.csv; all must be there.
func priceColumns() []string { return []string{"design", "for", "from", "price"} }

// ReadPrices reads prices.csv, as ReadStock reads stock.csv: every bad row is told
// with its line, also one that says again what an earlier one said. Faults in bad:
// "csv-line" or those of Listed.Check; the error, "csv-head", is of a file that is
// no such table.
func ReadPrices(r io.Reader) (good []Listed, bad []error, err error) {
	first := map[Listed]int{}
	bad, err = readTable(r, priceColumns(), len(priceColumns()), func(line int, value func(string) string) error {
		from, err := strconv.Atoi(value("from"))
		if err != nil {
			return fault.New("csv-line", "", "%q is no number of pieces; write digits alone, such as 12", value("from"))
		}
		l := Listed{Design: value("design"), For: value("for"), From: from}
		if l.Price, err = ParseMoney(value("price")); err != nil {
			return err
		}
		if l, err = l.Check(); err != nil {
			return err
		}
		key := l
		key.Price = Money{}
		if before := first[key]; before > 0 {
			return fault.New("csv-line", "", "line %d has a price for this design, destination and number already", before)
		}
		first[key] = line
		good = append(good, l)
		return nil
	})
	return good, bad, err
}

// WritePrices writes prices.csv as RFC 4180 has it (CRLF line ends). Fault
// "csv-write" where w does not take the bytes.
func WritePrices(w io.Writer, list []Listed) error {
	rows := [][]string{priceColumns()}
	for _, l := range slices.SortedFunc(slices.Values(list), CompareListed) {
		rows = append(rows, []string{l.Design, l.For, fmt.Sprint(l.From), l.Price.String()})
	}
	return writeTable(w, rows)
}
