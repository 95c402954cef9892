package layout

import (
	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// apply takes away and recolours the stones that edits mean, in the order of the
// edits, and records the places that are left free.
func (h *hand) apply(res *Result) {
	owner := h.owners(res.Stones)
	gone := make([]bool, len(res.Stones))
	res.Left = make([][]design.Left, len(h.req.Regions))
	leave := func(region int, at geom.Point, size string) {
		res.Left[region] = append(res.Left[region], design.Left{X: at.X, Y: at.Y, Size: size})
	}
	for _, f := range h.fixed {
		if f.free {
			leave(f.region, f.asked, f.size)
		}
	}
	for _, i := range h.later {
		e := h.req.Hand[i]
		near := h.candidates(e, res.Stones, func(k int) bool {
			f := owner[k]
			return !gone[k] && (f == nil || f.edit < i)
		})
		if len(near) == 0 {
			h.unmet(i)
			continue
		}
		k := near[0]
		if e.Act == ActRecolour {
			res.Stones[k].Colour = e.Colour
			continue
		}
		gone[k] = true
		s := res.Stones[k]
		leave(h.regions[e.Region], geom.Point{X: s.X, Y: s.Y}, s.Size)
		h.paint(res.Stones, owner, h.moved[i], s)
	}
	kept := res.Stones[:0]
	for k, s := range res.Stones {
		if !gone[k] {
			kept = append(kept, s)
		}
	}
	res.Stones = kept
}

// paint gives a stone that was moved, if there is one, the colour that it had at
// its old place.
func (h *hand) paint(stones []design.Stone, owner map[int]*fixed, moved *fixed, was design.Stone) {
	if moved == nil || moved.size != was.Size || moved.colour != h.req.Regions[moved.region].Colour {
		return
	}
	for k := range stones {
		if owner[k] == moved {
			stones[k].Colour = was.Colour
		}
	}
}

// owners gives the stones that were set by hand, by their place in the list.
func (h *hand) owners(stones []design.Stone) map[int]*fixed {
	at := map[geom.Point]*fixed{}
	for _, f := range h.fixed {
		if !f.free {
			at[f.stands] = f
		}
	}
	out := map[int]*fixed{}
	for k, s := range stones {
		if f := at[geom.Point{X: s.X, Y: s.Y}]; f != nil && s.Role == design.RoleHand {
			out[k] = f
		}
	}
	return out
}

// unmet deals with an edit that finds no stone at its anchor: a later edit may have
// set its own there.
func (h *hand) unmet(i int) {
	e := h.req.Hand[i]
	reach := handReach * h.req.Regions[h.regions[e.Region]].Pitch()
	for _, f := range h.fixed {
		if f.edit <= i || h.req.Regions[f.region].ID != e.Region || f.asked.Dist(e.At) > reach {
			continue
		}
		if e.Act == ActRecolour {
			h.miss(i, "hand-replaced", "the stone that it means has made way for that of %s; give that one the colour, or delete the edit", h.req.Hand[f.edit].Source)
		}
		return // the stone is gone, as it was to be
	}
	const format = "no stone of the region stands within %.1f mm of %s with these settings; correct the place or delete the edit"
	if e.Act == ActMove {
		h.refuse(i, "hand-none", format, reach, shown(e.At))
		return
	}
	h.miss(i, "hand-none", format, reach, shown(e.At))
}
