package layout

import (
	"math"
	"slices"
	"sync"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Tolerances of placing, in mm.
const (
	// grid is what centres are rounded to: what layout.json can hold.
	grid = 1e-6
	// gapEase is by how much a stone set into the last room left may miss its gap:
	// the rounding of its place, where it touches two stones exactly.
	gapEase = 2 * grid
	// depthEase lets a stone lie this much nearer to the outline than asked, for
	// the chords of flattened curves; the rule allows 0.01.
	depthEase = 0.005
	// insetTol is the chord error asked of an inset.
	insetTol = 0.002
)

// round puts a centre on the grid of placing.
func round(p geom.Point) geom.Point {
	const perMM = 1 / grid
	return geom.Point{X: math.Round(p.X*perMM) / perMM, Y: math.Round(p.Y*perMM) / perMM}
}

// piece is a stone in the making.
type piece struct {
	at   geom.Point
	role design.Role
}

// foreign is what a region's own stones must keep clear of and cannot move: a stone
// of an earlier region, one set by hand or a place left free by hand, or an accent.
type foreign struct {
	at    geom.Point
	reach float64 // least distance between the two centres
}

// site is one region while it is being set: its geometry and the stones so far.
type site struct {
	Region
	pitch   float64
	depth   float64        // least distance of a centre from the outline
	outline *geom.Boundary // of the region, nil for open lines
	allowed geom.Shape     // where centres of rim and bed may lie
	made    *made          // what was made of the outline before; nil: nothing
	border  func() *border // the edge of allowed, made when it is first asked for
	path    geom.Shape     // allowed, less the room that earlier regions' borders take
	pieces  []piece        // dead ones have an empty role
	index   *geom.Index    // of the living pieces, by their place in pieces
	others  []foreign      // what the stones keep clear of and is none of them
	hand    []foreign      // those among them that were set by hand in this region
	near    *geom.Index    // of others
	reach   float64        // the largest reach of others
	rows    [][]int        // the stones of each row, in order along it
	rims    []ringRow      // those among them that stand along a ring of path
	bedFrom int            // the first of rows that is the bed's
	levels  []int          // where in rows each level of the bed begins, if it has levels
	accents []accent       // they are in others too, the last of them when they are set
	mixed   []mixedRow
	filled  []filling
	areas   int       // how many regions of the design are areas
	group   *symmetry // that rows and beds are begun by, nil for none
	orbits  *orbits   // the images of stones in each other, nil for a region without symmetry
}

// newSite prepares a region among the stones of earlier ones.
func newSite(r Region, others []foreign, made *made) *site {
	s := &site{Region: r, made: made, pitch: r.Pitch(), depth: r.Diameter/2 + r.Margin, others: others}
	box := r.bounds()
	s.index = geom.NewIndex(box, s.pitch)
	if len(others) > 0 {
		s.near = geom.NewIndex(box.Grow(2*s.pitch), s.pitch)
		for i, o := range others {
			s.near.Insert(i, o.at)
			s.reach = math.Max(s.reach, o.reach)
		}
	}
	if !r.Shape.Empty() {
		s.outline = made.boundary(r.Shape)
		s.allowed = made.inset(r.Shape, s.depth, insetTol)
		s.path = s.allowed
		s.border = sync.OnceValue(s.makeBorder)
	}
	return s
}

// put sets a stone without asking, and gives its number.
func (s *site) put(at geom.Point, role design.Role) int {
	s.pieces = append(s.pieces, piece{at, role})
	s.index.Insert(len(s.pieces)-1, at)
	return len(s.pieces) - 1
}

// take removes a stone.
func (s *site) take(id int) {
	s.index.Remove(id)
	s.pieces[id].role = ""
}

// move shifts a stone.
func (s *site) move(id int, to geom.Point) {
	s.pieces[id].at = to
	s.index.Move(id, to)
}

// inside says whether a whole stone at p lies in the region.
func (s *site) inside(p geom.Point) bool {
	return s.outline != nil && s.outline.Inside(p) && !s.outline.Within(p, s.depth-depthEase)
}

// clearOfOthers says whether p keeps its gap to all that is not the region's own.
func (s *site) clearOfOthers(p geom.Point) bool { return s.clearOfOthersBy(p, 0) }

// clearOfOthersBy is clearOfOthers with some ease.
func (s *site) clearOfOthersBy(p geom.Point, ease float64) bool {
	if s.near == nil {
		return true
	}
	ok := true
	s.near.Each(p, s.reach, func(id int, q geom.Point) bool {
		ok = p.Dist(q) >= s.others[id].reach-ease
		return ok
	})
	return ok
}

// clearOfOwn says whether p keeps the pitch to the region's own stones but skip.
func (s *site) clearOfOwn(p geom.Point, skip int) bool {
	return s.clearBy(p, s.pitch, skip)
}

// clearBy says whether no living stone but skip is nearer to p than d.
func (s *site) clearBy(p geom.Point, d float64, skip int) bool {
	ok := true
	s.index.Each(p, d, func(id int, q geom.Point) bool {
		ok = id == skip || p.Dist(q) >= d
		return ok
	})
	return ok
}

// free says whether a stone at p would break no rule.
func (s *site) free(p geom.Point) bool {
	return s.clearBy(p, s.pitch-gapEase, -1) && s.clearOfOthersBy(p, gapEase) && s.inside(p)
}

// living gives the stones of the region, in the order of the record.
func (s *site) living() []piece {
	ids := s.recordOrder()
	out := make([]piece, len(ids))
	for i, id := range ids {
		out[i] = s.pieces[id]
	}
	return out
}

// recordOrder lists the stones of the region: row by row, in order along each, then
// the others in the order they were set.
func (s *site) recordOrder() []int {
	out := make([]int, 0, len(s.pieces))
	given := make([]bool, len(s.pieces))
	give := func(id int) {
		if s.pieces[id].role != "" && !given[id] {
			given[id] = true
			out = append(out, id)
		}
	}
	for _, row := range s.rows {
		for _, id := range row {
			give(id)
		}
	}
	for id := range s.pieces {
		give(id)
	}
	return out
}

// alive counts the stones of the region.
func (s *site) alive() int {
	n := 0
	for _, p := range s.pieces {
		if p.role != "" {
			n++
		}
	}
	return n
}

// centres gives where the stones of the region stand.
func (s *site) centres() []geom.Point {
	out := make([]geom.Point, 0, len(s.pieces))
	for _, p := range s.pieces {
		if p.role != "" {
			out = append(out, p.at)
		}
	}
	return out
}

// fork gives a copy whose stones can be set and moved apart from the original's.
func (s *site) fork() *site {
	f := *s
	f.pieces = slices.Clone(s.pieces)
	f.rows = slices.Clip(s.rows)
	f.orbits = s.orbits.fork()
	f.index = geom.NewIndex(s.bounds(), s.pitch)
	for id, p := range f.pieces {
		if p.role != "" {
			f.index.Insert(id, p.at)
		}
	}
	return &f
}
