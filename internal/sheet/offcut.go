package sheet

import "slices"

// LeastOffcut is the least side of an offcut that is told, in mm: what is
// narrower holds no plate inside its margins (from memory).
const LeastOffcut = 50.0

// Offcut is a rectangle of a sheet, from its top-left corner, in mm, with nothing
// on it: its own edges are the sheet's, or lie the spacing off the next frame.
type Offcut struct{ X, Y, Width, Height float64 }

// offcuts gives what is left of a sheet: the largest free rectangle, then the
// largest of what that one leaves, and so on. They do not overlap.
func (b bin) offcuts(opt Options) []Offcut {
	gap := opt.apart()
	free := []area{{0, 0, b.width, b.height}}
	for _, s := range b.set {
		free = clip(free, area{opt.Margin + s.x - gap, opt.Margin + s.y - gap, s.w + 2*gap, s.h + 2*gap})
	}
	var out []Offcut
	for len(free) > 0 {
		at := 0
		for i, f := range free {
			if f.w*f.h > free[at].w*free[at].h+fitSlack {
				at = i
			}
		}
		f := free[at]
		out = append(out, Offcut{f.x, f.y, f.w, f.h})
		free = clip(free, f)
	}
	return out
}

// clip takes a rectangle out of the largest free ones.
func clip(free []area, taken area) []area {
	var out, cut []area
	for _, f := range free {
		if f.meets(taken) {
			cut = f.without(taken, LeastOffcut, cut)
		} else {
			out = append(out, f)
		}
	}
	old := len(out)
	for i, f := range cut {
		if !slices.ContainsFunc(out[:old], f.within) && !slices.ContainsFunc(cut[:i], f.within) &&
			!slices.ContainsFunc(cut[i+1:], func(g area) bool { return f.within(g) && f != g }) {
			out = append(out, f)
		}
	}
	return out
}
