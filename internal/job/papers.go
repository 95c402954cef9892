package job

import (
	"slices"
	"strings"
	"time"

	"brushfall/internal/catalogue"
	"brushfall/internal/count"
	"brushfall/internal/design"
	"brushfall/internal/proof"
	"brushfall/internal/ticket"
	"brushfall/internal/wording"
)

// ProofPaper is what a customer's proof needs beside the design. The zero value is a
// proof on the usual cloth in English that names nobody.
type ProofPaper struct {
	Language wording.Language
	Garment  string // a name of proof.Garments or "#rrggbb"
	Shop     ticket.Party
	Customer ticket.Party
	Number   string
	Date     time.Time
	Press    ticket.Material // whose cautions are printed; ticket.Any: all of them
	Notes    []string
}

// CustomerProof makes the proof that a customer signs, of a finished design: its
// picture on the garment, its true size, its stones without spare ones, no prices.
// Faults are those of the picture and of the counts.
func CustomerProof(doc design.Document, opt ProofPaper) (ticket.CustomerProof, error) {
	v := wording.In(opt.Language)
	look := proof.Options{Garment: opt.Garment}
	place, err := proof.PlaceOf(doc, look)
	if err != nil {
		return ticket.CustomerProof{}, err
	}
	picture, err := proof.Draw(doc, look)
	if err != nil {
		return ticket.CustomerProof{}, err
	}
	rows, err := proofRows(doc)
	if err != nil {
		return ticket.CustomerProof{}, err
	}
	garment := opt.Garment
	if garment == "" {
		garment = proof.DefaultGarment
	}
	out := ticket.CustomerProof{
		Language: opt.Language, Number: opt.Number, Shop: opt.Shop, Customer: opt.Customer, Date: opt.Date,
		Design: doc.Design, Garment: garmentWord(v, garment),
		Width: place.Stones.Width(), Height: place.Stones.Height(),
		Picture: picture, Across: float64(place.Width) / place.PixelsPerMM, Down: float64(place.Height) / place.PixelsPerMM,
		Inset:  [2]float64{place.Stones.MinX - place.Origin.X, place.Stones.MinY - place.Origin.Y},
		Stones: rows, Notes: opt.Notes,
		Cautions: ticket.GoodsCautions(opt.Language, opt.Press, true),
	}
	if len(doc.Plates) > 0 {
		out.Code = ticket.Code(doc)
	}
	return out, nil
}

// proofRows counts the stones that the customer gets.
func proofRows(doc design.Document) ([]ticket.Row, error) {
	lines, err := count.Tally(doc.Stones, doc.Kinds, count.DefaultSpare)
	if err != nil {
		return nil, err
	}
	var out []ticket.Row
	for _, l := range lines {
		at := slices.IndexFunc(doc.Kinds, func(k design.Kind) bool { return k.Size == l.Size && k.Colour == l.Colour })
		kind := doc.Kinds[at] // it was counted, so it is there
		colour, err := kind.Look()
		if err != nil {
			return nil, err
		}
		out = append(out, ticket.Row{
			Count:  ticket.Count{Size: l.Size, Colour: l.Colour, Pieces: l.Pieces},
			Swatch: ticket.Swatch{Hex: colour.Hex, AB: colour.Finish == catalogue.AB}, Diameter: kind.Diameter,
		})
	}
	return out, nil
}

// garmentWord says the colour of a garment in the language; one that is given as
// "#rrggbb" stays as it is.
func garmentWord(v wording.Voice, name string) string {
	for _, k := range []wording.Key{
		"black", "navy", "charcoal", "forest", "burgundy", "purple", "royal", "red", "teal", "grey", "sky", "pink", "sand", "white",
	} {
		if strings.EqualFold(strings.TrimSpace(name), string(k)) {
			return v.Say(k)
		}
	}
	return name
}
