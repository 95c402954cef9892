package bench

// History is the order of a design's revisions, which are numbered from 1 as they
// were made and never change their number. A revision made after something was undone
// follows the one it was made from. The zero History is of a design without any.
type History struct {
	from  []int // of revision i+1: the one it was made from; 0 for the first
	now   int
	ahead []int // what was undone, the next to do again last
}

// Now gives the number of the present revision, 0 if there is none.
func (h *History) Now() int { return h.now }

// Made gives how many revisions were ever made.
func (h *History) Made() int { return len(h.from) }

// Add puts a new revision behind the present one and gives its number. What was
// undone before cannot be done again any more.
func (h *History) Add() int {
	h.from = append(h.from, h.now)
	h.now, h.ahead = len(h.from), nil
	return h.now
}

// Undo goes to the revision before; false at the first.
func (h *History) Undo() bool {
	if h.now == 0 || h.from[h.now-1] == 0 {
		return false
	}
	h.ahead = append(h.ahead, h.now)
	h.now = h.from[h.now-1]
	return true
}

// Redo goes to the revision that was undone last; false if there is none.
func (h *History) Redo() bool {
	if len(h.ahead) == 0 {
		return false
	}
	h.now = h.ahead[len(h.ahead)-1]
	h.ahead = h.ahead[:len(h.ahead)-1]
	return true
}

// Bounds gives the revisions at which undoing and redoing end.
func (h *History) Bounds() (first, last int) {
	for first = h.now; first > 0 && h.from[first-1] > 0; {
		first = h.from[first-1]
	}
	if last = h.now; len(h.ahead) > 0 {
		last = h.ahead[0]
	}
	return first, last
}
