package plate

import (
	"math"

	"brushfall/internal/geom"
)

// The marks of a frame, in mm; chosen to be seen at arm's length and to leave
// flock enough around them (from memory). The notch is a V cut out of the middle
// of the top edge. Nicks are slits that stand a little inside the edge, not
// open to it, so the edge stays whole, and to the right of the notch alone, so
// a plate that lies on its face is noticed.
const (
	NotchHalfWidth = 2.0
	NotchDepth     = 3.0
	NickInset      = 1.5 // from the top edge to a nick
	NickLength     = 3.0
	NickFirst      = 6.0 // from the middle of the notch to the first nick
	NickStep       = 3.0
)

// markClear is the least flock between a mark and a hole or the frame's side,
// in mm: three webs or so, as the marks are where fingers hold the plate.
const markClear = 1.5

// stepsPerMM: a frame's corners are rounded out to hundredths of a mm, so that
// drawings and papers show its true size in two decimals.
const stepsPerMM = 100

// slack is a share of a step that float rounding may add to a length; a length
// that is a whole number of steps but for it stays one.
const slack = 1e-6

// frame gives the rectangle of all plates: the holes of all of them with the
// border around, enough of it for the marks, at the bottom for letters too if
// there are some, and wide enough for the nicks of the last plate. What a least
// length or a step adds is shared by opposite sides.
func (w *work) frame(count int, lettered bool) [4]float64 {
	box := geom.EmptyBox()
	for i, s := range w.stones {
		box = box.Join(geom.Bounds([]geom.Point{{X: s.X, Y: s.Y}}).Grow(w.hole(i) / 2))
	}
	side := max(w.opt.Border, w.opt.Register.depth()+w.clear())
	top := max(side, NickInset+NickLength+w.clear())
	bottom := side
	if lettered {
		bottom = max(side, LetterInset+LetterHeight+w.clear())
	}
	box = geom.Box{MinX: box.MinX - side, MinY: box.MinY - top, MaxX: box.MaxX + side, MaxY: box.MaxY + bottom}
	half := NickFirst + NickStep*float64(count-1) + max(markClear, w.opt.Register.reach()+w.clear())
	x0, x1 := roundOut(box.MinX, box.MaxX, 2*half, w.opt.RoundFrame)
	y0, y1 := roundOut(box.MinY, box.MaxY, 0, w.opt.RoundFrame)
	return [4]float64{x0, y0, x1, y1}
}

// clear gives the least flock between a mark and a hole or another mark, in mm.
func (w *work) clear() float64 { return max(markClear, w.opt.Web) }

// roundOut widens an interval, evenly on both sides, to the least length. With
// a step its length becomes a multiple of it, else its ends are rounded out.
func roundOut(a, b, least, step float64) (float64, float64) {
	length := max(b-a, least)
	if step > 0 {
		length = step * math.Ceil(length/step-slack)
	}
	more := (length - (b - a)) / 2
	a, b = a-more, b+more
	if step > 0 {
		return a, b
	}
	return math.Floor(a*stepsPerMM+slack) / stepsPerMM, math.Ceil(b*stepsPerMM-slack) / stepsPerMM
}

// notch gives the tip of the notch: in the middle of the top edge.
func notch(frame [4]float64) [2]float64 {
	return [2]float64{(frame[0] + frame[2]) / 2, frame[1] + NotchDepth}
}

// nicks gives the nicks of plate number k: k of them.
func nicks(frame [4]float64, k int) [][4]float64 {
	var out [][4]float64
	for i := range k {
		x := notch(frame)[0] + NickFirst + NickStep*float64(i)
		y := frame[1] + NickInset
		out = append(out, [4]float64{x, y, x, y + NickLength})
	}
	return out
}
