package layout

import (
	"math"

	"brushfall/internal/geom"
)

// frame is a region in a frame of its own, whose origin is the low corner of its box:
// there it is laid, so that it comes out the same wherever it stands in a design.
type frame struct {
	Region
	at    geom.Point // where the frame's origin is in the design, on the grid of geom.Snap
	drawn digest     // of the outlines in the frame; known where something is remembered
}

// framesOf gives each region in its frame.
func framesOf(regions []Region, digested bool) []frame {
	out := make([]frame, len(regions))
	for i, r := range regions {
		f := frame{Region: r}
		if box := r.bounds(); box.MinX <= box.MaxX {
			f.at = geom.Snap(geom.Point{X: box.MinX, Y: box.MinY})
			f.Region = r.shifted(f.at.Mul(-1))
		}
		if digested {
			f.drawn = f.outline()
		}
		out[i] = f
	}
	return out
}

// shifted gives the region moved by a vector of the grid.
func (r Region) shifted(by geom.Point) Region {
	r.Shape = r.Shape.Shift(by)
	lines := r.Lines
	r.Lines = nil
	for _, l := range lines {
		r.Lines = append(r.Lines, geom.Shift(l, by))
	}
	if r.BedAs.Centre != nil {
		c := r.BedAs.Centre.Add(by)
		r.BedAs.Centre = &c
	}
	return r
}

// neighbour is an earlier region whose stones can reach another one, as seen from
// that one's frame.
type neighbour struct {
	frame
	by geom.Point // from its own frame to the other's
}

// region gives the neighbour in the frame of the other.
func (n neighbour) region() Region { return n.shifted(n.by) }

// box gives its box there.
func (n neighbour) box() geom.Box {
	b := n.bounds()
	return geom.Box{MinX: b.MinX + n.by.X, MinY: b.MinY + n.by.Y, MaxX: b.MaxX + n.by.X, MaxY: b.MaxY + n.by.Y}
}

// standsFree says whether there are earlier regions in reach, but so far away that the
// region may come out as it would alone: nothing was set by hand in it, and no outline
// is nearer than a gap. A row on a line has no room of its own that others could be
// clear of; setting it once more costs little.
func (t task) standsFree() bool {
	if len(t.own) > 0 || len(t.before)+len(t.others) == 0 {
		return false
	}
	for _, n := range t.before {
		clear := math.Max(t.Gap, n.Gap)
		if len(n.Lines) > 0 {
			clear += n.Diameter / 2
		}
		if t.Shape.Empty() || !n.box().Grow(clear*(1+nearStep)).Overlaps(t.bounds()) {
			continue
		}
		if n.region().comesNear(t.Shape, clear) {
			return false
		}
	}
	return true
}

// clear says whether the stones of a region, laid alone, keep clear of all that stands
// about it.
func (t task) clear(s *site) bool {
	if len(t.others) == 0 {
		return true
	}
	reach := 0.0
	box := geom.EmptyBox()
	for _, o := range t.others {
		reach = math.Max(reach, o.reach)
		box = box.Extend(o.at)
	}
	near := geom.NewIndex(box, t.Pitch())
	for i, o := range t.others {
		near.Insert(i, o.at)
	}
	keeps := func(at geom.Point, kind Extra) bool {
		ok := true
		near.Each(at, t.reachFor(kind, reach), func(i int, q geom.Point) bool {
			ok = at.Dist(q) >= t.reachFor(kind, t.others[i].reach)
			return ok
		})
		return ok
	}
	for _, p := range s.pieces {
		if p.role != "" && !keeps(p.at, t.Region.own()) {
			return false
		}
	}
	for _, a := range s.accents {
		if !keeps(a.at, t.Accents.Extra) {
			return false
		}
	}
	for _, f := range s.filled {
		if !keeps(f.at, t.Fills[f.kind]) {
			return false
		}
	}
	return true
}
