// Package design holds the record of a design: the stones, plates and sheets
// that the stages make, as layout.json stores them. It has no logic but
// reading and writing. Lengths are millimetres, y down; stones, frames and
// holes share the design's coordinates. docs/formats/layout.md is the page
// for readers outside the project.
package design

import "brushfall/internal/catalogue"

// Version is the version of layout.json that this program writes.
const Version = 1

// Document is one design.
type Document struct {
	Version int      `json:"version"`
	Unit    string   `json:"unit"` // always "mm"
	Design  string   `json:"design"`
	Width   float64  `json:"width"`
	Height  float64  `json:"height"`
	Kinds   []Kind   `json:"kinds"`
	Web     float64  `json:"web"`    // least flock left between two holes of one plate
	Border  float64  `json:"border"` // least flock between a hole's edge and the frame
	Regions []Region `json:"regions"`
	Stones  []Stone  `json:"stones"`
	Plates  []Plate  `json:"plates"`
	Sheets  []Sheet  `json:"sheets"`

	// Least says that no plan has fewer plates than it says; nil: not said.
	Least *Least `json:"least,omitempty"`
	// Mirrored says that the cut files hold every sheet mirrored, left for right.
	// The document itself never is.
	Mirrored bool `json:"mirrored,omitempty"`
}

// Least is the proof of the number of plates, in words.
type Least struct {
	Plates int    `json:"plates"`
	Why    string `json:"why"`
}

// Kind is one size in one colour, with the sizes that the cut depends on.
type Kind struct {
	Size     string  `json:"size"`     // "SS10"
	Colour   string  `json:"colour"`   // "crystal ab"
	Diameter float64 `json:"diameter"` // largest stone of the size
	Smallest float64 `json:"smallest"` // smallest stone of the size
	Hole     float64 `json:"hole"`     // diameter of the cut hole: Diameter + fit
	Height   float64 `json:"height"`
	// Shown ("#rrggbb") and Finish are how a colour of the shop's own looks, so that
	// the record needs no book; empty for a built-in one.
	Shown  string           `json:"shown,omitempty"`
	Finish catalogue.Finish `json:"finish,omitempty"`
}

// Look gives the colour as it is drawn: as the record has it, else the built-in one of
// its name. Fault "colour-unknown".
func (k Kind) Look() (catalogue.Colour, error) {
	if k.Shown == "" {
		return catalogue.FindColour(k.Colour)
	}
	return catalogue.Colour{Name: k.Colour, Hex: k.Shown, Finish: k.Finish, Own: true}, nil
}

// Treatment names one thing done to a region.
type Treatment string

// The treatments a region can have.
const (
	Rim   Treatment = "rim"
	Spine Treatment = "spine"
	Bed   Treatment = "bed"
)

// BedStyle names how a bed is set.
type BedStyle string

// The bed styles.
const (
	Comb    BedStyle = "comb"
	Echo    BedStyle = "echo"
	Courses BedStyle = "courses"
	Spokes  BedStyle = "spokes"
	Scatter BedStyle = "scatter"
)

// Region is an area or an open line of the artwork with one treatment. Rings
// are read even-odd; the rings of an open region are open polylines. Size and
// Colour are of the stones that nothing else was asked for: where a pattern
// shares colours out, or accents and fillings have sizes of their own, each
// stone says its own.
type Region struct {
	ID        string         `json:"id"`
	Rings     [][][2]float64 `json:"rings"`
	Open      bool           `json:"open"`
	Treatment []Treatment    `json:"treatment"`
	Bed       BedStyle       `json:"bed,omitempty"`
	Density   float64        `json:"density,omitempty"` // least share of a full bed that was asked for; 0: a full one
	Size      string         `json:"size"`
	Colour    string         `json:"colour"`
	Gap       float64        `json:"gap"`    // least clear distance between two stones
	Pitch     float64        `json:"pitch"`  // diameter + gap
	Margin    float64        `json:"margin"` // clear distance between stones and the outline
	Sizes     []SizeGap      `json:"sizes,omitempty"`
	Left      []Left         `json:"left,omitempty"` // places that were left free by hand
}

// Left is a place where no stone is to be set, as though one of the size stood
// there: its centre.
type Left struct {
	X    float64 `json:"x"`
	Y    float64 `json:"y"`
	Size string  `json:"size"`
}

// SizeGap is the gap of those stones of a region that are of another size than
// the region's own. Between two stones the larger of both gaps counts.
type SizeGap struct {
	Size string  `json:"size"`
	Gap  float64 `json:"gap"` // least clear distance to any other stone
}

// Role says why a stone is where it is.
type Role string

// The roles of a stone.
const (
	RoleRim   Role = "rim"
	RoleSpine Role = "spine"
	RoleBed   Role = "bed"
	RoleHand  Role = "hand"
)

// Stone is one placed stone: its centre, kind, region, role and plate (from 1).
type Stone struct {
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Size   string  `json:"size"`
	Colour string  `json:"colour"`
	Region string  `json:"region"`
	Role   Role    `json:"role"`
	Plate  int     `json:"plate"`
}

// Hole is one hole of a plate; D is its diameter.
type Hole struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	D float64 `json:"d"`
}

// Plate is one template: the holes of one brush-in step in their frame.
// Frame is x0, y0, x1, y1; Notch is the tip of the notch in the frame's top
// edge; Nicks are the short cuts that number the plate, each x0, y0, x1, y1;
// Register are the marks in its corners and Letters the strokes of its Code, all
// open lines that are cut; Order lists the kinds ("SS10 crystal ab") as they are
// brushed, largest first.
type Plate struct {
	Number   int            `json:"number"`
	Frame    [4]float64     `json:"frame"`
	Notch    [2]float64     `json:"notch"`
	Nicks    [][4]float64   `json:"nicks"`
	Register [][][2]float64 `json:"register,omitempty"`
	Code     string         `json:"code,omitempty"`
	Letters  [][][2]float64 `json:"letters,omitempty"`
	Order    []string       `json:"order"`
	Holes    []Hole         `json:"holes"`
}

// Placed is one plate on a sheet. X, Y is where the smallest-x, smallest-y corner
// of the plate's frame lies on the sheet, after turning: a turned plate is turned
// by a quarter, clockwise as seen on the sheet.
type Placed struct {
	Design string  `json:"design"`
	Plate  int     `json:"plate"`
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Turned bool    `json:"turned"`
}

// Sheet is one piece of template flock with plates on it.
type Sheet struct {
	Number int      `json:"number"`
	Width  float64  `json:"width"`
	Height float64  `json:"height"`
	Placed []Placed `json:"placed"`
}
