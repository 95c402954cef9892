package count

import (
	"math"

	"brushfall/internal/catalogue"
)

// HingeFlap is how much longer than the frame the tape is cut, in mm: it
// reaches up the tray's raised edge and is stuck there (that it must, is common
// practice; the length is from memory).
const HingeFlap = 40.0

// Tape is what one transfer takes of application tape, which all its plates
// share. A piece is Width × Height mm, the hinge flap on one side of it, cut
// from one sheet where it fits and else pieced from Sheets sheets side by side.
// PerSheet is how many such pieces one sheet gives, 0 if it must be pieced.
type Tape struct {
	Width, Height float64
	PerSheet      int
	Sheets        int
}

// TapeFor gives the tape for a frame of the given sides in mm, from sheets of
// 12 × 12 in. The flap goes beside the frame where that needs fewer sheets, or
// where one sheet then gives more pieces, and else below it. Sides not above 0
// need no tape.
func TapeFor(frameWidth, frameHeight float64) Tape {
	if !(frameWidth > 0 && frameHeight > 0) || math.IsInf(frameWidth+frameHeight, 0) {
		return Tape{}
	}
	below, beside := cutTape(frameWidth, frameHeight+HingeFlap), cutTape(frameWidth+HingeFlap, frameHeight)
	if beside.Sheets < below.Sheets || beside.Sheets == below.Sheets && beside.PerSheet > below.PerSheet {
		return beside
	}
	return below
}

// FilmSheets gives the film of one decal of a design of the given sides in mm, cut
// from sheets like those of tape (from memory), as Tape: how many a sheet gives,
// or how many sheets one is pieced from. Sides not above 0 need no film.
func FilmSheets(designWidth, designHeight float64) Tape {
	if !(designWidth > 0 && designHeight > 0) || math.IsInf(designWidth+designHeight, 0) {
		return Tape{}
	}
	c := FilmFor(designWidth, designHeight)
	return cutTape(c.Width, c.Height)
}

// cutSlack is by how much a piece may seem larger than the sheet, in mm: the
// rounding of sums, which no scissors can show.
const cutSlack = 1e-6

// Cut gives how pieces of the given sides in mm are cut from sheets of 12 × 12 in,
// without a flap.
func Cut(w, h float64) Tape {
	if !(w > 0 && h > 0) || math.IsInf(w+h, 0) {
		return Tape{}
	}
	return cutTape(w, h)
}

func cutTape(w, h float64) Tape {
	across, down := catalogue.TapeWidth, catalogue.TapeHeight
	straight := int(math.Floor((across+cutSlack)/w) * math.Floor((down+cutSlack)/h))
	turned := int(math.Floor((across+cutSlack)/h) * math.Floor((down+cutSlack)/w))
	t := Tape{Width: w, Height: h, PerSheet: max(straight, turned), Sheets: 1}
	if t.PerSheet == 0 {
		t.Sheets = int(min(math.Ceil((w-cutSlack)/across)*math.Ceil((h-cutSlack)/down),
			math.Ceil((h-cutSlack)/across)*math.Ceil((w-cutSlack)/down)))
	}
	return t
}

// SheetsFor gives the whole sheets of tape for a number of transfers.
func (t Tape) SheetsFor(transfers int) int {
	if transfers <= 0 {
		return 0
	}
	if t.PerSheet > 0 {
		return wholes(transfers, t.PerSheet)
	}
	return transfers * t.Sheets
}
