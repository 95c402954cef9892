package lettering

import "brushfall/internal/geom"

// Drawn is a letter of a line as it is seen: its contours, to be filled even-odd, and
// where it stands. Lengths are ems, y down from the base line, x from the line's start.
type Drawn struct {
	Text          string // the characters that it stands for
	Rings         []geom.Ring
	From, Advance float64
}

// Draw sets one line of text in a face of outlines and gives its letters from left to
// right. tol is the chord error in ems. The fault is "letter-missing" where the face
// lacks a letter.
func (f *Face) Draw(text string, tol float64) ([]Drawn, error) {
	letters, err := f.lettersOf(text, false, tol, nil)
	out := make([]Drawn, len(letters))
	for i, l := range letters {
		out[i] = Drawn{l.text, l.rings, l.from, l.advance}
	}
	return out, err
}
