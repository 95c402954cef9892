// Package piece says what a transfer of a design takes: stones, flock, tape, film
// and the time at the cutter, for package price to reckon with.
package piece

import (
	"math"

	"github.com/shopspring/decimal"

	"brushfall/internal/catalogue"
	"brushfall/internal/count"
	"brushfall/internal/cut"
	"brushfall/internal/cut/pace"
	"brushfall/internal/cut/tour"
	"brushfall/internal/design"
	"brushfall/internal/price"
)

// flockPlaces is how many decimals the part of a sheet of flock has.
const flockPlaces = 4

// Taken is what a transfer takes, and the stones of it by kind, the largest first.
// The stones of Piece have no value yet: the book knows it.
type Taken struct {
	Piece price.Piece
	Lines []count.Line
}

// Of reads a design. Flock is the length of each sheet down to the lowest frame,
// over its whole width: what lies below is a whole strip, which is kept. Cutting is
// estimated for the machine. Faults: those of count.TallyPieces and cut.Plan.
func Of(doc design.Document, m pace.Machine) (Taken, error) {
	lines, err := count.Tally(doc.Stones, doc.Kinds, 0)
	if err != nil {
		return Taken{}, err
	}
	sheets, err := cut.Plan(doc, cut.Options{Effort: tour.Quick()})
	if err != nil {
		return Taken{}, err
	}
	seconds := 0.0
	for _, s := range sheets {
		seconds += pace.Of(s, m, pace.Work{}).Total()
	}
	t := Taken{Lines: lines, Piece: price.Piece{
		Design: doc.Design, Plates: len(doc.Plates), Sheets: len(doc.Sheets),
		Flock: flock(doc), Cutting: decimal.NewFromFloat(math.Round(seconds*10) / 10),
		Film: part(count.FilmSheets(doc.Width, doc.Height)),
	}}
	for _, p := range doc.Plates {
		t.Piece.Holes += len(p.Holes)
	}
	if len(doc.Plates) > 0 {
		f := doc.Plates[0].Frame
		t.Piece.Tape = part(count.TapeFor(f[2]-f[0], f[3]-f[1]))
	}
	return t, nil
}

// part turns a piece of a sheet into how many sheets it takes, or what part of one.
func part(t count.Tape) price.Part {
	if t.PerSheet > 0 {
		return price.Part{Number: 1, Of: t.PerSheet}
	}
	return price.Part{Number: t.Sheets, Of: 1}
}

// flock gives the flock of the design in sheets of 12 × 20 in, rounded up.
func flock(doc design.Document) price.Amount {
	frames := map[int][4]float64{}
	for _, p := range doc.Plates {
		frames[p.Number] = p.Frame
	}
	area := 0.0
	for _, s := range doc.Sheets {
		lowest := 0.0
		for _, at := range s.Placed {
			f := frames[at.Plate]
			height := f[3] - f[1]
			if at.Turned {
				height = f[2] - f[0]
			}
			lowest = math.Max(lowest, at.Y+height)
		}
		area += s.Width * lowest
	}
	unit := math.Pow10(flockPlaces)
	// The little that is taken off is the rounding of the sums, which would else
	// make a whole sheet one and a ten-thousandth.
	return decimal.New(int64(math.Ceil(area/(catalogue.FlockWidth*catalogue.FlockHeight)*unit-1e-6)), -flockPlaces)
}
