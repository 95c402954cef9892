package price

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"brushfall/internal/fault"
)

// Bounds of taxes: no country that we know of puts more than three on a sale.
const (
	mostTaxes      = 6
	longestTaxName = 40
)

// Levy is one tax: its share of the price without tax. Name is empty where there is
// but one, and it has none.
type Levy struct {
	Name  string
	Share Amount
}

// Tax is what is put on sales. Each levy is of the price without any tax: none is
// taken of another. Contained says that the prices shown have them in; else they are
// added. No levies: no tax.
type Tax struct {
	Levies    []Levy
	Contained bool
}

// Levied is what a levy comes to on an order.
type Levied struct {
	Name   string `json:"name"`
	Share  Amount `json:"share"`
	Amount Amount `json:"amount"`
}

// ParseTax reads "20% contained" or "20% added", and several, each with its name:
// "Country 5%, Town 2.25% added"; without a word they are added. Fault "price-value".
func ParseTax(text string) (Tax, error) {
	var t Tax
	end := strings.LastIndex(text, "%")
	if end < 0 {
		return t, wrongTax(text)
	}
	switch strings.TrimSpace(text[end+1:]) {
	case "contained":
		t.Contained = true
	case "added", "":
	default:
		return t, wrongTax(text)
	}
	for part := range strings.SplitSeq(text[:end+1], ",") {
		l, err := parseLevy(strings.TrimSpace(part))
		if err != nil {
			return t, err
		}
		t.Levies = append(t.Levies, l)
	}
	return t.check(text)
}

func wrongTax(text string) error {
	return fault.New("price-value", "", "%q is no tax; write 20%% contained or 20%% added, and several with their names: Country 5%%, Town 2.25%% added", text)
}

// parseLevy reads "Town 2.25%" or "20 %".
func parseLevy(part string) (Levy, error) {
	var l Levy
	digits, ok := strings.CutSuffix(part, "%")
	digits = strings.TrimSpace(digits)
	if i := strings.LastIndexFunc(digits, unicode.IsSpace); i >= 0 {
		l.Name, digits = strings.Join(strings.Fields(digits[:i]), " "), digits[i+1:]
	}
	named := l.Name == "" || strings.ContainsFunc(l.Name, unicode.IsLetter)
	if !ok || !named || strings.Contains(l.Name, "%") || !utf8.ValidString(l.Name) || strings.ContainsFunc(l.Name, unicode.IsControl) || utf8.RuneCountInString(l.Name) > longestTaxName {
		return l, wrongTax(part)
	}
	var err error
	l.Share, err = parseShare(digits+"%", 100)
	return l, err
}

// check holds the levies to each other: one of nothing is no tax, several have names of
// their own and each is something.
func (t Tax) check(text string) (Tax, error) {
	if len(t.Levies) == 1 {
		if t.Levies[0].Share.IsZero() {
			t.Levies = nil
		}
		return t, nil
	}
	names := map[string]bool{}
	for _, l := range t.Levies {
		name := strings.ToLower(l.Name)
		if name == "" || names[name] || l.Share.IsZero() {
			return t, fault.New("price-value", "", "of several taxes each has a name of its own and a share above 0, such as Country 5%%, Town 2.25%% added, not %q", text)
		}
		names[name] = true
	}
	if len(t.Levies) > mostTaxes || t.Share().GreaterThan(one()) {
		return t, fault.New("price-value", "", "there are %d taxes of %s together; there can be at most %d of 100 %% together", len(t.Levies), Percent(t.Share()), mostTaxes)
	}
	return t, nil
}

// Share gives all levies together, as a part of the price without tax.
func (t Tax) Share() Amount {
	sum := Amount{}
	for _, l := range t.Levies {
		sum = sum.Add(l.Share)
	}
	return sum
}

// on gives what each levy comes to on an amount as it is shown, each rounded by itself to
// the smallest coin, half away from zero.
func (t Tax) on(shown Amount, coin Coin) []Levied {
	out := []Levied{}
	for _, l := range t.Levies {
		amount := shown.Mul(l.Share)
		if t.Contained {
			amount = amount.DivRound(one().Add(t.Share()), int32(coin))
		} else {
			amount = coin.Round(amount)
		}
		out = append(out, Levied{l.Name, l.Share, amount})
	}
	return out
}

// without gives what of an amount, as it is shown, is not tax, to four decimals.
func (t Tax) without(shown Amount) Amount {
	if !t.Contained {
		return shown
	}
	return quotient(shown, one().Add(t.Share()))
}
