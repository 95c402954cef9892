// Package catalogue holds the sizes and colours of stones, embedded tables with a
// source on every row, and the packs, sheets and defaults of the trade.
package catalogue

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"sync"
)

// Packs, in pieces (common practice): a gross, the pack of ten gross, and about
// what such a pack holds when it was filled by weight.
const (
	Gross        = 144
	Pack         = 10 * Gross
	PackByWeight = 1500
)

// Defaults of the template, in mm. Web is the least flock between two holes
// (from memory: 0.4 to 0.6); Border the least flock between a hole and the frame
// (from memory). TapeStep is how much higher than a stone to be lifted one that is
// on the tape already may stand: reasoned, no published source; the tape is soft,
// and is rubbed down with a fingertip.
const (
	Web      = 0.5
	Border   = 6.0
	TapeStep = 1.0
)

// Sheets of the trade, in mm (common practice): template flock of 12 × 20 in,
// application tape of 12 × 12 in.
const (
	FlockWidth  = 304.8
	FlockHeight = 508.0
	TapeWidth   = 304.8
	TapeHeight  = 304.8
)

// TemplateLasts is how many transfers a template is expected to be good for: it is
// brushed hundreds of times (common practice), the figure itself is from memory.
const TemplateLasts = 300

// Size is one stone size. Lengths are mm: Smallest and Largest bound the
// diameter, Hole is the cut hole's diameter, Height the stone's. Mass is grams
// a piece. DiameterSource and HoleSource say where those figures come from;
// Height and Mass are from memory.
type Size struct {
	Name              string
	Smallest, Largest float64
	Hole              float64
	Height            float64
	Mass              float64
	Everyday          bool
	DiameterSource    string
	HoleSource        string
}

// Fit gives the hole's diameter less the largest stone's, in mm.
func (s Size) Fit() float64 { return s.Hole - s.Largest }

// Gap gives the tightest gap that one plate can hold with the given web: fit + web, in mm.
func (s Size) Gap(web float64) float64 { return s.Fit() + web }

// Falls says whether stones of size s can fall into the holes of size other:
// the smallest of them is no wider than that hole.
func (s Size) Falls(other Size) bool { return s.Smallest <= other.Hole }

// Finish says how a colour's surface looks.
type Finish string

// The finishes.
const (
	Clear  Finish = "clear"
	AB     Finish = "ab" // aurora borealis: an iridescent coating
	Opaque Finish = "opaque"
	Opal   Finish = "opal"
	Metal  Finish = "metal"
)

// Finishes gives every finish.
func Finishes() []Finish { return []Finish{Clear, AB, Opaque, Opal, Metal} }

// Colour is one stone colour. Hex ("#rrggbb") is for pictures, chosen by eye. Sizes
// are those that it comes in; none: all. Own says that a shop entered it.
type Colour struct {
	Name   string
	Hex    string
	Finish Finish
	Sizes  []string
	Own    bool
	Source string
}

// ComesIn says whether there are stones of a size in the colour.
func (c Colour) ComesIn(size string) bool {
	return len(c.Sizes) == 0 || slices.Contains(c.Sizes, size)
}

//go:embed sizes.csv
var sizesCSV []byte

//go:embed colours.csv
var coloursCSV []byte

var loadSizes = sync.OnceValue(func() []Size {
	var out []Size
	for _, r := range rows(sizesCSV) {
		out = append(out, Size{
			Name: r[0], Smallest: number(r[1]), Largest: number(r[2]), Hole: number(r[3]),
			Height: number(r[4]), Mass: number(r[5]), Everyday: r[6] == "yes",
			DiameterSource: r[7], HoleSource: r[8],
		})
	}
	return out
})

var loadColours = sync.OnceValue(func() []Colour {
	var out []Colour
	for _, r := range rows(coloursCSV) {
		out = append(out, Colour{Name: r[0], Hex: r[1], Finish: Finish(r[2]), Source: r[3]})
	}
	return out
})

// rows reads an embedded table without its head. The tables are part of the
// program and a test reads them whole, so a fault in one is a fault of the build.
func rows(table []byte) [][]string {
	all, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("embedded table: %v", err))
	}
	return all[1:]
}

func number(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(fmt.Sprintf("embedded table: %v", err))
	}
	return v
}

// Sizes gives every size, smallest first.
func Sizes() []Size { return append([]Size(nil), loadSizes()...) }

// Colours gives every colour in the table's order.
func Colours() []Colour { return append([]Colour(nil), loadColours()...) }

// FindSize is Stones.FindSize of the built-in stones.
func FindSize(name string) (Size, error) { return Stones{}.FindSize(name) }

// FindColour is Stones.FindColour of the built-in stones.
func FindColour(name string) (Colour, error) { return Stones{}.FindColour(name) }
