package shop

import (
	"fmt"

	"brushfall/internal/fault"
)

// Draw takes pieces from the lots at one place, the oldest first: first in, first
// out. shelf is what is there, oldest first. The parts have negative pieces. Fault
// "stock-short" where there are not as many; nothing is taken then.
func Draw(kind Kind, shelf []Part, pieces int) ([]Part, error) {
	there := 0
	for _, p := range shelf {
		there += p.Pieces
	}
	if there < pieces {
		return nil, fault.New("stock-short", kind.String(), "%d were to be taken and the book has %d there; if more are, count them first: brushfall stock count", pieces, there).
			OnPage("%d were to be taken and the book has %d there; if more are, count them first (Stock: were counted)", pieces, there)
	}
	var out []Part
	for _, p := range shelf {
		n := min(p.Pieces, pieces)
		if n > 0 {
			out = append(out, Part{p.Lot, p.Place, -n})
			pieces -= n
		}
	}
	return out, nil
}

// Settle gives the parts that bring the lots at one place to a count: what is
// missing goes from the oldest lots, as if it had been used unbooked; what is
// there beyond the ledger is added to the newest lot, which is the likeliest to
// be fuller than its label. shelf is every lot of the kind that was ever at the
// place, oldest first, also those with nothing left. Fault "count-lot" where
// stones are found and there is no lot for them.
func Settle(kind Kind, shelf []Part, counted int) ([]Part, error) {
	there := 0
	for _, p := range shelf {
		there += p.Pieces
	}
	switch {
	case counted == there:
		return nil, nil
	case counted < there:
		return Draw(kind, shelf, there-counted)
	case len(shelf) == 0:
		return nil, fault.New("count-lot", kind.String(), "the book has no lot of these to add %d to; receive them first", counted)
	}
	last := shelf[len(shelf)-1]
	return []Part{{last.Lot, last.Place, counted - there}}, nil
}

// Apply gives what a checked change does to the lots at its place.
func (c Change) Apply(shelf []Part) ([]Part, error) {
	if c.What == Counted {
		return Settle(c.Kind, shelf, c.Pieces)
	}
	taken, err := Draw(c.Kind, shelf, c.Pieces)
	if err != nil || c.What != Moved {
		return taken, err
	}
	for _, p := range taken[:len(taken):len(taken)] {
		taken = append(taken, Part{p.Lot, c.Towards, -p.Pieces})
	}
	return taken, nil
}

// Found gives the receipt for stones that a count found of a kind the book has
// no lot of: what they cost is not known.
func (c Change) Found() Receipt {
	return Receipt{Kind: c.Kind, Labelled: c.Pieces, Pieces: c.Pieces, Filled: ByPieces, Place: c.Place, Note: fmt.Sprint("found by counting ", c.Note)}
}
