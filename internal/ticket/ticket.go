// Package ticket holds the papers of a job as a model: what a person needs at
// the cutter, at the brushing tray and at the press, in words and figures, with
// nothing said of the page it is printed on.
package ticket

import "brushfall/internal/wording"

// Material names what the transfer is pressed onto.
type Material string

// The materials with pressing notes. Any stands for "not decided yet".
const (
	Any       Material = ""
	Cotton    Material = "cotton"
	Polyester Material = "polyester"
	Nylon     Material = "nylon"
	Acrylic   Material = "acrylic"
	Glass     Material = "glass"
)

// Ticket is the printed instructions of one design. Lengths are mm.
type Ticket struct {
	Language wording.Language
	Design   string
	Code     string  // tells these templates from every other design's; see the function Code
	Size     string  // "228.6 × 228.6 mm"
	SizeInch string  // "9 × 9 in"
	Across   float64 // mm that the picture shows from side to side; 0: not known
	Stones   int
	Lifts    int  // fold-downs of the hinged tape: one a plate
	Mirrored bool // the cut files are mirror images
	Lettered bool // the design's code is cut into the plates
	Sheets   []Sheet
	Counts   []Row
	Facts    []Fact // other material from the shelf, and the holes' sizes
	Plates   []Plate
	Steps    []Step
	Press    Press
	Cautions []Caution
}

// Count is what one kind of stone asks for: Pieces the stones of the design,
// Take that with the spare ones, Gross and Packs how many whole gross (144) or
// ten-gross packs (1,440) hold Take, Grams what Take weighs. Take, Gross, Packs
// and Grams may be 0: not said.
type Count struct {
	Size, Colour string
	Pieces       int
	Take         int
	Gross        int
	Packs        int
	Grams        float64
}

// Row is a line of the counts with how the kind looks and where it is brushed.
type Row struct {
	Count
	Swatch   Swatch
	Diameter float64
	Plates   []int
}

// Swatch is how a colour is printed: Hex ("#rrggbb"), AB for an iridescent one.
type Swatch struct {
	Hex string
	AB  bool
}

// Sheet is one piece of template flock with the plates cut from it.
type Sheet struct {
	Number int
	Size   string // "304.8 × 508 mm"
	Plates []int
}

// Fact is a short label with its value.
type Fact struct{ Label, Value string }

// Plate is one template as the person at the tray sees it. Frame, Notch and
// Nicks are as in design.Plate.
type Plate struct {
	Number int
	Sheet  int // the sheet of flock it is cut from; 0: not placed
	Frame  [4]float64
	Notch  [2]float64
	Nicks  [][4]float64
	Size   string // "240.6 × 240.6 mm"
	Holes  []Hole
	Brush  []Brush // in brushing order
}

// Hole is one hole to draw.
type Hole struct {
	X, Y, D float64
	Swatch  Swatch
}

// Brush is one kind to brush into a plate.
type Brush struct {
	Size, Colour string
	Swatch       Swatch
	Pieces       int
	Grams        float64 // what Pieces weigh; 0: not said
}

// Step is one step of the work; Plate is the plate it is about, 0 for none.
type Step struct {
	Title, Text string
	Plate       int
}

// Press is the pressing table. Rule is the line that must stand with it.
type Press struct {
	Material Material
	Rows     []PressRow
	Rule     string
	Good     string // how a good press is told
}

// PressRow is the settings for one material. Never means that it is not
// pressed; Chosen marks the job's material.
type PressRow struct {
	Material Material
	Name     string
	Heat     string
	Time     string
	Pressure string
	Then     string
	Source   string // where the figures come from: "from memory", "common practice"
	Never    bool
	Chosen   bool
}

// Caution is one warning.
type Caution struct{ Title, Text string }
