package job

import (
	"context"
	"crypto/sha256"
	"slices"

	"brushfall/internal/artwork"
	"brushfall/internal/artwork/lettering"
	"brushfall/internal/count"
	"brushfall/internal/cut"
	"brushfall/internal/cut/pace"
	"brushfall/internal/cut/tour"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/inspect"
	"brushfall/internal/layout"
	"brushfall/internal/unit"
)

// Draft is a design laid out, on plates and sheets, and counted, but not inspected:
// nothing to cut yet.
type Draft struct {
	Document design.Document
	Warnings []artwork.Warning
	Notes    []layout.Note
	Counts   []count.Line
	Fits     []UsedFit       // of the sizes that occur, largest first
	Letters  []lettering.Set // what became of the lettering
}

// result gives what a run begins with that goes on from the draft.
func (d Draft) result() Result {
	return Result{Document: d.Document, Warnings: d.Warnings, Notes: d.Notes, Counts: d.Counts, Fits: d.Fits}
}

// Inspect holds the draft to the rules; a draft that keeps every rule has no findings.
func (d Draft) Inspect() []inspect.Finding {
	return append(inspect.Inspect(d.Document), inspect.InspectCounts(d.Document, "counts.csv", tallied(d.Counts))...)
}

// Memory is what a job leaves for the next one of much the same design, for use
// while a setting is dragged: the artwork as it was read at its width, and the
// layout. It serves one run at a time. The zero Memory is empty and ready.
type Memory struct {
	stones  layout.Memory
	repeats *layout.Repeats // shared with the designs of a list; nil: nothing is
	of      reading
	drawn   drawn
}

// reading is what a drawing depends on; the artwork by a digest.
type reading struct {
	name          string
	artwork       [sha256.Size]byte
	width, height unit.Length
	letters       [sha256.Size]byte
}

// drawing is that of the job, which is read again only if it is another.
func (m *Memory) drawing(j Job) (drawn, error) {
	of := reading{j.ArtworkName, j.artworkDigest(), j.Width, j.Height, j.lettersDigest()}
	if m.of == of {
		return m.drawn, nil
	}
	d, err := j.drawing()
	if err == nil {
		m.of, m.drawn = of, d
	}
	return d, err
}

// Lay is the first part of Run, up to the inspection: what a page shows while a
// setting is dragged. A memory, which may be nil, makes it quick where little has
// changed, and changes nothing else. Faults are those of Run.
func Lay(ctx context.Context, j Job, memory *Memory, progress Progress) (Draft, error) {
	if progress == nil {
		progress = func(string, int, int) {}
	}
	if memory == nil {
		memory = &Memory{}
	}
	j = j.fitted()
	progress("reading the artwork", 0, 0)
	d, err := memory.drawing(j)
	drawing := d.Drawing
	if err != nil {
		return Draft{}, err
	}
	if len(drawing.Regions) == 0 {
		return Draft{}, j.emptyFault(drawing.Warnings)
	}
	picked, req := j.request(drawing)
	if len(picked) == 0 {
		return Draft{}, fault.New("layout-empty", j.subject(), "the rules of the job leave every region without stones: take skip out of one of them")
	}
	req.Memory, req.Repeats = &memory.stones, memory.repeats
	laid, err := layout.Run(ctx, req, func(done, total int) { progress("setting stones", done, total) })
	if err != nil {
		return Draft{}, err
	}
	out := Draft{Warnings: slices.Clone(drawing.Warnings), Notes: laid.Notes, Letters: d.letters}
	for _, rule := range j.Unused(drawing.Regions) {
		out.Notes = append(out.Notes, rule.unusedNote())
	}
	if len(laid.Stones) == 0 {
		return Draft{}, fault.New("layout-empty", j.subject(), "no stone fits anywhere at this width: make the design wider or choose a smaller stone")
	}
	out.Document = j.document(drawing, picked, req, laid)
	out.Fits = j.usedFits(out.Document.Kinds)
	out.Notes = append(out.Notes, j.fitNotes(out.Fits)...)
	out.Notes = append(out.Notes, j.sizeNotes(out.Document)...)
	eyes, err := eyeNotes(ctx, drawing, req, laid.Stones, d.letters)
	if err != nil {
		return Draft{}, err
	}
	out.Notes = append(out.Notes, eyes...)
	progress("making plates and sheets", 0, 0)
	if err := j.platesAndSheets(&out); err != nil {
		return Draft{}, err
	}
	out.Counts, err = count.Tally(out.Document.Stones, out.Document.Kinds, count.DefaultSpare)
	return out, err
}

// Estimate gives the time at the cutter of each sheet of a draft, along a way that is
// found in a moment; Run's own is a little shorter.
func (j Job) Estimate(d Draft) ([]pace.Estimate, error) {
	sheets, err := cut.Plan(d.Document, cut.Options{Effort: tour.Quick()})
	if err != nil {
		return nil, err
	}
	var out []pace.Estimate
	for _, s := range sheets {
		out = append(out, j.Cutter.estimate(s))
	}
	return out, nil
}

// tallied gives the counts in the form that is inspected.
func tallied(lines []count.Line) inspect.Tally {
	out := inspect.Tally{}
	for _, l := range lines {
		out[inspect.TallyKey{Size: l.Size, Colour: l.Colour}] += l.Pieces
	}
	return out
}

// Drawing gives what is visible of the job's artwork and lettering, at its size, and
// where each drawing lies. The memory, which may be nil, is that of Lay. Faults are
// those of Run for the artwork, the lettering and the width.
func Drawing(j Job, memory *Memory) (artwork.Drawing, []PlacedDrawing, error) {
	if memory == nil {
		memory = &Memory{}
	}
	d, err := memory.drawing(j)
	if err == nil && len(d.Regions) == 0 {
		err = j.emptyFault(d.Warnings)
	}
	return d.Drawing, d.placed, err
}
