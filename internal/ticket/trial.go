package ticket

import "brushfall/internal/wording"

// Trial is the paper of a plate of trial holes: what to do with it, and a table to
// fill in. Lengths are mm.
type Trial struct {
	Language wording.Language
	Title    string // "SS10 trial holes"
	Made     string // "flock black, cutter desk"
	Plate    Plate
	// Numbers are the strokes of the groups' numbers, in the plate's coordinates.
	Numbers [][][2]float64
	Groups  []TrialGroup
	Steps   []Step
	Enter   []string // the commands that enter the answer
	Notes   []string
}

// TrialGroup is a line of the table; Now marks the fit in use.
type TrialGroup struct {
	Number    int
	Hole, Fit string
	Now       bool
}
