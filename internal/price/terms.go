package price

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"brushfall/internal/fault"
)

// Target is what a shop wants to earn. Share is of the price without tax (the
// margin) or, with Markup, of the cost.
type Target struct {
	Markup bool
	Share  Amount
}

// mostMarkup bounds a markup, in percent.
const mostMarkup = 10_000

// ParseTarget reads "margin 40%" or "markup 60%". Fault "price-value".
func ParseTarget(text string) (Target, error) {
	word, rest, _ := strings.Cut(text, " ")
	limit := map[string]int64{"margin": 95, "markup": mostMarkup}[word]
	if limit == 0 {
		return Target{}, fault.New("price-value", "", "%q is no target; write margin 40%% or markup 60%%", text)
	}
	share, err := parseShare(rest, limit)
	return Target{Markup: word == "markup", Share: share}, err
}

// String gives what ParseTarget reads.
func (t Target) String() string {
	if t.Markup {
		return "markup " + t.Share.Shift(2).String() + "%"
	}
	return "margin " + t.Share.Shift(2).String() + "%"
}

// Fee is what someone takes of a payment: a share of all that the customer pays,
// tax included, and a fixed amount for each payment.
type Fee struct {
	Name  string
	Share Amount
	Fixed Amount
}

// ParseFee reads "1.9% + 0.25", "1.9%" or "0.25". Fault "price-value".
func ParseFee(text string) (Fee, error) {
	var f Fee
	var err error
	rest := text
	if i := strings.Index(text, "%"); i >= 0 {
		if f.Share, err = parseShare(text[:i+1], 50); err != nil {
			return f, err
		}
		rest = strings.TrimSpace(text[i+1:])
		if rest == "" {
			return f, nil
		}
		after, ok := strings.CutPrefix(rest, "+")
		if !ok {
			return f, fault.New("price-value", "", "%q is no fee; write a share, an amount or both, such as 1.9%% + 0.25", text)
		}
		rest = after
	}
	f.Fixed, err = parseNumber(rest, linePlaces)
	return f, err
}

// Discount is less for more: from so many pieces of a line on, each costs less by
// Share.
type Discount struct {
	From  int
	Share Amount
}

// mostBreaks bounds the quantity breaks.
const mostBreaks = 12

// ParseDiscounts reads "12:5%, 50:10%", in any order; nothing for none. Fault
// "price-value".
func ParseDiscounts(text string) ([]Discount, error) {
	var out []Discount
	for part := range strings.SplitSeq(text, ",") {
		if strings.TrimSpace(part) == "" {
			continue
		}
		from, share, _ := strings.Cut(part, ":")
		n, err := strconv.Atoi(strings.TrimSpace(from))
		if err != nil || n < 2 || n > mostQuantity || len(out) == mostBreaks || slices.ContainsFunc(out, func(d Discount) bool { return d.From == n }) {
			return nil, fault.New("price-value", "", "%q is no quantity break; write 12:5%% for 5 %% less from 12 pieces on, each number once, at most %d", strings.TrimSpace(part), mostBreaks)
		}
		less, err := parseShare(share, 90)
		if err != nil {
			return nil, err
		}
		out = append(out, Discount{n, less})
	}
	slices.SortFunc(out, func(a, b Discount) int { return cmp.Compare(a.From, b.From) })
	return out, nil
}

// discount gives the share that a quantity costs less.
func (s Settings) discount(quantity int) Amount {
	less := Amount{}
	for _, d := range s.Breaks {
		if d.From <= quantity {
			less = d.Share
		}
	}
	return less
}
