// Package unit reads and prints lengths. Inside the program every length is a
// number of millimetres; inches exist at the edges only.
package unit

import (
	"math"
	"math/big"
	"regexp"
	"strconv"
	"strings"

	"brushfall/internal/fault"
)

// Length is a length in millimetres.
type Length float64

// Inch is the international inch, 25.4 mm exactly: the agreement of 1959,
// repeated in NIST SP 811 (2008), appendix B.
const Inch Length = 25.4

// Max is the longest length that is read, in mm. A cutter takes sheets of a
// metre or two; ten metres is a slip of the unit or of the decimal point.
const Max Length = 10_000

// longest is how much text is looked at: a length is a short word.
const longest = 40

// Unit is a unit a length is printed in.
type Unit int

// The units.
const (
	Millimetre Unit = iota
	Inches
)

// perUnit holds each unit's length in mm as an exact fraction, so that "9.5 in"
// gives the float64 nearest to 241.3 and not the product of two rounded numbers.
func perUnit(word string) (*big.Rat, bool) {
	switch strings.ToLower(word) {
	case "mm", "millimetre", "millimetres", "millimeter", "millimeters":
		return big.NewRat(1, 1), true
	case "cm", "centimetre", "centimetres", "centimeter", "centimeters":
		return big.NewRat(10, 1), true
	case "in", "inch", "inches", `"`, "″", "”", "''":
		return big.NewRat(254, 10), true
	}
	return nil, false
}

var (
	// whole and fraction ("9 1/2", "9-1/2"), or a fraction alone ("1/2")
	fractionForm = regexp.MustCompile(`^(?:(\d+)[ -]+)?(\d+)/(\d+)$`)
	decimalForm  = regexp.MustCompile(`^\d*\.?\d+$|^\d+\.$`)
	splitForm    = regexp.MustCompile(`^([-+0-9.,/ ]+?)\s*([^-+0-9.,/ ]*)$`)
)

// ParseLength reads a length with its unit: "240mm", "24 cm", "9.5 in",
// `9 1/2"`. The result is more than 0 and at most Max. Faults: "length-unit" for
// a bare number or an unknown unit, "length-number" for what is no number,
// "length-range" for nought, a negative or an absurd length.
func ParseLength(text string) (Length, error) {
	l, err := ParseClearance(text)
	if err == nil && l == 0 {
		return 0, fault.New("length-range", "", "%q is no length: it must be more than 0", text)
	}
	return l, err
}

// ParseClearance reads a length that may also be nought, written "0" with or
// without a unit. Its faults are those of ParseLength.
func ParseClearance(text string) (Length, error) {
	s := strings.Join(strings.Fields(text), " ")
	if s == "" {
		return 0, fault.New("length-number", "", "a length is missing; write it with its unit, such as 240 mm or 9.5 in")
	}
	if len(s) > longest {
		return 0, fault.New("length-number", "", "%.40q… is too long for a length; write it like 240 mm or 9.5 in", s)
	}
	parts := splitForm.FindStringSubmatch(s)
	if parts == nil {
		return 0, fault.New("length-number", "", "%q is not a length; write it like 240 mm, 24 cm or 9.5 in", text)
	}
	value, err := number(parts[1])
	if err != nil {
		return 0, err
	}
	per, err := unitOf(text, parts[1], parts[2], value)
	if err != nil {
		return 0, err
	}
	mm, _ := value.Mul(value, per).Float64()
	if mm > float64(Max) {
		return 0, fault.New("length-range", "", "%q is longer than %s; check the unit and the decimal point", text, Max.Format(Millimetre))
	}
	return Length(mm), nil
}

// unitOf gives the unit's mm; nought needs none.
func unitOf(text, digits, word string, value *big.Rat) (*big.Rat, error) {
	if word == "" {
		if value.Sign() == 0 {
			return big.NewRat(1, 1), nil
		}
		n := strings.TrimSpace(digits)
		return nil, fault.New("length-unit", "", "%q has no unit; write %s mm or %s in", text, n, n)
	}
	per, ok := perUnit(word)
	if !ok {
		return nil, fault.New("length-unit", "", "%q is not a unit for %q; use mm, cm or in", word, text)
	}
	return per, nil
}

// number reads a decimal, a fraction, or a whole number with a fraction.
func number(text string) (*big.Rat, error) {
	s := strings.TrimSpace(text)
	if strings.HasPrefix(s, "-") {
		return nil, fault.New("length-range", "", "%q is negative; a length is more than 0", s)
	}
	if strings.Contains(s, ",") {
		return nil, fault.New("length-number", "", "%q has a comma; write the decimals after a point, such as 9.5", s)
	}
	if f := fractionForm.FindStringSubmatch(s); f != nil {
		return mixed(s, f[1], f[2], f[3])
	}
	if !decimalForm.MatchString(s) {
		return nil, fault.New("length-number", "", "%q is not a number; write it like 9.5 or 9 1/2", s)
	}
	r, _ := new(big.Rat).SetString(strings.TrimSuffix(s, "."))
	return r, nil
}

func mixed(text, whole, top, bottom string) (*big.Rat, error) {
	r, ok := new(big.Rat).SetString(top + "/" + bottom)
	if !ok {
		return nil, fault.New("length-number", "", "%q divides by nought", text)
	}
	if whole != "" {
		w, _ := new(big.Rat).SetString(whole)
		r.Add(r, w)
	}
	return r, nil
}

// MM gives the length as a number of millimetres.
func (l Length) MM() float64 { return float64(l) }

// Inches gives the length as a number of inches.
func (l Length) Inches() float64 { return float64(l / Inch) }

// Format prints the length with its unit: to a hundredth of a millimetre or a
// thousandth of an inch, without trailing noughts. A number that is not finite
// prints as it is, since printing must not fail.
func (l Length) Format(u Unit) string {
	if u == Inches {
		return trimmed(l.Inches(), 3) + " in"
	}
	return trimmed(float64(l), 2) + " mm"
}

// String prints millimetres, as Format(Millimetre).
func (l Length) String() string { return l.Format(Millimetre) }

// Both prints millimetres with the inches behind them: "241.3 mm (9.5 in)".
func (l Length) Both() string { return l.Format(Millimetre) + " (" + l.Format(Inches) + ")" }

func trimmed(v float64, decimals int) string {
	scale := math.Pow10(decimals)
	if r := math.Round(v*scale) / scale; !math.IsNaN(r) && !math.IsInf(r, 0) {
		v = r
	}
	if v == 0 {
		v = 0 // a negative nought prints without its sign
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
