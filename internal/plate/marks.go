package plate

import (
	"crypto/sha256"
	"fmt"

	"brushfall/internal/code"
	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/singleline"
)

// Register says which marks are cut into the corners of every frame, to lay
// plates on each other or on the tray by.
type Register int

// The marks of the corners.
const (
	NoRegister Register = iota
	Crosses             // a small upright cross
	Corners             // an L that follows the frame's corner
)

// The register marks and letters, in mm; from memory, as the marks of frame.go.
// Insets are from the frame's edge to the nearest point of a mark.
const (
	RegisterInset = 1.5
	CrossSide     = 2.5
	CornerLeg     = 3.5
	LetterInset   = 1.5
	LetterHeight  = singleline.LeastHeight
)

// reach gives how far a mark reaches from the corner along the edge.
func (r Register) reach() float64 {
	switch r {
	case Crosses:
		return RegisterInset + CrossSide
	case Corners:
		return RegisterInset + CornerLeg
	default:
		return 0
	}
}

// depth gives how far a mark reaches from the edge beside holes.
func (r Register) depth() float64 {
	switch r {
	case Crosses:
		return RegisterInset + CrossSide
	case Corners:
		return RegisterInset
	default:
		return 0
	}
}

// register gives the marks of the four corners, from the top left clockwise, as
// open lines.
func (r Register) marks(frame [4]float64) [][][2]float64 {
	var out [][][2]float64
	for _, c := range []struct{ x, y, right, down float64 }{
		{frame[0], frame[1], 1, 1}, {frame[2], frame[1], -1, 1}, {frame[2], frame[3], -1, -1}, {frame[0], frame[3], 1, -1},
	} {
		at := func(right, down float64) [2]float64 {
			return [2]float64{c.x + c.right*(RegisterInset+right), c.y + c.down*(RegisterInset+down)}
		}
		switch r {
		case Crosses:
			const half = CrossSide / 2
			out = append(out, [][2]float64{at(0, half), at(CrossSide, half)}, [][2]float64{at(half, 0), at(half, CrossSide)})
		case Corners:
			out = append(out, [][2]float64{at(CornerLeg, 0), at(0, 0), at(0, CornerLeg)})
		}
	}
	return out
}

// mark draws frame, notch, nicks, register marks and letters of the plates.
func (w *work) mark(plates []design.Plate) []Note {
	lettered := w.opt.Code != "" || w.opt.OwnCode
	w.outline(plates, w.frame(len(plates), lettered))
	if !lettered {
		return nil
	}
	mark := w.opt.Code
	if w.opt.OwnCode {
		mark = Code(plates)
	}
	f := plates[0].Frame
	room := f[2] - f[0] - 2*max(LetterInset, w.opt.Register.reach()+w.clear())
	for i := range plates {
		text := mark
		if len(plates) > 1 {
			text = fmt.Sprintf("%s %d/%d", mark, i+1, len(plates))
		}
		width, err := singleline.Width(text, LetterHeight)
		if err != nil || width > room { // Plan has checked that the letters are known
			w.outline(plates, w.frame(len(plates), false))
			return []Note{{Code: "code-left-out", Message: fmt.Sprintf(
				"the code %q is not cut into the plates: it is %.1f mm long and the frame has room for %.1f mm; take a shorter one", text, width, room)}}
		}
		plates[i].Code = text
		plates[i].Letters = letters(text, geom.Point{X: (f[0] + f[2] - width) / 2, Y: f[3] - LetterInset})
	}
	return nil
}

// outline gives every plate the frame, with notch, nicks and register marks, and no letters.
func (w *work) outline(plates []design.Plate, frame [4]float64) {
	for i := range plates {
		p := &plates[i]
		p.Frame, p.Notch, p.Nicks, p.Register = frame, notch(frame), nicks(frame, p.Number), w.opt.Register.marks(frame)
		p.Code, p.Letters = "", nil
	}
}

// letters gives the strokes of a text whose base line begins at a point.
func letters(text string, at geom.Point) [][][2]float64 {
	strokes, _ := singleline.Strokes(text, LetterHeight, at, 0) // known letters, else its width had been refused
	out := make([][][2]float64, len(strokes))
	for i, l := range strokes {
		for _, p := range l {
			out[i] = append(out[i], [2]float64{p.X, p.Y})
		}
	}
	return out
}

// Print gives a sum that tells the plates of one design from those of every other:
// it follows from the holes and frames alone, to 0.01 mm, so that the same templates
// have the same whenever they are made.
func Print(plates []design.Plate) [sha256.Size]byte {
	h := sha256.New()
	for _, p := range plates {
		fmt.Fprintf(h, "plate %d %.2f\n", p.Number, p.Frame)
		for _, o := range p.Holes {
			fmt.Fprintf(h, "%.2f %.2f %.2f\n", o.X, o.Y, o.D)
		}
	}
	return [sha256.Size]byte(h.Sum(nil))
}

// Code gives eight letters and digits for the plates of a design, which follow from
// their Print. The last checks the others: code.Parse finds a slip in copying.
func Code(plates []design.Plate) string { return code.From(Print(plates), 0) }
