// Package layout sets stones into the regions of a drawing: rims, spines and
// beds, legal by construction. It is pure: the same request gives the same
// stones on any number of cores.
package layout

import (
	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Effort says how long a layout may look for a better one.
type Effort int

// The efforts: Live while a setting is dragged, Final for the cut.
const (
	Final Effort = iota
	Live
)

// Region is one region to be set. Lengths are mm. An empty Treatment is chosen
// by the local stroke width. Earlier regions of a Request win over later ones
// where both want the same place.
type Region struct {
	ID        string
	Shape     geom.Shape  // a closed area, or
	Lines     []geom.Line // open lines
	Treatment []design.Treatment
	Bed       design.BedStyle // empty: comb
	BedAs     BedSettings     // how it is set; of no meaning to comb and echo
	Size      string
	Colour    string
	Diameter  float64  // largest stone of the size
	Gap       float64  // least clear distance to the next stone
	Margin    float64  // clear distance between stone and outline
	Coats     []Coat   // patterns of colours; none: Colour for all
	Accents   *Accents // stones of another kind in the rows; nil: none
	Fills     []Extra  // smaller stones for the gaps of the bed, in the order they are set
}

// Pitch gives the least distance between two centres of the region's stones.
func (r Region) Pitch() float64 { return r.Diameter + r.Gap }

// Request is a whole design to be laid out, with the changes made by hand in
// their order. With a Memory that has laid out much the same design before, only
// what has changed is laid; the result is the same.
type Request struct {
	Regions []Region
	Effort  Effort
	Hand    []Edit
	Memory  *Memory  // nil: everything is laid
	Repeats *Repeats // shared with other designs; nil: nothing is
	fixed   []*fixed // what Hand comes to in one round
	frames  []frame  // Regions, each in its own frame
	areas   int      // how many of Regions are areas
}

// Result is a layout. Stones come in the order of the regions, and within a
// region row by row, then single ones, those in the gaps of the bed, and those set by
// hand. Treatments holds, for each region, what was
// done with it. Notes say what a region could not hold, and which edits by hand do
// not apply; Edits counts those that do. Left holds, for each region, the places
// that edits leave free; it is nil where there are no edits.
type Result struct {
	Stones     []design.Stone
	Treatments [][]design.Treatment
	Left       [][]design.Left
	Edits      int
	Notes      []Note
}

// Note is something the owner should know of a region: nothing fitted, a
// stroke too thin for its stones.
type Note struct {
	Code    string
	Region  string
	Message string
	Page    string // the message in the words of the page, where Message names a command
}
