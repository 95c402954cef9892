package wording

import (
	"math"
	"strings"
	"time"
	"unicode"

	"github.com/shopspring/decimal"
	"golang.org/x/text/currency"

	"brushfall/internal/fault"
)

// mmPerInch is the international inch: 25.4 mm exactly (NIST SP 811, 2008).
const mmPerInch = 25.4

// Whole prints a whole number with the language's separators: "1,440".
func (v Voice) Whole(n int) string { return v.Say("%d", n) }

// Decimal prints a number with at most so many decimals, noughts at its end left out.
func (v Voice) Decimal(x float64, most int) string {
	scale := math.Pow10(most)
	x = math.Round(x*scale) / scale
	places := 0
	for places < most && math.Abs(x*math.Pow10(places)-math.Round(x*math.Pow10(places))) > 1e-6 {
		places++
	}
	return v.Fixed(x, places)
}

// Fixed prints a number with so many decimals.
func (v Voice) Fixed(x float64, places int) string {
	return v.Say("%.*f", places, x)
}

// Millimetres prints a length to a tenth of a millimetre: "228.6 mm".
func (v Voice) Millimetres(mm float64) string { return v.Say("%s mm", v.Decimal(mm, 1)) }

// Inches prints a length in mm in inches, to a hundredth: "9 in".
func (v Voice) Inches(mm float64) string { return v.Say("%s in", v.Decimal(mm/mmPerInch, 2)) }

// Length prints a length in both units: "228.6 mm (9 in)".
func (v Voice) Length(mm float64) string { return v.Millimetres(mm) + " (" + v.Inches(mm) + ")" }

// Area prints two lengths in mm: "228.6 × 101.6 mm".
func (v Voice) Area(width, height float64) string {
	return v.Decimal(width, 1) + " × " + v.Millimetres(height)
}

// AreaInches prints two lengths in inches: "9 × 4 in".
func (v Voice) AreaInches(width, height float64) string {
	return v.Decimal(width/mmPerInch, 2) + " × " + v.Inches(height)
}

// List joins words: "1, 2 and 3".
func (v Voice) List(words []string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return v.Say("%s and %s", strings.Join(words[:n-1], ", "), words[n-1])
}

// months are in their order.
func months() []Key {
	return []Key{
		"January", "February", "March", "April", "May", "June",
		"July", "August", "September", "October", "November", "December",
	}
}

// Date prints a day: "3 May 2031", of the time's own place.
func (v Voice) Date(t time.Time) string {
	year, month, day := t.Date()
	return v.Say("%[1]s %[2]s %[3]s", decimal.NewFromInt(int64(day)).String(), v.Say(months()[month-1]), decimal.NewFromInt(int64(year)).String())
}

// Currency looks an ISO 4217 code up. The fault for what is none, "paper-currency".
func Currency(code string) (currency.Unit, error) {
	u, err := currency.ParseISO(code)
	if err != nil {
		return currency.Unit{}, fault.New("paper-currency", "", "%q is no currency; give a code of ISO 4217, such as EUR, GBP or USD", code)
	}
	return u, nil
}

// mostPlaces is as fine as prices are printed: a stone may cost a part of a cent.
const mostPlaces = 4

// Money prints an amount with its currency as the language has it: "€12.50",
// "12,50 €". It has the currency's own decimals, more where the amount needs them, up
// to four. An empty or unknown code prints the number alone.
func (v Voice) Money(amount decimal.Decimal, code string) string {
	places, symbol := int32(2), ""
	if u, err := Currency(code); err == nil {
		scale, _ := currency.Standard.Rounding(u)
		places = int32(scale)
		symbol = v.Say("%v", currency.Symbol(u))
	}
	needs := min(mostPlaces, -exponent(amount))
	number := v.exact(amount.Abs(), max(places, needs))
	if symbol != "" {
		key := Key("%[1]s%[2]s")
		if unicode.IsLetter([]rune(symbol)[len([]rune(symbol))-1]) {
			key = "%[1]s\u00a0%[2]s"
		}
		number = v.Say(key, symbol, number)
	}
	if amount.IsNegative() {
		return "−" + number
	}
	return number
}

// Exact prints a decimal number with its own decimals, noughts at its end left out.
func (v Voice) Exact(d decimal.Decimal) string {
	out := v.exact(d.Abs(), max(0, -exponent(d)))
	if d.IsNegative() {
		return "−" + out
	}
	return out
}

// exponent is that of the amount without noughts at its end.
func exponent(d decimal.Decimal) int32 {
	_, after, found := strings.Cut(d.String(), ".")
	if !found {
		return 0
	}
	return -int32(len(strings.TrimRight(after, "0")))
}

// exact prints a decimal from its own digits: no float comes between.
func (v Voice) exact(d decimal.Decimal, places int32) string {
	whole, part, _ := strings.Cut(d.StringFixed(places), ".")
	out := whole
	if n := decimal.RequireFromString(whole); n.LessThan(decimal.NewFromInt(math.MaxInt32)) {
		out = v.Whole(int(n.IntPart()))
	}
	if part == "" {
		return out
	}
	return out + v.point() + part
}

// point is the language's decimal point.
func (v Voice) point() string { return strings.Trim(v.Say("%.1f", 0.5), "05") }
