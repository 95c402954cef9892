package count

import (
	"math"
	"testing"

	"brushfall/internal/fault"
)

// By hand, on tape of 304.8 × 304.8 mm: four pieces of 150 × 150 mm to a sheet, so
// ten are three sheets; one of 280 × 320 mm is pieced from two; a strip of 304 ×
// 100 mm goes three to a sheet, and with a piece of 150 × 150 nothing else fits.
func TestNeedByHand(t *testing.T) {
	small, large, strip := Cover{"Oar", 150, 150, 10}, Cover{"Banner", 280, 320, 2}, Cover{"Pennant", 304, 100, 3}
	roll := Stock{Width: 304.8}
	for _, c := range []struct {
		name   string
		covers []Cover
		stock  Stock
		sheets int
		length float64
	}{
		{"none", nil, TapeSheets(), 0, 0},
		{"small", []Cover{small}, TapeSheets(), 3, 0},
		{"large", []Cover{large}, TapeSheets(), 4, 0},
		{"all", []Cover{small, large, strip}, TapeSheets(), 3 + 4 + 1, 0},
		{"small off a roll", []Cover{small}, roll, 0, 5 * 150},
		{"strips off a roll", []Cover{strip}, roll, 0, 300},
		{"large off a roll", []Cover{large}, roll, 0, 640}, // 280 mm wide, 320 mm long
		{"wider than the roll", []Cover{{"Banner", 400, 350, 1}}, roll, 0, 700},
	} {
		got, err := NeedFor(c.covers, c.stock)
		if err != nil || got.Sheets != c.sheets || math.Abs(got.Length-c.length) > 0.01 {
			t.Errorf("%s: %d sheets, %.2f mm; want %d, %.2f (%v)", c.name, got.Sheets, got.Length, c.sheets, c.length, err)
		}
	}
}

func TestNeedRefusesWhatCannotBe(t *testing.T) {
	if _, err := NeedFor([]Cover{{"Oar", 0, 10, 1}}, TapeSheets()); fault.CodeOf(err) != "cover-size" {
		t.Error(err)
	}
	if _, err := NeedFor(nil, Stock{}); fault.CodeOf(err) != "cover-size" {
		t.Error(err)
	}
}

// Film is the design and its edge on every side.
func TestFilmCoversTheDesign(t *testing.T) {
	if c := FilmFor(100, 80); c.Width != 112 || c.Height != 92 || c.Number != 1 {
		t.Errorf("%+v", c)
	}
}
