package ticket

import (
	"math"
	"strconv"
	"strings"

	"brushfall/internal/unit"
)

// Area prints two lengths as "228.6 × 228.6 mm" or "9 × 9 in".
func Area(width, height float64, u unit.Unit) string {
	w, h := short(width, u), short(height, u)
	return strings.TrimSuffix(strings.TrimSuffix(w, " mm"), " in") + " × " + h
}

// short prints a length in mm to a tenth of a millimetre or a hundredth of an
// inch: as much as a ruler on a bench can show.
func short(mm float64, u unit.Unit) string {
	step := 0.1
	if u == unit.Inches {
		step = unit.Inch.MM() / 100
	}
	return unit.Length(math.Round(mm/step) * step).Format(u)
}

// Thousands prints a count with commas: "1,440".
func Thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
