package unit

import (
	"math"
	"strings"
	"testing"

	"brushfall/internal/fault"
)

// The inch is 25.4 mm exactly: NIST SP 811 (2008), appendix B.8; the yard and
// pound agreement of 1959. The products below are exact decimals, so the
// float64 nearest to each is the only right answer.
func TestParseLengthExact(t *testing.T) {
	cases := []struct {
		text string
		want Length
	}{
		{"1 in", 25.4},
		{"9.5in", 241.3},
		{"9.5 in", 241.3},
		{"  9.5   inches ", 241.3},
		{`9 1/2"`, 241.3},
		{`9-1/2 in`, 241.3},
		{"9.5″", 241.3},
		{"9.5”", 241.3},
		{"9.5''", 241.3},
		{"1/4 IN", 6.35},
		{"12 in", 304.8}, // the flock sheet of 12 × 20 in
		{"20 in", 508},
		{"240mm", 240},
		{"24 cm", 240},
		{".5 cm", 5},
		{"3. mm", 3},
		{"2.54cm", 25.4},
		{"0.1 in", 2.54},
		{"10000 mm", Max},
	}
	for _, c := range cases {
		got, err := ParseLength(c.text)
		if err != nil || got != c.want {
			t.Errorf("ParseLength(%q) = %v, %v; want %v", c.text, float64(got), err, float64(c.want))
		}
	}
}

func TestParseLengthFaults(t *testing.T) {
	cases := []struct{ text, code, says string }{
		{"9.5", "length-unit", `"9.5" has no unit; write 9.5 mm or 9.5 in`},
		{"9 1/2", "length-unit", "write 9 1/2 mm or 9 1/2 in"},
		{"9.5 ft", "length-unit", `"ft" is not a unit for "9.5 ft"; use mm, cm or in`},
		{"9.5 px", "length-unit", "use mm, cm or in"},
		{"", "length-number", "a length is missing"},
		{"wide", "length-number", `"wide" is not a length`},
		{"mm", "length-number", `"mm" is not a length`},
		{"9,5 in", "length-number", "write the decimals after a point"},
		{"1.2.3 mm", "length-number", "is not a number"},
		{"1 2 mm", "length-number", "is not a number"},
		{"1/0 in", "length-number", "divides by nought"},
		{"1e3 mm", "length-number", "is not a length"},
		{"NaN mm", "length-number", "is not a length"},
		{"Inf mm", "length-number", "is not a length"},
		{"9.5 in wide", "length-number", "is not a length"},
		{"-3 mm", "length-range", "is negative"},
		{"0 mm", "length-range", "must be more than 0"},
		{"0", "length-range", "must be more than 0"},
		{"10001 mm", "length-range", "is longer than 10000 mm"},
		{"9500 in", "length-range", "check the unit and the decimal point"},
		{strings.Repeat("9", 300) + " mm", "length-number", "is too long for a length"},
	}
	for _, c := range cases {
		got, err := ParseLength(c.text)
		if err == nil {
			t.Errorf("ParseLength(%q) = %v, want a fault", c.text, got)
			continue
		}
		if fault.CodeOf(err) != c.code || !strings.Contains(err.Error(), c.says) {
			t.Errorf("ParseLength(%q): [%s] %v; want [%s] …%s…", c.text, fault.CodeOf(err), err, c.code, c.says)
		}
	}
}

func TestParseClearanceTakesNought(t *testing.T) {
	for _, text := range []string{"0", "0 mm", "0.0in"} {
		if got, err := ParseClearance(text); err != nil || got != 0 {
			t.Errorf("ParseClearance(%q) = %v, %v; want 0", text, got, err)
		}
	}
	if _, err := ParseClearance("0.5"); fault.CodeOf(err) != "length-unit" {
		t.Errorf("a bare 0.5 gave %v, want the fault that asks for a unit", err)
	}
}

func TestFormat(t *testing.T) {
	cases := []struct {
		length Length
		mm, in string
	}{
		{241.3, "241.3 mm", "9.5 in"},
		{25.4, "25.4 mm", "1 in"},
		{304.8, "304.8 mm", "12 in"},
		{0, "0 mm", "0 in"},
		{-0.001, "0 mm", "0 in"},
		{1.0 / 3, "0.33 mm", "0.013 in"},
		{Length(math.NaN()), "NaN mm", "NaN in"},
	}
	for _, c := range cases {
		if mm, in := c.length.Format(Millimetre), c.length.Format(Inches); mm != c.mm || in != c.in {
			t.Errorf("%v prints %q and %q, want %q and %q", float64(c.length), mm, in, c.mm, c.in)
		}
	}
	if got := Length(241.3).Both(); got != "241.3 mm (9.5 in)" {
		t.Errorf("Both gives %q", got)
	}
}

// What is printed reads back to the same length, to the decimals printed.
func TestFormatReadsBack(t *testing.T) {
	for _, l := range []Length{0.5, 2.9, 241.3, 304.8, 508, 999.99} {
		for u, tolerance := range map[Unit]float64{Millimetre: 0.005, Inches: 0.0127} {
			back, err := ParseLength(l.Format(u))
			if err != nil || math.Abs(float64(back-l)) > tolerance {
				t.Errorf("%q reads back as %v, %v", l.Format(u), back, err)
			}
		}
	}
}

func FuzzParseLength(f *testing.F) {
	for _, seed := range []string{"9.5in", `9 1/2"`, "24 cm", "1/0 in", "-3 mm", "9.5″", "", "0", "1e9 mm", "½ in"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		l, err := ParseLength(text)
		if err != nil {
			if fault.CodeOf(err) == "" {
				t.Fatalf("%q: a fault without a code: %v", text, err)
			}
			return
		}
		if !(l > 0 && l <= Max) {
			t.Fatalf("%q read as %v", text, float64(l))
		}
	})
}
