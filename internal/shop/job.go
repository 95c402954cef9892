package shop

import (
	"context"
	"slices"
	"strings"
	"time"

	"brushfall/internal/fault"
)

// State is how far a job is.
type State string

// The states. A job is asked for, promised (which reserves what it takes), made and
// handed over; or it is dropped, at any time before it is handed over.
const (
	Asked      State = "asked"
	Promised   State = "promised"
	Made       State = "made"
	HandedOver State = "handed over"
	Dropped    State = "dropped"
)

// States gives all, in their order.
func States() []State { return []State{Asked, Promised, Made, HandedOver, Dropped} }

// MayBecome says which moves there are.
func (s State) MayBecome(next State) bool {
	switch s {
	case Asked:
		return next == Promised || next == Dropped
	case Promised:
		return next == Made || next == Dropped
	case Made:
		return next == HandedOver || next == Dropped
	}
	return false
}

// Destination is where transfers go.
type Destination string

// The destinations. Transfers for the shelf become stock, and fill later jobs.
const (
	ToGarment Destination = "garment"
	ToBag     Destination = "bag"
	ToBow     Destination = "bow"
	ToDisc    Destination = "disc"
	ToDecal   Destination = "decal"
	ToShelf   Destination = "shelf"
)

// Destinations gives all, in their order.
func Destinations() []Destination {
	return []Destination{ToGarment, ToBag, ToBow, ToDisc, ToDecal, ToShelf}
}

// FindDestination reads one, in any case. Fault "destination".
func FindDestination(text string) (Destination, error) {
	d := Destination(strings.ToLower(strings.TrimSpace(text)))
	if !slices.Contains(Destinations(), d) {
		return "", fault.New("destination", "", "%q is nowhere that transfers go; choose one of garment, bag, bow, disc, decal, shelf", text)
	}
	return d, nil
}

// Template says whether a line's flock is cut for it.
type Template string

// The ways: where the shop has not cut the design's template yet; in any case; not,
// as there is one.
const (
	AsNeeded Template = "as needed"
	Anew     Template = "anew"
	There    Template = "there"
)

// Line is so many transfers of a design in a job. Number counts from 1 in its job.
// Blank is the name of what they are pressed on, of the shop's stock; empty: the
// customer's own, or none. Shelf is how many come from the shelf, by the promise;
// Made how many are ready, and Drawn how many of those came from the shelf. Handed says
// that the line was handed over before the rest of its job.
type Line struct {
	Number      int
	Design      int64
	Name        string // the design's, as it is called now
	Quantity    int
	Destination Destination
	Blank       string
	Template    Template
	Shelf       int
	Made        int
	Drawn       int
	Handed      bool
}

// FromShelf gives how many are still to be taken from the shelf.
func (l Line) FromShelf() int { return l.Shelf - l.Drawn }

// ToMake gives how many are still to be made anew.
func (l Line) ToMake() int { return l.Quantity - l.Made - l.FromShelf() }

// Anew gives how many were made anew.
func (l Line) Anew() int { return l.Made - l.Drawn }

// Job is what a customer ordered, or, with Customer 0, what the shop makes for
// itself. Due is a day, "2026-12-24", or empty.
type Job struct {
	ID       int64
	Customer int64
	Called   string // the customer's name now, or "erased customer 12"; empty for the shop
	State    State
	Due      string
	Note     string
	Lines    []Line
}

// Step is one thing done with a job. State is the job's after it. Line and
// Transfers are of those made or wasted, Drawn how many of them came from the shelf;
// Cost is what was used, nil where it is not known or nothing was. Deeds are its
// deeds of the ledger; Template is the code of the set that they were brushed with,
// empty where the book has none. A line that was handed over before the rest is a step
// without a number.
type Step struct {
	ID        int64
	At        time.Time
	What      string
	State     State
	Line      int
	Transfers int
	Drawn     int
	Cost      *Money
	Note      string
	Deeds     []int64
	Template  string
}

// The steps beside those named as states.
const (
	StepChanged = "changed"
	StepWasted  = "wasted"
)

// Which picks jobs: in any of the states (none: all), of a customer (0: of all).
type Which struct {
	States   []State
	Customer int64
}

