package layout

import (
	"cmp"
	"context"
	"math"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Act is what an edit by hand does.
type Act string

// The acts.
const (
	ActAdd      Act = "add"      // set a stone
	ActMove     Act = "move"     // take a stone from one place to another
	ActRemove   Act = "remove"   // take a stone away and leave its place free
	ActRecolour Act = "recolour" // give a stone another colour
	ActPin      Act = "pin"      // keep a stone where it is, whatever is laid around it
)

// Acts gives all of them.
func Acts() []Act { return []Act{ActAdd, ActMove, ActRemove, ActRecolour, ActPin} }

// Edit is one change by hand. At and To are mm in the drawing; To is of a move
// only. Size, Diameter and Gap are of an added stone; with an empty Size it is as
// the region's own. Colour is of an added or recoloured stone. Source is what
// notes call the edit by, such as "line 12".
type Edit struct {
	Act           Act
	Region        string
	At, To        geom.Point
	Size          string
	Diameter, Gap float64
	Colour        string
	Source        string
}

// How near is near, in pitches of the region.
const (
	// handReach is how far from its anchor the stone of an edit may stand: no place
	// of a full honeycomb is farther than 1/√3 = 0.577 from a stone.
	handReach = 0.6
	// handOwn is how near an anchor is to a stone set by hand that is surely meant:
	// no other stone can be nearer.
	handOwn = 0.5
	// handSame is how far a stone that stands already may be from where one is to be
	// set by hand, and be taken for it: no eye sees the difference, and nothing
	// around it moves.
	handSame = 0.06
	// handOnRow is how far off a row's path a place may lie and be moved onto it: what
	// a place on the rim is off by when the stone or the width has changed.
	handOnRow = 0.15
)

// fixed is a stone set by hand, or a place that one was taken from.
type fixed struct {
	edit          int        // the last that touched it
	region        int        // in Request.Regions
	asked         geom.Point // where it is to stand
	stands        geom.Point // where it does; known once its region is laid
	size, colour  string
	diameter, gap float64
	free          bool // nothing stands here, and nothing shall
}

// reach gives the least distance of its centre from that of a stone.
func (f *fixed) reach(diameter, gap float64) float64 {
	return (f.diameter+diameter)/2 + math.Max(f.gap, gap)
}

// runByHand lays out a design with edits. Stones that are added, moved or pinned
// are set first and the rest is laid around them; stones are taken away and
// recoloured last and move nothing. An edit that turns out not to apply is told,
// and the design laid again without it.
func runByHand(ctx context.Context, req Request, progress func(done, total int)) (Result, error) {
	h := newHand(req)
	for {
		h.prepare()
		round := req
		round.Hand, round.fixed = nil, h.fixed
		res, err := layAll(ctx, round, progress)
		if err != nil {
			return Result{}, err
		}
		refused := len(h.refused)
		h.check(res)
		if len(h.refused) == refused {
			h.apply(&res)
			if len(h.refused) == refused {
				return h.told(res), nil
			}
		}
	}
}

// hand is the edits of a request on their way.
type hand struct {
	req     Request
	regions map[string]int
	places  map[int]placing
	fixed   []*fixed
	later   []int          // edits that wait for the layout
	moved   map[int]*fixed // what the moves among them have set
	// refused holds the edits that cannot be done and must not be tried again;
	// missed those that found nothing to do.
	refused map[int]Note
	missed  map[int]Note
}

func newHand(req Request) *hand {
	h := &hand{req: req, regions: map[string]int{}, places: map[int]placing{}, refused: map[int]Note{}}
	for i, r := range req.Regions {
		if _, known := h.regions[r.ID]; !known {
			h.regions[r.ID] = i
		}
	}
	return h
}

// placing gives what is needed to find places in a region.
func (h *hand) placing(region int) placing {
	p, known := h.places[region]
	if !known {
		p = newPlacing(h.req.Regions[region])
		h.places[region] = p
	}
	return p
}

// told puts the notes of the edits, in their order, behind those of the regions.
func (h *hand) told(res Result) Result {
	for i := range h.req.Hand {
		if n, ok := h.refused[i]; ok {
			res.Notes = append(res.Notes, n)
		} else if n, ok := h.missed[i]; ok {
			res.Notes = append(res.Notes, n)
		} else {
			res.Edits++
		}
	}
	return res
}

// check refuses the edits whose stone is no more inside its region than the
// stones that were laid around it must be.
func (h *hand) check(res Result) {
	for _, f := range h.fixed {
		did := res.Treatments[f.region]
		p := h.placing(f.region)
		if f.free || p.line || !(slices.Contains(did, design.Rim) || slices.Contains(did, design.Bed)) {
			continue
		}
		if !p.holds(f.stands, f.diameter) {
			h.refuse(f.edit, "hand-outside", "a stone at this place sticks out of the region; move the place further in, or take a smaller stone")
		}
	}
}

// candidates gives the indices of the stones of a region that an edit may mean,
// the nearest to its anchor first.
func (h *hand) candidates(e Edit, stones []design.Stone, may func(i int) bool) []int {
	reach := handReach * h.req.Regions[h.regions[e.Region]].Pitch()
	var out []int
	far := func(i int) float64 { return e.At.Dist(geom.Point{X: stones[i].X, Y: stones[i].Y}) }
	for i, s := range stones {
		if s.Region == e.Region && may(i) && far(i) <= reach {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(far(a), far(b)) })
	return out
}
