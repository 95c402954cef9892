package ticket

import (
	"image"
	"time"

	"brushfall/internal/wording"
)

// CustomerProof is what the customer looks at and signs: the picture at its true
// size where the page holds it, the stones in plain words, and no prices.
type CustomerProof struct {
	Language wording.Language
	Number   string
	Shop     Party
	Customer Party
	Date     time.Time // zero: a line to fill in
	Design   string
	Code     string // of the template, or empty
	Garment  string // the cloth in plain words
	// Width and Height are those of the stones, in mm.
	Width, Height float64
	// Picture is Across × Down mm with the stones Inset mm from its left and
	// top edge.
	Picture      image.Image
	Across, Down float64
	Inset        [2]float64
	Stones       []Row // the kinds, without plates
	Notes        []string
	Cautions     []Caution
}
