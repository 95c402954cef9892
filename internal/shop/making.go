package shop

import (
	"slices"
	"strings"

	"brushfall/internal/fault"
)

// Making is transfers of a promised job that were made. Line 0 means every line;
// Transfers 0 all that are left of it. Place is where the stones are taken from. Found
// says that all was there, whatever the book says: what it lacks is counted up first.
type Making struct {
	Job       int64
	Line      int
	Transfers int
	Place     string
	Note      string
	Found     bool
}

// Check gives the making with its texts made regular. Faults: "job-line", "text".
func (m Making) Check() (Making, error) {
	if m.Transfers < 0 || m.Transfers > mostTransfers || m.Line < 0 || (m.Transfers > 0 && m.Line == 0) {
		return m, fault.New("job-line", "", "say of which line how many were made, or leave both out for all that is left")
	}
	var err error
	if m.Place, err = cleanPlace(m.Place); err != nil {
		return m, err
	}
	m.Note, err = cleanText("the note", m.Note)
	return m, err
}

// Wasting is stones of a job that were spoiled: those of so many transfers of a line,
// with their tape, and Stones beside. What is spoiled is taken beyond what the job
// reserves.
type Wasting struct {
	Job       int64
	Line      int
	Transfers int
	Stones    []Want
	Place     string
	Note      string
}

// Check gives the wasting with its texts made regular. Faults: "job-line", "pieces", "text".
func (w Wasting) Check() (Wasting, error) {
	if w.Transfers < 0 || w.Transfers > mostTransfers || (w.Transfers == 0 && len(w.Stones) == 0) {
		return w, fault.New("job-line", "", "say what was spoiled: so many transfers, or stones")
	}
	for _, s := range w.Stones {
		if err := checkPieces(s.Pieces, 1); err != nil {
			return w, err
		}
	}
	var err error
	if w.Place, err = cleanPlace(w.Place); err != nil {
		return w, err
	}
	w.Note, err = cleanText("the note", w.Note)
	return w, err
}

// Amendment changes a job; nil and empty leave a thing as it is. Lines and customer
// change only while the job is asked for.
type Amendment struct {
	Job      int64
	Due      *string
	Note     *string
	Customer *int64
	Add      []Line
	Remove   []int
}

// Apply gives the job as it becomes, checked. Faults: "job-line", "job-move" and those
// of Job.Check.
func (a Amendment) Apply(j Job) (Job, error) {
	if (a.Customer != nil || len(a.Add)+len(a.Remove) > 0) && j.State != Asked {
		return j, fault.New("job-move", "", "job %d is %s: its lines and customer stay; drop it and ask anew", j.ID, j.State)
	}
	if j.State == Dropped || j.State == HandedOver {
		return j, fault.New("job-move", "", "job %d is %s and stays as it is", j.ID, j.State)
	}
	if a.Due != nil {
		j.Due = *a.Due
	}
	if a.Note != nil {
		j.Note = *a.Note
	}
	if a.Customer != nil {
		j.Customer = *a.Customer
	}
	for _, n := range a.Remove {
		if _, err := j.Line(n); err != nil {
			return j, err
		}
	}
	j.Lines = slices.DeleteFunc(slices.Clone(j.Lines), func(l Line) bool { return slices.Contains(a.Remove, l.Number) })
	for _, l := range a.Add {
		l.Number = 0
		j.Lines = append(j.Lines, l)
	}
	return j.Check()
}

// Line gives the line of that number. Fault "job-line".
func (j Job) Line(number int) (Line, error) {
	i := slices.IndexFunc(j.Lines, func(l Line) bool { return l.Number == number })
	if i < 0 {
		return Line{}, fault.New("job-line", "", "job %d has no line %d; brushfall job show %d has them", j.ID, number, j.ID).
			OnPage("job %d has no line %d any more; open Jobs anew", j.ID, number)
	}
	return j.Lines[i], nil
}

// Take gives how many transfers a making adds to a line: from the shelf as long as its
// share lasts, then fresh ones. Fault "job-line" for more than are left.
func (l Line) Take(transfers int) (drawn, fresh int, err error) {
	left := l.Quantity - l.Made
	if transfers == 0 {
		transfers = left
	}
	if transfers > left {
		return 0, 0, fault.New("job-line", "", "line %d has %d left to make, not %d", l.Number, left, transfers)
	}
	drawn = min(transfers, l.FromShelf())
	return drawn, transfers - drawn, nil
}

// Whole says whether every transfer is ready.
func (j Job) Whole() bool {
	return !slices.ContainsFunc(j.Lines, func(l Line) bool { return l.Made < l.Quantity })
}

// NobodyWaits says whether all of the job goes to the shelf or was handed over.
func (j Job) NobodyWaits() bool {
	return !slices.ContainsFunc(j.Lines, func(l Line) bool { return l.Destination != ToShelf && !l.Handed })
}

// PartlyHanded says whether some of the job was handed over and someone waits for the rest.
func (j Job) PartlyHanded() bool {
	return (j.State == Promised || j.State == Made) && slices.ContainsFunc(j.Lines, func(l Line) bool { return l.Handed })
}

// MayHandOver refuses a line that cannot be handed over now. Faults "job-line", "job-move".
func (j Job) MayHandOver(number int) error {
	l, err := j.Line(number)
	switch {
	case err != nil:
		return err
	case j.State != Promised && j.State != Made:
		return j.Move(HandedOver)
	case l.Destination == ToShelf:
		return fault.New("job-line", "", "line %d of job %d is for the shelf; there is nobody to hand it over to", number, j.ID)
	case l.Handed:
		return fault.New("job-line", "", "line %d of job %d was handed over already", number, j.ID)
	case l.Made < l.Quantity:
		return fault.New("job-line", "", "line %d of job %d has %d of %d left to make; brushfall job make %d --line %d books them", number, j.ID, l.Quantity-l.Made, l.Quantity, j.ID, number).
			OnPage("line %d of job %d has %d of %d left to make; book them as made first", number, j.ID, l.Quantity-l.Made, l.Quantity)
	}
	return nil
}

// Move refuses a move that there is not, fault "job-move".
func (j Job) Move(next State) error {
	if j.State.MayBecome(next) {
		return nil
	}
	var may []string
	for _, s := range States() {
		if j.State.MayBecome(s) {
			may = append(may, string(s))
		}
	}
	if len(may) == 0 {
		return fault.New("job-move", "", "job %d is %s, and stays so", j.ID, j.State)
	}
	return fault.New("job-move", "", "job %d is %s and cannot be %s; it can be %s", j.ID, j.State, next, strings.Join(may, " or "))
}
