package office

import (
	"context"
	"fmt"
	"math"
	"time"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// HowMany says how many stones came in: in pieces, in gross or in grams, one of the
// three. ByWeight says that the packs were filled by weight, and run over.
type HowMany struct {
	Pieces       int
	Gross, Grams float64
	ByWeight     bool
}

// mostGross bounds what a gross can mean; mostGrams is more than a parcel carries, 100 kg.
const (
	mostGross = shop.MostPieces / catalogue.Gross
	mostGrams = 100_000
)

// Check refuses what cannot be. Faults: "usage", "pieces".
func (h HowMany) Check() error {
	given := 0
	for _, on := range []bool{h.Pieces != 0, h.Gross != 0, h.Grams != 0} {
		if on {
			given++
		}
	}
	switch stones := h.Gross * catalogue.Gross; {
	case given != 1:
		return fault.New("usage", "", "say how many: one of --pieces 1440, --gross 10 or --grams 30").OnPage("say how many came in, in one of pieces, gross or grams")
	case h.Pieces < 0 || h.Pieces > shop.MostPieces:
		return fault.New("pieces", "--pieces", "%d pieces cannot be; give 1 to %d", h.Pieces, shop.MostPieces)
	case h.Gross != 0 && (!(h.Gross > 0 && h.Gross <= mostGross) || stones != math.Trunc(stones)):
		return fault.New("pieces", "--gross", "%g gross is no whole number of stones; give gross of %d, such as 10", h.Gross, catalogue.Gross)
	case h.Grams != 0 && !(h.Grams > 0 && h.Grams <= mostGrams):
		return fault.New("pieces", "--grams", "%g g is no weight of stones; give grams, such as 30", h.Grams)
	}
	return nil
}

// Receipt gives the pieces, by the label and to be booked. Grams are turned into pieces
// by the shop's own weighings, or the catalogue's mass. Faults as of Check.
func (h HowMany) Receipt(ctx context.Context, b shop.Book, kind shop.Kind) (shop.Receipt, error) {
	r := shop.Receipt{Kind: kind, Filled: shop.ByPieces}
	if err := h.Check(); err != nil {
		return r, err
	}
	if h.Grams != 0 {
		mass, _, err := b.Mass(ctx, kind)
		if err != nil {
			return r, err
		}
		r.Pieces = shop.FromGrams(h.Grams, mass)
		r.Labelled = r.Pieces
		if r.Pieces < 1 {
			return r, fault.New("pieces", "--grams", "%g g is not one stone of %.4f g; give grams, such as 30", h.Grams, mass)
		}
		return r, nil
	}
	r.Labelled = h.Pieces
	if h.Gross != 0 {
		r.Labelled = int(h.Gross * catalogue.Gross)
	}
	r.Pieces = r.Labelled
	if h.ByWeight {
		over, err := b.Overrun(ctx)
		if err != nil {
			return r, err
		}
		r.Filled, r.Pieces = shop.ByWeight, over.Expect(r.Labelled, shop.ByWeight)
	}
	return r, nil
}

// Weighed is what is kept of a count by weight: with Keep what the counted stones
// weighed, with Count the jar and the counted stones together as what is at Place.
type Weighed struct {
	Kind     shop.Kind
	Weighing shop.Weighing
	Keep     bool
	Count    bool
	Place    string
}

// Book keeps it; the deed is that of the count, nil without one.
func (w Weighed) Book(ctx context.Context, b shop.Book, at time.Time, e shop.Estimate) (*shop.Deed, error) {
	if w.Keep {
		if err := b.Weighed(ctx, at, w.Kind, w.Weighing.Samples); err != nil {
			return nil, err
		}
	}
	if !w.Count {
		return nil, nil
	}
	note := fmt.Sprintf("by weight: %d to %d in the jar, and %d", e.Low, e.High, e.Counted)
	d, err := b.Change(ctx, at, shop.Change{What: shop.Counted, Kind: w.Kind, Pieces: e.Pieces + e.Counted, Place: w.Place, Note: note})
	return &d, err
}