// Jobs keeps what was ordered. Faults beyond those of Book and Job.Check:
// "job-unknown", "job-move" (no such move from its state), "job-line",
// "customer-unknown", "customer-erased", "design-unknown", "goods-unknown".
type Jobs interface {
	// Ask books a new job as asked for, and gives it with its number. A line whose
	// template is cut as needed is told that it is there where one is kept.
	Ask(ctx context.Context, at time.Time, j Job) (Job, error)
	// Job gives the one of that number.
	Job(ctx context.Context, id int64) (Job, error)
	// Jobs gives those that are picked, by the day they are due, those without one last.
	Jobs(ctx context.Context, which Which) ([]Job, error)
	// Steps gives what was done with a job, in its order.
	Steps(ctx context.Context, id int64) ([]Step, error)
	// Amend changes a job.
	Amend(ctx context.Context, at time.Time, a Amendment, note string) (Job, error)
	// Promise accepts a job: transfers of its designs that are free on the shelf are
	// given to it, and what the others take is reserved, with the spare stones. Done
	// again it shares the shelf out anew. It may be promised before all is there.
	Promise(ctx context.Context, at time.Time, id int64, note string) (Job, error)
	// Make books transfers as made: their stones, sheets and blanks are used, the oldest
	// first. Those for the shelf come into stock at what they cost. The last one makes
	// the job made, or, where nobody waits for it, handed over. Materials and blanks
	// that the book never had are not booked. What is brushed anew is noted with the
	// newest template of the design that is kept; where there is none, or the line wants
	// its own, the set is entered, at NotPutAway. Fault "stock-short", with nothing done,
	// which says what is missing and what to do.
	Make(ctx context.Context, at time.Time, m Making) (Job, error)
	// Waste books stones of a promised or made job as spoiled.
	Waste(ctx context.Context, at time.Time, w Wasting) (Job, error)
	// HandOver ends a made job.
	HandOver(ctx context.Context, at time.Time, id int64, note string) (Job, error)
	// HandOverLine hands one line over whose transfers are all made, also while others
	// are not; the last one ends a made job.
	HandOverLine(ctx context.Context, at time.Time, id int64, line int, note string) (Job, error)
	// Drop ends a job that is not handed over; what it reserved is free.
	Drop(ctx context.Context, at time.Time, id int64, note string) (Job, error)
	// Shortages gives every kind that promised jobs take, in the order of CompareKinds.
	Shortages(ctx context.Context) ([]Shortage, error)
}

// mostLines and mostTransfers bound a job.
const (
	mostLines     = 500
	mostTransfers = 100_000
)

// Check gives the job with its texts made regular and its lines numbered where they
// are new. Faults: "job", "job-line", "destination", "text".
func (j Job) Check() (Job, error) {
	var err error
	if j.Note, err = cleanText("the note", j.Note); err != nil {
		return j, err
	}
	if j.Due != "" {
		if _, err := time.Parse(time.DateOnly, j.Due); err != nil {
			return j, fault.New("job", "", "%q is no day; write it as 2026-12-24", j.Due)
		}
	}
	if len(j.Lines) == 0 || len(j.Lines) > mostLines {
		return j, fault.New("job", "", "a job has 1 to %d lines; say what is wanted, such as badge=12:disc", mostLines)
	}
	j.Lines = slices.Clone(j.Lines)
	next := 0
	for _, l := range j.Lines {
		next = max(next, l.Number)
	}
	for i := range j.Lines {
		l := &j.Lines[i]
		if l.Number == 0 {
			next++
			l.Number = next
		}
		if *l, err = l.check(); err != nil {
			return j, err
		}
	}
	return j, nil
}

func (l Line) check() (Line, error) {
	var err error
	if l.Destination, err = FindDestination(string(l.Destination)); err != nil {
		return l, err
	}
	if l.Quantity < 1 || l.Quantity > mostTransfers {
		return l, fault.New("job-line", "", "%d transfers cannot be; give 1 to %d", l.Quantity, mostTransfers)
	}
	if l.Template == "" {
		l.Template = AsNeeded
	}
	if l.Template != AsNeeded && l.Template != Anew && l.Template != There {
		return l, fault.New("job-line", "", "a template is cut as needed or anew, or is there; not %q", l.Template)
	}
	if l.Blank, err = cleanText("the blank", strings.ToLower(l.Blank)); err != nil {
		return l, err
	}
	if l.Blank != "" && (l.Destination == ToShelf || l.Destination == ToDecal) {
		return l, fault.New("job-line", "", "transfers for the %s are pressed on no blank; leave %q out", l.Destination, l.Blank)
	}
	return l, nil
}
