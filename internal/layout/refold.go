package layout

import (
	"cmp"
	"slices"

	"brushfall/internal/geom"
)

// refoldLoss is the share of row stones that may be lost when the rows of one
// sector are repeated in all others, beside one stone for every two sectors: of
// the two flanks of a point often one holds a stone more.
const refoldLoss = 0.04

// refold makes rows that thinning left unlike in the sectors of a symmetry alike:
// those of the sector that holds most, in all. It says whether it did; not if
// that would cost more than a few stones.
func (s *site) refold(g *symmetry) bool {
	have := s.alive()
	var best []piece
	for k := range g.ops {
		if fold := s.foldSector(g, k); len(fold) > len(best) {
			best = fold
		}
	}
	if float64(len(best)) < (1-refoldLoss)*float64(have)-float64(len(g.ops)/2) {
		return false
	}
	s.replaceRows(best)
	return true
}

// foldSector gives the row stones of a sector with all of their images; stones
// that would come too near to an image of another are left out.
func (s *site) foldSector(g *symmetry, sector int) []piece {
	var out []piece
	index := geom.NewIndex(s.bounds(), s.pitch)
	for _, p := range s.living() {
		if !g.first(g.ops[sector].Apply(p.at)) {
			continue
		}
		at := g.settled(p.at, s.pitch/2)
		var images []geom.Point
		clear := true
		for _, m := range g.ops {
			q := s.rowImage(m, at, p.role)
			if slices.ContainsFunc(images, func(o geom.Point) bool { return o.Dist(q) < sameStone }) {
				continue
			}
			clear = clear && !slices.ContainsFunc(images, func(o geom.Point) bool { return o.Dist(q) < s.pitch })
			_, _, near := index.Nearest(q, s.pitch, -1)
			clear = clear && !near
			images = append(images, q)
		}
		if !clear {
			continue
		}
		for _, q := range images {
			index.Insert(len(out), q)
			out = append(out, piece{q, p.role})
		}
	}
	return out
}

// replaceRows sets other stones in place of those of the rows, each into the row
// and at the place of the stone that it is nearest to.
func (s *site) replaceRows(stones []piece) {
	type place struct {
		row, at int
		far     float64
		id      int
	}
	old := s.fork()
	rowOf := map[int][2]int{}
	for r, row := range s.rows {
		for k, id := range row {
			if _, known := rowOf[id]; !known {
				rowOf[id] = [2]int{r, k}
			}
		}
	}
	for id := range s.pieces {
		if s.pieces[id].role != "" {
			s.take(id)
		}
	}
	var places []place
	for _, p := range stones {
		id := s.put(p.at, p.role)
		near, far, ok := old.index.Nearest(p.at, 2*s.pitch, -1)
		if at, in := rowOf[near]; ok && in {
			places = append(places, place{at[0], at[1], far, id})
		}
	}
	slices.SortStableFunc(places, func(a, b place) int {
		return cmp.Or(cmp.Compare(a.row, b.row), cmp.Compare(a.at, b.at), cmp.Compare(a.far, b.far))
	})
	for r := range s.rows {
		s.rows[r] = nil
	}
	for _, p := range places {
		s.rows[p.row] = append(s.rows[p.row], p.id)
	}
}
