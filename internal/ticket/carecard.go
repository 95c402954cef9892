package ticket

import "brushfall/internal/wording"

// CareCard goes with the goods to who wears or uses them. Copies are printed on one
// sheet with cut marks; 0: as many as the sheet holds.
type CareCard struct {
	Language wording.Language
	Shop     Party
	Design   string // may be empty
	Code     string // may be empty
	Material Material
	Made     string // "Cotton and blends"; empty where the material is open
	Care     []Care
	Cautions []Caution
	Copies   int
}

// Care is one line: its sign and its words.
type Care struct {
	Sign CareSign
	Text string
}

// CareSign says which small drawing stands beside a line of care.
type CareSign string

// The signs.
const (
	SignTurn   CareSign = "turn"   // inside out
	SignWash   CareSign = "wash"   // in the machine, cool
	SignHand   CareSign = "hand"   // by hand
	SignNoSoft CareSign = "nosoft" // no softener, no bleach
	SignAir    CareSign = "air"    // dry on the air
	SignIron   CareSign = "iron"   // no iron on the stones
	SignWipe   CareSign = "wipe"   // a soft cloth
	SignWait   CareSign = "wait"   // let it rest first
)
