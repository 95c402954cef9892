package code

import (
	"crypto/sha256"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brushfall/internal/fault"
)

// ISO/IEC 7064 MOD 37,36 as two published identifiers have it: the GRid of the IFPI's
// "GRid Standard" 2.1, A1-2425G-ABC1234002-M, and the two check characters of an ISAN
// (ISO 15706-2), 0000-0000-D07A-0090-Q-0000-0000-X, the second over all digits.
func TestCheckOfPublishedIdentifiers(t *testing.T) {
	for _, c := range []struct {
		text string
		want byte
	}{
		{"A12425GABC1234002", 'M'},
		{"00000000D07A0090", 'Q'},
		{"00000000D07A009000000000", 'X'},
	} {
		if got, ok := Check(c.text); got != c.want || !ok {
			t.Errorf("%s: %c, want %c", c.text, got, c.want)
		}
	}
	if _, ok := Check("a1"); ok {
		t.Error("small letters were taken")
	}
}

func some(n int) string { return From(sha256.Sum256(fmt.Append(nil, n)), 0) }

func TestCodesAreReadAsTyped(t *testing.T) {
	for n := range 2000 {
		code := some(n)
		plain := strings.ReplaceAll(code, "-", "")
		for _, typed := range []string{code, plain, strings.ToLower(code), " " + plain[:2] + " " + plain[2:], code + " 2/3"} {
			if got, err := Parse(typed); err != nil || got != code {
				t.Fatalf("%q: %q, %v, want %s", typed, got, err, code)
			}
		}
	}
	for _, bad := range []string{"", "7K4M", "7K4M-9AC4X", "OOOO-OOOO", "7K4M 1/2", "żółw-żółw", strings.Repeat("A", 1<<16)} {
		if _, err := Parse(bad); fault.CodeOf(err) != "template-code" {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

// Every single wrong sign is told. Of swapped neighbours the standard's system
// misses those that leave the remainder as it is: below one in thirty here.
func TestSlipsAreTold(t *testing.T) {
	swaps, missed := 0, 0
	for n := range 300 {
		plain := []byte(strings.ReplaceAll(some(n), "-", ""))
		for i := range plain {
			for _, s := range []byte(Signs) {
				slip := append([]byte{}, plain...)
				slip[i] = s
				if _, err := Parse(string(slip)); (err == nil) != (s == plain[i]) {
					t.Fatalf("%s typed as %s: %v", plain, slip, err)
				}
			}
			if i > 0 && plain[i] != plain[i-1] {
				slip := append([]byte{}, plain...)
				slip[i], slip[i-1] = slip[i-1], slip[i]
				swaps++
				if _, err := Parse(string(slip)); err == nil {
					missed++
				}
			}
		}
	}
	if swaps < 1000 || missed*30 > swaps {
		t.Errorf("%d of %d swapped neighbours passed", missed, swaps)
	}
}

func TestEachTryIsAnother(t *testing.T) {
	seen := map[string]bool{}
	for n := range 40 {
		for try := range 50 {
			seen[From(sha256.Sum256([]byte{byte(n)}), try)] = true
		}
	}
	if len(seen) != 2000 {
		t.Errorf("%d codes of 2000", len(seen))
	}
}

func FuzzParse(f *testing.F) {
	f.Add("7K4M-9AC4 1/2")
	f.Add("\xff\x00")
	f.Fuzz(func(t *testing.T, text string) {
		code, err := Parse(text)
		if (err == nil) == (fault.CodeOf(err) != "") {
			t.Fatal(code, err)
		}
		if again, err2 := Parse(code); err == nil && (err2 != nil || again != code) {
			t.Fatal(code, again, err2)
		}
	})
}

// A code is made of the signs alone, and its own check accepts it, whatever the sum.
func TestCodesAreWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var sum [sha256.Size]byte
		copy(sum[:], rapid.SliceOfN(rapid.Byte(), len(sum), len(sum)).Draw(t, "sum"))
		code := From(sum, rapid.IntRange(0, 1000).Draw(t, "try"))
		if len(code) != length+1 || strings.Trim(code, Signs+"-") != "" {
			t.Fatal(code)
		}
		if got, err := Parse(code); err != nil || got != code {
			t.Fatal(code, got, err)
		}
	})
}
