// Package bench holds what is known of the designs on the workbench: each is a job
// and the files that it names, with every revision since it began. Keeper is what
// keeps them; package bench/shelf does so in a folder.
package bench

import (
	"time"

	"brushfall/internal/fault"
)

// Design is a design at one of its revisions. Job is a job object as JSON. First and
// Last bound what can be undone and done again from Now.
type Design struct {
	ID               string
	Changed          time.Time
	Now, First, Last int
	Job              []byte
	Files            []File
}

// File is a file that came with a design: a drawing, or a font. Name is a label, by
// which the job names it, and no path of anything. Digest is its SHA-256, in hex.
type File struct {
	Name   string `json:"name"`
	Digest string `json:"digest"`
	Bytes  int64  `json:"bytes"`
}

// Upload is a file to be kept.
type Upload struct {
	Name string
	Data []byte
}

// Change is the next revision: the job, if it is not nil, and files beside or in
// place of those of the same names. Without drops the files of these names.
type Change struct {
	Job     []byte
	Add     []Upload
	Without []string
}

// Keeper keeps designs. Each method that changes something has it safe on the disk
// when it returns, and changed nothing if it gives an error. Faults: "design-missing"
// for an id there is none of; "design-revision" where another revision than the one
// named is the present one; "disk-full"; "bench-write" for any other reason why
// nothing could be kept. All methods may be called at once from several goroutines.
type Keeper interface {
	// List gives the designs that are not removed, the one changed last first.
	List() ([]Design, error)
	// Design gives a design as it is now.
	Design(id string) (Design, error)
	// New begins a design.
	New(c Change, at time.Time) (Design, error)
	// Change adds a revision after the present one, which must be that of the number.
	Change(id string, after int, c Change, at time.Time) (Design, error)
	// Undo and Redo go one revision back or forward; at the end they stay.
	Undo(id string, at time.Time) (Design, error)
	Redo(id string, at time.Time) (Design, error)
	// Remove takes a design off the list, Restore puts it back.
	Remove(id string, at time.Time) error
	Restore(id string, at time.Time) (Design, error)
	// File gives what a file of a design holds.
	File(f File) ([]byte, error)
	// Remember keeps something that can be made again, such as a picture; it may get
	// lost. Recall gives it, or nil.
	Remember(id, name string, data []byte)
	Recall(id, name string) []byte
}

// Missing is the fault for a design that is not there.
func Missing(id string) error {
	return fault.New("design-missing", id, "there is no such design on the bench; it may have been removed in another window")
}

// Stale is the fault for a change of a revision that is not the present one.
func Stale(id string, now int) error {
	return fault.New("design-revision", id, "the design has changed since, it is at revision %d now: another window may have it open. Look at it again, then repeat the change", now)
}
