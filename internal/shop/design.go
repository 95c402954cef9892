package shop

import (
	"context"
	"slices"
	"time"

	"brushfall/internal/fault"
)

// Design is what one made design takes, as it was when it came into the book, so
// that jobs stay as they were promised whatever becomes of its folder. Lengths are
// mm, 0 where not known. Digest tells two designs apart: the SHA-256, in hex, of the
// layout.json or counts.csv. Flock is the sheets that its templates are cut from, once.
// Template is what a set of them is, entered when one is cut; nil where it is not known,
// and in what a Designs gives.
type Design struct {
	ID            int64
	Added         time.Time
	Name          string
	Digest        string
	Width, Height float64
	Plates        int
	Flock         int
	Tape, Film    Cover
	Stones        []Stones
	Template      *NewTemplate
}

// Stones are those of one kind in one transfer: Pieces are set, Take are taken, with
// the spare ones.
type Stones struct {
	Kind   Kind
	Pieces int
	Take   int
}

// Cover is how tape or film is cut for one transfer: so many pieces from a sheet, or,
// where PerSheet is 0, a piece made of so many Sheets.
type Cover struct{ PerSheet, Sheets int }

// For gives the whole sheets for so many transfers.
func (c Cover) For(transfers int) int {
	if c.PerSheet > 0 {
		return (max(transfers, 0) + c.PerSheet - 1) / c.PerSheet
	}
	return max(transfers, 0) * c.Sheets
}

// Designs keeps what designs take. Faults beyond those of Book and Design.Check:
// "design-unknown".
type Designs interface {
	// AddDesign gives the design with its number; one of the same digest that is there
	// already is given as it is. Its template is kept where none was known.
	AddDesign(ctx context.Context, at time.Time, d Design) (Design, error)
	// Design gives the one of that number.
	Design(ctx context.Context, id int64) (Design, error)
	// Designs gives all, by number, without their stones.
	Designs(ctx context.Context) ([]Design, error)
}

// Check gives the design with its name made regular and its stones in the order of
// CompareKinds. Faults: "design", "pieces", "text".
func (d Design) Check() (Design, error) {
	var err error
	if d.Name, err = cleanText("the design's name", d.Name); err != nil {
		return d, err
	}
	if d.Name == "" || d.Digest == "" || len(d.Stones) == 0 {
		return d, fault.New("design", d.Name, "a design needs a name and at least one stone")
	}
	if !(d.Width >= 0 && d.Height >= 0) || min(d.Plates, d.Flock, d.Tape.PerSheet, d.Tape.Sheets, d.Film.PerSheet, d.Film.Sheets) < 0 {
		return d, fault.New("design", d.Name, "a design has no sides or sheets below nothing")
	}
	if d.Template != nil {
		t, err := d.Template.Check()
		if err != nil {
			return d, err
		}
		if d.Template = &t; t.Digest != d.Digest || len(t.Files) == 0 {
			return d, fault.New("design", d.Name, "the templates are not those of its layout; make the design again")
		}
	}
	d.Stones = slices.Clone(d.Stones)
	slices.SortFunc(d.Stones, func(a, b Stones) int { return CompareKinds(a.Kind, b.Kind) })
	for i, s := range d.Stones {
		if err := checkPieces(s.Pieces, 1); err != nil {
			return d, err
		}
		if err := checkPieces(s.Take, s.Pieces); err != nil {
			return d, err
		}
		if i > 0 && s.Kind == d.Stones[i-1].Kind {
			return d, fault.New("design", d.Name, "%s are listed twice", s.Kind)
		}
	}
	return d, nil
}
