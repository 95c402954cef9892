package count

import (
	"math"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/sheet"
)

// FilmEdge is by how much decal film is larger than the design on every side, in
// mm, for scissors to follow (from memory).
const FilmEdge = 6.0

// longestRoll bounds the length of one strip off a roll, in mm; a run of transfers
// that wants more is told as several strips.
const longestRoll = 10_000.0

// Cover is a piece of tape or film, in mm, and how many of it are wanted.
type Cover struct {
	Design        string
	Width, Height float64
	Number        int
}

// FilmFor gives the film for a design of the given sides in mm.
func FilmFor(designWidth, designHeight float64) Cover {
	return Cover{Width: designWidth + 2*FilmEdge, Height: designHeight + 2*FilmEdge, Number: 1}
}

// Stock is how tape or film is bought: in sheets, or, where Height is 0, on a
// roll of the Width; in mm.
type Stock struct{ Width, Height float64 }

// TapeSheets are the sheets of tape of the trade; decal film is taken to come in
// the same (from memory).
func TapeSheets() Stock { return Stock{catalogue.TapeWidth, catalogue.TapeHeight} }

// Need is what a number of covers takes: how many there are, and the sheets, or
// the length off the roll in mm, that hold them.
type Need struct {
	Stock
	Covers int
	Sheets int
	Length float64
}

// NeedFor gives the sheets or the length for covers. They are cut without waste
// between, turned where it helps, and different designs share a sheet. What is
// larger than a sheet is pieced from several, and shares none. No covers need
// nothing. Faults: "cover-size" for a side that is not above 0, and those of
// sheet.Fill.
func NeedFor(covers []Cover, stock Stock) (Need, error) {
	if !(stock.Width > 0) || !(stock.Height >= 0) || math.IsInf(stock.Width+stock.Height, 0) {
		return Need{}, fault.New("cover-size", "", "tape or film of %g × %g mm cannot be", stock.Width, stock.Height)
	}
	opt := sheet.Options{Width: stock.Width, Height: stock.Height, Turn: true, Touch: true}
	if stock.Height == 0 {
		opt.Height, opt.Roll = longestRoll, true
	}
	out := Need{Stock: stock}
	var items []sheet.Item
	for _, c := range covers {
		if !(c.Width > 0 && c.Height > 0) || math.IsInf(c.Width+c.Height, 0) {
			return Need{}, fault.New("cover-size", c.Design, "a piece of %g × %g mm cannot be cut", c.Width, c.Height)
		}
		out.Covers += c.Number
		if !stock.takes(c) {
			n, length := stock.pieced(c)
			out.Sheets += n * c.Number
			out.Length += length * float64(c.Number)
			continue
		}
		for range c.Number {
			items = append(items, sheet.Item{Design: c.Design, Plate: len(items) + 1, W: c.Width, H: c.Height})
		}
	}
	filled, err := sheet.Fill(items, opt)
	if err != nil {
		return Need{}, err
	}
	for _, f := range filled {
		out.Length += f.Height
	}
	if opt.Roll {
		out.Sheets = 0
		return out, nil
	}
	out.Sheets, out.Length = out.Sheets+len(filled), 0
	return out, nil
}

// takes says whether a cover is cut from the stock in one piece.
func (s Stock) takes(c Cover) bool {
	if s.Height == 0 {
		return min(c.Width, c.Height) <= s.Width+cutSlack && max(c.Width, c.Height) <= longestRoll
	}
	return c.Width <= s.Width+cutSlack && c.Height <= s.Height+cutSlack || c.Height <= s.Width+cutSlack && c.Width <= s.Height+cutSlack
}

// pieced gives the sheets, or the length, for a cover that is larger than the stock.
func (s Stock) pieced(c Cover) (sheets int, length float64) {
	side := func(long, width float64) float64 { return math.Ceil((long - cutSlack) / width) }
	if s.Height == 0 {
		return 0, min(side(c.Width, s.Width)*c.Height, side(c.Height, s.Width)*c.Width)
	}
	return int(min(side(c.Width, s.Width)*side(c.Height, s.Height), side(c.Height, s.Width)*side(c.Width, s.Height))), 0
}
