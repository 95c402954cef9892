package shop

import (
	"math"

	"brushfall/internal/catalogue"
)

// Fill is a lot that was filled by weight, and what a count found in it before
// anything was taken.
type Fill struct {
	Labelled int
	Found    int
}

// Overrun is by how much packs filled by weight hold more than their label says.
// Mean and Least are pieces found ÷ pieces labelled, over all counted lots and in
// the poorest of them; Lots is how many lots were counted, 0 where the trade's
// figure stands for the shop's own.
type Overrun struct {
	Mean  float64
	Least float64
	Lots  int
}

// Learn gives the shop's overrun from its own counts. Without any, Mean is
// common practice (a ten-gross pack of 1,440 holds about 1,500) and Least is 1:
// nobody should plan on what was never counted.
func Learn(fills []Fill) Overrun {
	o := Overrun{Mean: float64(catalogue.PackByWeight) / catalogue.Pack, Least: 1}
	labelled, found := 0, 0
	for _, f := range fills {
		if f.Labelled <= 0 {
			continue
		}
		r := float64(f.Found) / float64(f.Labelled)
		if o.Lots == 0 || r < o.Least {
			o.Least = r
		}
		o.Lots++
		labelled += f.Labelled
		found += f.Found
	}
	if o.Lots > 0 {
		o.Mean = float64(found) / float64(labelled)
	}
	return o
}

// Expect gives the pieces to book for a pack that says labelled.
func (o Overrun) Expect(labelled int, filled Filled) int {
	if filled != ByWeight {
		return labelled
	}
	return int(math.Round(float64(labelled) * o.Mean))
}

// Plan gives the pieces of such a pack to count on when buying: no more than the
// poorest pack held.
func (o Overrun) Plan(labelled int, filled Filled) int {
	if filled != ByWeight {
		return labelled
	}
	return int(math.Floor(float64(labelled) * o.Least * (1 + 1e-12))) // a quotient of whole numbers, times its divisor, is whole again
}

// FromGrams gives how many stones of a mass, in grams a piece, weigh so much,
// rounded to the nearest.
func FromGrams(grams, mass float64) int {
	if !(mass > 0) || !(grams > 0) || grams/mass > 2*MostPieces {
		return 0
	}
	return int(math.Round(grams / mass))
}
