package layout

import (
	"context"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// joinRows makes one row of those from first on, which follow each other along a
// track and share their ends. A single stone that none of the others holds stays a
// row of its own.
func (s *site) joinRows(first int) {
	var whole []int
	var lone [][]int
	held := map[int]bool{}
	for _, row := range s.rows[first:] {
		if len(row) < 2 {
			continue
		}
		for _, id := range row {
			if !held[id] {
				held[id] = true
				whole = append(whole, id)
			}
		}
	}
	for _, row := range s.rows[first:] {
		if len(row) == 1 && !held[row[0]] {
			held[row[0]] = true
			lone = append(lone, row)
		}
	}
	s.rows = s.rows[:first:first]
	if whole != nil {
		s.rows = append(s.rows, whole)
	}
	s.rows = append(s.rows, lone...)
}

// fillGaps sets smaller stones into what the bed leaves, size by size, each until
// no more of it fits.
func (s *site) fillGaps(ctx context.Context) error {
	if s.outline == nil || len(s.Fills) == 0 {
		return nil
	}
	for k, f := range s.Fills {
		small := newSite(Region{Shape: s.Shape, Diameter: f.Diameter, Gap: f.Gap, Margin: s.Margin}, s.around(f), s.made)
		if err := small.saturate(ctx); err != nil {
			return err
		}
		for _, p := range small.living() {
			s.filled = append(s.filled, filling{p.at, k})
		}
	}
	return nil
}

// around gives everything that stands in or beside the region, with the distance
// that a stone of another kind keeps from it.
func (s *site) around(e Extra) []foreign {
	var out []foreign
	for _, o := range s.others {
		out = append(out, foreign{o.at, s.reachFor(e, o.reach)})
	}
	for _, p := range s.living() {
		out = append(out, foreign{p.at, s.reachOf(e)})
	}
	kind := Region{Diameter: e.Diameter, Gap: e.Gap}
	for _, f := range s.filled {
		out = append(out, foreign{f.at, kind.reachOf(s.Fills[f.kind])})
	}
	return out
}

// filling is a stone in a gap of the bed: its centre, and which of the region's
// fills it is.
type filling struct {
	at   geom.Point
	kind int
}

// finished gives the region's stones, in their colours: the rows with accents
// first, each in order along it, then the other rows, then single stones, then
// what fills the gaps.
func (s *site) finished() []design.Stone {
	own, place, rows := s.ownStones()
	Paint(own, rows, s.pitch, s.Coats)
	given := make([]bool, len(own))
	var out []design.Stone
	for _, m := range s.mixed {
		for _, id := range m {
			if id < 0 {
				a := s.accents[^id]
				out = append(out, s.stone(a.at, a.role, s.Accents.Extra))
			} else if at, ok := place[id]; ok {
				given[at] = true
				out = append(out, own[at])
			}
		}
	}
	for at, st := range own {
		if !given[at] {
			out = append(out, st)
		}
	}
	for _, f := range s.filled {
		out = append(out, s.stone(f.at, design.RoleBed, s.Fills[f.kind]))
	}
	return out
}

func (s *site) stone(at geom.Point, role design.Role, e Extra) design.Stone {
	return design.Stone{X: at.X, Y: at.Y, Size: e.Size, Colour: e.Colour, Region: s.ID, Role: role}
}

// ownStones gives the stones of the region's own kind that no hand set, row by
// row and then the others in the order they were set, the place among them of
// each of pieces, and the rows by those places.
func (s *site) ownStones() (out []design.Stone, place map[int]int, rows []Row) {
	place = map[int]int{}
	give := func(id int) {
		if _, given := place[id]; id >= 0 && !given && s.pieces[id].role != "" && s.pieces[id].role != design.RoleHand {
			place[id] = len(out)
			out = append(out, s.stone(s.pieces[id].at, s.pieces[id].role, s.own()))
		}
	}
	all := s.allRows()
	for _, row := range all {
		for _, id := range row {
			give(id)
		}
	}
	for id := range s.pieces {
		give(id)
	}
	for k, row := range all {
		r := Row{Level: s.levelOf(k - len(s.mixed))}
		for _, id := range row {
			if at, ok := place[id]; ok {
				r.Stones = append(r.Stones, at)
			}
		}
		r.Closed = s.meets(row)
		rows = append(rows, r)
	}
	return out, place, rows
}

// allRows gives the rows with accents and the others.
func (s *site) allRows() [][]int {
	var out [][]int
	for _, m := range s.mixed {
		out = append(out, m)
	}
	return append(out, s.rows...)
}

// meets says whether a row ends next to where it begins.
func (s *site) meets(row []int) bool {
	var at []geom.Point
	for _, id := range row {
		switch {
		case id < 0:
			at = append(at, s.accents[^id].at)
		case s.pieces[id].role != "":
			at = append(at, s.pieces[id].at)
		}
	}
	return len(at) >= leastLoop && at[0].Dist(at[len(at)-1]) <= neighbourly*s.pitch
}

// levelOf gives the level of the k-th row: 0 for those set before the bed, among
// them all with accents (k < 0), then as the bed counts them, or one each where
// it does not.
func (s *site) levelOf(k int) int {
	if k < s.bedFrom {
		return 0
	}
	if len(s.levels) == 0 {
		return 1 + k - s.bedFrom
	}
	n := 0
	for _, from := range s.levels {
		if from <= k {
			n++
		}
	}
	return n
}
