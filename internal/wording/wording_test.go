package wording

import (
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
)

// How each language writes figures: CLDR's number and currency patterns ("¤#,##0.00"
// for en, "#,##0.00 ¤" with a no-break space for de and es); the inch is 25.4 mm
// (NIST SP 811).
func TestFigures(t *testing.T) {
	day := time.Date(2031, 5, 3, 12, 0, 0, 0, time.UTC)
	for l, want := range map[Language][8]string{
		English: {"228.6 mm (9 in)", "1,234.5 × 101.6 mm", "€1,234.50", "−$0.0125", "CHF\u00a07.00", "3 May 2031", "1, 2 and 3", "¥1,250"},
		German:  {"228,6 mm (9 Zoll)", "1.234,5 × 101,6 mm", "1.234,50\u00a0€", "−0,0125\u00a0$", "7,00\u00a0CHF", "3. Mai 2031", "1, 2 und 3", "1.250\u00a0¥"},
		Spanish: {"228,6 mm (9 pulg.)", "1.234,5 × 101,6 mm", "1.234,50\u00a0€", "−0,0125\u00a0US$", "7,00\u00a0CHF", "3 de mayo de 2031", "1, 2 y 3", "1.250\u00a0JPY"},
	} {
		v := In(l)
		money := func(amount, code string) string { return v.Money(decimal.RequireFromString(amount), code) }
		got := [8]string{v.Length(228.6), v.Area(1234.5, 101.62), money("1234.5", "EUR"), money("-0.0125", "USD"), money("7", "CHF"), v.Date(day), v.List([]string{"1", "2", "3"}), money("1250", "JPY")}
		for i := range got {
			if got[i] != want[i] {
				t.Errorf("%s: %q, want %q", l, got[i], want[i])
			}
		}
	}
	if s := (Voice{}).Say("%d sheets", 1); s != "1 sheet" {
		t.Errorf("the zero voice says %q", s)
	}
	// more digits than a float64 holds
	if s := In(German).Money(decimal.RequireFromString("123456789012345678.25"), ""); s != "123456789012345678,25" {
		t.Errorf("a large amount prints as %q", s)
	}
}

func TestLanguagesAreFound(t *testing.T) {
	for name, want := range map[string]Language{"": English, " DE ": German, "es": Spanish} {
		if got, err := Find(name); got != want || err != nil {
			t.Errorf("%q: %q, %v", name, got, err)
		}
	}
	if _, err := Find("tlh"); fault.CodeOf(err) != "language-unknown" {
		t.Errorf("unknown: %v", err)
	}
	if _, err := Currency("pounds"); fault.CodeOf(err) != "paper-currency" {
		t.Errorf("currency: %v", err)
	}
}
