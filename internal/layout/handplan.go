package layout

import (
	"fmt"

	"brushfall/internal/geom"
)

// prepare goes through the edits in their order: what is set by hand becomes
// fixed, what needs the layout waits for it.
func (h *hand) prepare() {
	h.fixed, h.later, h.moved, h.missed = nil, nil, map[int]*fixed{}, map[int]Note{}
	for i, e := range h.req.Hand {
		if _, no := h.refused[i]; no {
			continue
		}
		region, known := h.regions[e.Region]
		if !known {
			h.refuse(i, "hand-region", "no region of this id has stones: it is gone from the artwork, has another id now, or is skipped; correct the id or delete the edit")
			continue
		}
		own := h.owned(region, e.At)
		switch {
		case own != nil && e.Act != ActAdd:
			h.again(i, own)
		case e.Act == ActAdd || e.Act == ActPin:
			h.set(i, region, e.At)
		case e.Act == ActMove:
			// A stone moved by less than the room of one leaves no place behind.
			if f := h.set(i, region, e.To); f != nil && f.asked.Dist(e.At) >= f.reach(f.diameter, f.gap) {
				h.moved[i] = f
				h.later = append(h.later, i)
			}
		default:
			h.later = append(h.later, i)
		}
	}
}

// owned gives the stone that earlier edits set at a place, if there is one.
func (h *hand) owned(region int, at geom.Point) *fixed {
	reach := handOwn * h.req.Regions[region].Pitch()
	for _, f := range h.fixed {
		if f.region == region && !f.free && f.asked.Dist(at) < reach {
			return f
		}
	}
	return nil
}

// again applies an edit to a stone that an earlier one has set.
func (h *hand) again(i int, f *fixed) {
	e := h.req.Hand[i]
	switch e.Act {
	case ActPin: // it is fixed as it is
	case ActRecolour:
		f.colour = e.Colour
	case ActRemove:
		f.free = true
	case ActMove:
		to, ok := h.legal(i, f.region, e.To, f)
		if !ok {
			return
		}
		left := *f
		f.asked, f.stands = to, to
		if left.free = true; left.asked.Dist(to) >= f.reach(f.diameter, f.gap) {
			h.fixed = append(h.fixed, &left)
		}
	}
	f.edit = i
}

// set fixes a new stone of an edit, and gives it; nil if none can stand there.
func (h *hand) set(i, region int, at geom.Point) *fixed {
	e, r := h.req.Hand[i], h.req.Regions[region]
	f := &fixed{edit: i, region: region, size: r.Size, colour: r.Colour, diameter: r.Diameter, gap: r.Gap}
	if e.Act == ActAdd && e.Size != "" {
		f.size, f.diameter, f.gap = e.Size, e.Diameter, e.Gap
	}
	if e.Act == ActAdd && e.Colour != "" {
		f.colour = e.Colour
	}
	to, ok := h.legal(i, region, at, f)
	if !ok {
		return nil
	}
	f.asked, f.stands = to, to
	h.fixed = append(h.fixed, f)
	return f
}

// legal gives the place where a stone can stand that is asked for at another, and
// refuses the edit if there is none. A place that was left free is free no more
// when a stone is set there.
func (h *hand) legal(i, region int, at geom.Point, stone *fixed) (geom.Point, bool) {
	to, ok := h.placing(region).place(at, stone.diameter)
	if !ok {
		h.refuse(i, "hand-outside", "no stone of %.1f mm fits at %s: it is outside the region or too near to its edge; correct the place or delete the edit", stone.diameter, shown(at))
		return at, false
	}
	for _, f := range h.fixed {
		lack := f.reach(stone.diameter, stone.gap) - f.asked.Dist(to)
		if f == stone || f.free || lack <= gapEase {
			continue
		}
		h.refuse(i, "hand-near", "the place is %.2f mm too near to the stone of %s; correct one of the two, or delete one", lack, h.req.Hand[f.edit].Source)
		return at, false
	}
	kept := h.fixed[:0]
	for _, f := range h.fixed {
		if !f.free || f.asked.Dist(to) >= f.reach(stone.diameter, stone.gap) {
			kept = append(kept, f)
		}
	}
	h.fixed = kept
	return to, true
}

// refuse notes that an edit cannot be done.
func (h *hand) refuse(i int, code, format string, args ...any) {
	h.refused[i] = h.note(i, code, format, args...)
}

// miss notes that an edit found nothing to do.
func (h *hand) miss(i int, code, format string, args ...any) {
	h.missed[i] = h.note(i, code, format, args...)
}

func (h *hand) note(i int, code, format string, args ...any) Note {
	e := h.req.Hand[i]
	return Note{Code: code, Region: e.Region, Message: fmt.Sprintf("the edit by hand of %s (%s) is not applied: ", e.Source, e.Act) + fmt.Sprintf(format, args...)}
}

func shown(p geom.Point) string { return fmt.Sprintf("%.1f, %.1f mm", p.X, p.Y) }
