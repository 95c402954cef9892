// Package inspect judges a finished design against the rules of the craft, and
// measures how good its layout is. It reads the record alone and shares no
// code with the stages that made it but the plane geometry. docs/findings.md
// lists the findings.
package inspect

import (
	"fmt"
	"slices"

	"brushfall/internal/design"
)

// ID is the stable name of a rule; docs/findings.md has a paragraph on each.
type ID string

// The rules, in the order of the findings.
const (
	Value    ID = "BF-VALUE"    // a number is missing, infinite, or out of its range
	Kind     ID = "BF-KIND"     // a stone of a kind that the design does not list
	Region   ID = "BF-REGION"   // a stone of a region that there is not, or two regions of one name
	Pitch    ID = "BF-PITCH"    // a region's pitch is not its stone and its gap
	Gap      ID = "BF-GAP"      // two stones nearer than their gap
	Outside  ID = "BF-OUTSIDE"  // a stone not wholly inside its region
	Margin   ID = "BF-MARGIN"   // a stone nearer to the outline than the region's margin
	Line     ID = "BF-LINE"     // a stone off its line
	Room     ID = "BF-ROOM"     // a bed could hold one more stone
	Plate    ID = "BF-PLATE"    // a stone on no plate, or two plates of one number
	Hole     ID = "BF-HOLE"     // a stone without its hole, or a hole without its stone
	Web      ID = "BF-WEB"      // two holes of a plate with too little flock between
	Border   ID = "BF-BORDER"   // a hole too near to the frame
	Falls    ID = "BF-FALLS"    // two kinds on a plate that fall into each other's holes
	Order    ID = "BF-ORDER"    // kinds on a plate missing from its order, or not largest first
	Frame    ID = "BF-FRAME"    // plates with different frames
	Notch    ID = "BF-NOTCH"    // plates with different notches
	Nick     ID = "BF-NICK"     // a plate that its nicks do not number
	Register ID = "BF-REGISTER" // plates with different register marks
	Mark     ID = "BF-MARK"     // a nick, register mark or letter too near to a hole or to another, or outside the frame
	Unplaced ID = "BF-UNPLACED" // a plate that is not on the sheets, or not as often as the others
	Sheet    ID = "BF-SHEET"    // a plate over the edge of its sheet
	Overlap  ID = "BF-OVERLAP"  // two plates over each other on a sheet
	Count    ID = "BF-COUNT"    // counts that do not agree with the stones
)

// Tolerances, in mm.
const (
	// GapTolerance is a tenth of what a cutter of the trade can repeat.
	GapTolerance = 1e-3
	// InsideTolerance is how finely layout.json flattens outlines.
	InsideTolerance = 1e-2
	// HoleTolerance bounds place and width of a hole against its stone.
	HoleTolerance = 1e-3
	// SameTolerance bounds lengths that are copies of each other.
	SameTolerance = 1e-6
	// RoomTolerance is the rounding of the place of one more stone, which is
	// found where two distances are exactly the least allowed.
	RoomTolerance = 1e-6
)

// NoStone is the Stone of a finding that is not about one.
const NoStone = -1

// Finding is one broken rule: where it is (mm), the region and the stone's
// number in the design (from 0, NoStone if none), and, where the rule bounds a
// number, its value and limit.
type Finding struct {
	ID      ID      `json:"id"`
	Region  string  `json:"region,omitempty"`
	Stone   int     `json:"stone"`
	X       float64 `json:"x"`
	Y       float64 `json:"y"`
	Value   float64 `json:"value"`
	Limit   float64 `json:"limit"`
	Message string  `json:"message"`
}

// String gives the finding on one line.
func (f Finding) String() string {
	where := ""
	if f.Region != "" {
		where = fmt.Sprintf(" region %q", f.Region)
	}
	return fmt.Sprintf("%s at %.3f, %.3f%s: %s", f.ID, f.X, f.Y, where, f.Message)
}

// Inspect gives every broken rule of a design, rule by rule in the order of
// the constants, then by stone, plate and sheet in the design's order. A
// sound design gives none.
func Inspect(doc design.Document) []Finding {
	m := newModel(doc)
	m.checkStones()
	m.checkPlates()
	m.checkHoles()
	m.checkFrames()
	m.checkStrokes()
	m.checkSheets()
	return m.sorted()
}

// InspectStones gives the broken rules of the stones alone, for a layout that
// has no plates yet.
func InspectStones(doc design.Document) []Finding {
	m := newModel(doc)
	m.checkStones()
	return m.sorted()
}

func (m *model) checkStones() {
	m.checkGaps()
	m.checkInside()
	m.checkRoom()
}

// IDs gives every rule, in the order of the findings.
func IDs() []ID {
	return []ID{
		Value, Kind, Region, Pitch, Gap, Outside, Margin, Line, Room, Plate, Hole, Web, Border,
		Falls, Order, Frame, Notch, Nick, Register, Mark, Unplaced, Sheet, Overlap, Count,
	}
}

// sorted gives the findings in the order of the rules, else as they were found.
func (m *model) sorted() []Finding {
	rank := map[ID]int{}
	for i, id := range IDs() {
		rank[id] = i
	}
	slices.SortStableFunc(m.findings, func(a, b Finding) int { return rank[a.ID] - rank[b.ID] })
	return m.findings
}
