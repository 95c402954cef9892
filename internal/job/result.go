package job

import (
	"brushfall/internal/artwork"
	"brushfall/internal/count"
	"brushfall/internal/cut/pace"
	"brushfall/internal/design"
	"brushfall/internal/inspect"
	"brushfall/internal/layout"
	"brushfall/internal/proof"
	"brushfall/internal/ticket"
)

// Progress hears how far a run is: the stage's name in plain words, and how
// much of its total is done. Total 0 means that nobody knows. It is called from
// one goroutine at a time and must return quickly.
type Progress func(stage string, done, total int)

// Result is what a run made. Findings is empty for a design that keeps every
// rule; a design with findings must not be cut.
type Result struct {
	Document design.Document
	Warnings []artwork.Warning
	Notes    []layout.Note
	Counts   []count.Line
	Fits     []UsedFit
	Findings []inspect.Finding
	Times    []pace.Estimate // at the cutter, of each sheet
	facts    []ticket.Fact   // for its ticket alone
	sprites  *proof.Sprites  // shared with other designs
	files    []File
}

// File is one file of the result, whole and in memory.
type File struct {
	Name string
	Data []byte
}

// Files gives the files in a stable order: layout.json, sheet-N.svg, .dxf,
// .plt and .pdf sheet by sheet (no .plt of a sheet that is too long for HP-GL),
// counts.csv, ticket.pdf, proof.png.
func (r Result) Files() []File { return r.files }
