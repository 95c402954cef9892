// Package count turns a design into what must be taken off the shelf: stones by
// kind, in pieces, gross, packs and grams, and sheets of tape.
package count

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"
)

// DefaultSpare is the share of stones to take beyond those of the design: some
// fall off the tray, lie face down or are chipped (from memory).
const DefaultSpare = 0.02

// Line is what one kind of stone asks for. Pieces are the stones of the design;
// Take is that with the spare ones. Gross and Packs are how many whole gross
// (144) or whole packs (1,440) hold Take; Grams is what Take weighs, for the
// scales, at the catalogue's mass a piece.
type Line struct {
	Size, Colour string
	Pieces       int
	Take         int
	Gross        int
	Packs        int
	Grams        float64
}

// Tally counts the stones, a line for each kind that occurs, the largest size
// first and then by colour. spare is the share to take beyond them (0.02 is
// 2 %), and what it gives is rounded up to a whole stone for each kind. Faults:
// "kind-unknown" for a stone whose kind is not listed, "spare" for a share
// below 0 or above 1, "size-unknown" for a size the catalogue does not have.
func Tally(stones []design.Stone, kinds []design.Kind, spare float64) ([]Line, error) {
	pieces := map[[2]string]int{}
	for _, k := range kinds {
		pieces[[2]string{k.Size, k.Colour}] = 0
	}
	for i, s := range stones {
		key := [2]string{s.Size, s.Colour}
		if _, ok := pieces[key]; !ok {
			return nil, fault.New("kind-unknown", fmt.Sprintf("stone %d", i+1), "%s %s is not among the kinds of the design; add it or change the stone", s.Size, s.Colour)
		}
		pieces[key]++
	}
	return TallyPieces(pieces, kinds, spare)
}

// TallyPieces is Tally for stones that were counted already, by size and colour.
func TallyPieces(pieces map[[2]string]int, kinds []design.Kind, spare float64) ([]Line, error) {
	if !(spare >= 0 && spare <= 1) {
		return nil, fault.New("spare", "", "a spare share of %g cannot be; give 0 to 1, 0.02 for two stones more in a hundred", spare)
	}
	pieces, kinds = maps.Clone(pieces), slices.Clone(kinds)
	slices.SortFunc(kinds, func(a, b design.Kind) int {
		return cmp.Or(cmp.Compare(b.Diameter, a.Diameter), cmp.Compare(a.Size, b.Size), cmp.Compare(a.Colour, b.Colour))
	})
	var lines []Line
	for _, k := range kinds {
		n := pieces[[2]string{k.Size, k.Colour}]
		if n == 0 {
			continue
		}
		delete(pieces, [2]string{k.Size, k.Colour})
		size, err := catalogue.FindSize(k.Size)
		if err != nil {
			return nil, err
		}
		lines = append(lines, line(k.Size, k.Colour, n, spare, size.Mass))
	}
	return lines, nil
}

func line(size, colour string, pieces int, spare, mass float64) Line {
	take := withSpare(pieces, spare)
	return Line{
		Size: size, Colour: colour, Pieces: pieces, Take: take,
		Gross: wholes(take, catalogue.Gross), Packs: wholes(take, catalogue.Pack),
		Grams: float64(take) * mass,
	}
}

// withSpare adds the spare share, rounded up. The share is taken in millionths,
// so that 2 % of 50 is 1 and not, by a float's last digit, 2.
func withSpare(pieces int, spare float64) int {
	return pieces + wholes(pieces*int(math.Round(spare*1e6)), 1_000_000)
}

// wholes gives how many packs of a size hold n.
func wholes(n, pack int) int { return (n + pack - 1) / pack }

// Total adds lines up: pieces, gross and packs are those to be taken for all
// kinds, as no two kinds share a pack. Size and Colour are empty.
func Total(lines []Line) Line {
	var sum Line
	for _, l := range lines {
		sum.Pieces += l.Pieces
		sum.Take += l.Take
		sum.Gross += l.Gross
		sum.Packs += l.Packs
		sum.Grams += l.Grams
	}
	return sum
}

// Transfers gives how many transfers a stock of stones of one kind makes, each
// with the spare stones of its line; 0 for a line without stones.
func (l Line) Transfers(stock int) int {
	if l.Take <= 0 || stock < 0 {
		return 0
	}
	return stock / l.Take
}
