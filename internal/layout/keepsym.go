package layout

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// How stones of rows are told to be images of each other, in pitches.
const imageNear = 0.3

// symmetryToKeep gives the symmetries that the region may be laid out by: none
// where stones beside it reach into it, which its images lack. A bed
// alone, without rows that the eye compares, is laid as full as it can be.
func (s *site) symmetryToKeep() []*symmetry {
	bare := len(s.Treatment) > 0 && !slices.Contains(s.Treatment, design.Rim) && !slices.Contains(s.Treatment, design.Spine)
	if s.outline == nil || s.Accents != nil || bare {
		return nil
	}
	switch s.Bed {
	case design.Scatter, design.Spokes, design.Courses: // each has an order of its own
		return nil
	}
	for _, o := range s.others[:len(s.others)-len(s.hand)] {
		if s.outline.Depth(o.at) > s.depth-o.reach {
			return nil
		}
	}
	if s.allowed.Perimeter() < 3*s.pitch || s.path.Perimeter() != s.allowed.Perimeter() {
		return nil
	}
	return s.made.symmetries(s.Shape, s.outline)
}

// keepSymmetry chooses the largest group that the rows agree with, and brings
// each row stone to the image of its fellows where they differ a little. Stones
// set by hand break a symmetry; rows and bed are then begun as they would be
// without them, so that most stones stay where they were.
func (s *site) keepSymmetry(groups []*symmetry) {
	if len(groups) > 0 && len(s.hand) > 0 {
		orbit, _ := s.pairUp(groups[0])
		s.level(groups[0], orbit)
		return
	}
	s.group = nil
	for _, g := range groups {
		orbit, ok := s.pairUp(g)
		if !ok {
			if !s.refold(g) {
				continue
			}
			if orbit, ok = s.pairUp(g); !ok {
				continue
			}
		}
		s.group, s.orbits = g, newOrbits(g)
		s.level(g, orbit)
		return
	}
}

// pairUp gives for each living stone that has one at all of its images those
// stones, and says whether all have.
func (s *site) pairUp(g *symmetry) (orbit map[int][]int, all bool) {
	orbit, all = map[int][]int{}, true
	for id, p := range s.pieces {
		if p.role == "" {
			continue
		}
		var mates []int
		for _, m := range g.ops {
			if mate, _, ok := s.index.Nearest(m.Apply(p.at), imageNear*s.pitch, -1); ok && s.pieces[mate].role == p.role {
				mates = append(mates, mate)
			}
		}
		if len(mates) < len(g.ops) {
			all = false
			continue
		}
		orbit[id] = mates
	}
	return orbit, all
}

// level moves the stones of rows to where they are true images. Those that would
// come too near to another go back to where they were.
func (s *site) level(g *symmetry, orbit map[int][]int) {
	was := map[int]geom.Point{}
	for id := range s.pieces {
		mates := orbit[id]
		if _, done := was[id]; done || len(mates) == 0 {
			continue
		}
		var mean geom.Point
		for k, m := range g.ops {
			back, _ := m.Inverse() // a turn or a mirror always has one
			mean = mean.Add(back.Apply(s.pieces[mates[k]].at))
		}
		mean = mean.Mul(1 / float64(len(mates)))
		for k, m := range g.ops {
			if _, moved := was[mates[k]]; !moved {
				was[mates[k]] = s.pieces[mates[k]].at
				s.move(mates[k], s.rowImage(m, mean, s.pieces[mates[k]].role))
			}
		}
	}
	for again := true; again; {
		again = false
		for id := range s.pieces {
			if _, moved := was[id]; !moved || s.clearOfOwn(s.pieces[id].at, id) && s.clearOfOthers(s.pieces[id].at) {
				continue
			}
			for _, mate := range append([]int{id}, orbit[id]...) {
				if at, moved := was[mate]; moved {
					s.move(mate, at)
					delete(was, mate)
					again = true
				}
			}
		}
	}
}

// A rim's stone that is an image may lie this much nearer to the outline than the
// rim, or deeper, in mm: halves of a drawing that differ a little are shared out
// between how alike the stones lie and how true they follow the outline, of which
// 0.02 is asked each.
const (
	imageOut = 0.9 * depthEase
	imageIn  = 0.014
)

// rowImage gives where the image of a row's stone stands: one of a rim about as
// deep as the rim is.
func (s *site) rowImage(m geom.Affine, p geom.Point, role design.Role) geom.Point {
	q := m.Apply(p)
	if role != design.RoleRim {
		return round(q)
	}
	hit := s.outline.Nearest(q)
	away := q.Sub(hit.Point)
	if deep := min(max(away.Len(), s.depth-imageOut), s.depth+imageIn); deep != away.Len() && away.Len() > 0 {
		q = hit.Point.Add(away.Unit().Mul(deep))
	}
	return round(q)
}

// begin gives the place where a closed track crosses a mirror of the group, to
// begin a row there, and what its stones must come in multiples of.
func (y *symmetry) begin(t track) (place float64, turns int, ok bool) {
	if y.trivial() {
		return 0, 1, false
	}
	turns = 1
	if mapsTrack(t, y.ops[min(1, y.turns-1)]) {
		turns = y.turns
	}
	if len(y.axes) == 0 {
		return t.length[t.topmost()], turns, turns > 1
	}
	sin, cos := math.Sincos(y.axes[0])
	normal := geom.Point{X: -sin, Y: cos}
	for i := 0; i+1 < len(t.points); i++ {
		a, b := t.points[i].Sub(y.centre).Dot(normal), t.points[i+1].Sub(y.centre).Dot(normal)
		if (a <= 0) != (b <= 0) {
			return t.length[i] + (t.length[i+1]-t.length[i])*a/(a-b), turns, true
		}
	}
	return 0, turns, false
}

// mapsTrack says whether a map takes a closed track to itself, looked at in a few
// places.
func mapsTrack(t track, m geom.Affine) bool {
	b := geom.NewLineBoundary([]geom.Line{t.points})
	const probes = 12
	for k := range probes {
		if b.Nearest(m.Apply(t.at(t.total()*float64(k)/probes))).Dist > 2*symmetryOff {
			return false
		}
	}
	return true
}

// honeycombs gives the largest group within that some honeycomb keeps, of turns of
// a sixth, a third or a half; nil where that is the group itself. It may be trivial.
func (y *symmetry) honeycombs() *symmetry {
	if y.trivial() {
		return nil
	}
	turns := 1
	for _, k := range [...]int{2, 3, 6} {
		if y.turns%k == 0 {
			turns = k
		}
	}
	if turns == y.turns {
		return nil
	}
	step := y.turns / turns
	sub := &symmetry{centre: y.centre, turns: turns}
	for k := range turns {
		sub.ops = append(sub.ops, y.ops[k*step])
	}
	if len(y.axes) == y.turns {
		for k := range turns {
			sub.axes = append(sub.axes, y.axes[k*step])
			sub.ops = append(sub.ops, y.ops[y.turns+k*step])
		}
	}
	return sub
}

// latticeLoose is how far from a point of a lattice an image of one may lie, in
// pitches, for the lattice to count as kept.
const latticeLoose = 0.02

// kept picks the honeycombs that the group takes to themselves; all of them where
// it keeps none, as with turns of a fifth.
func (y *symmetry) kept(all []lattice) []lattice {
	var out []lattice
	for _, l := range all {
		if y.keeps(l) {
			out = append(out, l)
		}
	}
	if len(out) == 0 {
		return all
	}
	return out
}

func (y *symmetry) keeps(l lattice) bool {
	u := geom.Rotate(l.angle).Apply(geom.Point{X: l.pitch})
	v := geom.Rotate(l.angle + math.Pi/3).Apply(geom.Point{X: l.pitch})
	for _, m := range y.ops[1:] {
		for _, p := range [...]geom.Point{l.origin, l.origin.Add(u), l.origin.Add(v)} {
			q := m.Apply(p).Sub(l.origin)
			d := u.Cross(v)
			a, b := q.Cross(v)/d, u.Cross(q)/d
			if math.Abs(a-math.Round(a)) > latticeLoose || math.Abs(b-math.Round(b)) > latticeLoose {
				return false
			}
		}
	}
	return true
}

// mirrorShakes is how often the stones around a place on a mirror are shaken to
// make room for one.
const mirrorShakes = 3

// fillMirrors fills the places that are left in a region laid with symmetry: those
// too near to their own images. A stone goes between the two, where need be by
// pushing others aside; only where that fails one of the two places is taken, and
// the symmetry is not kept.
func (s *site) fillMirrors(ctx context.Context) (kept bool, err error) {
	if s.orbits == nil {
		return true, nil
	}
	edge, rnd := s.border(), rand.New(rand.NewPCG(shakeSeed, uint64(len(s.pieces))))
	for _, sp := range s.spots(ctx, edge, s.livingFrom(0), edge.vertices()) {
		at := round(s.orbits.group.settled(sp.at, s.pitch))
		if !s.clearOfImages(at) {
			continue
		}
		done := s.squeeze(at, gentle(), nil)
		for k := 0; k < mirrorShakes && !done; k++ {
			done = s.squeeze(at, shaken(k), rnd)
		}
	}
	if err := s.saturate(ctx); err != nil {
		return false, err
	}
	s.orbits = nil
	s.takeWorst(s.bed()) // images that follow the outline may come a little too near to each other
	before := s.alive()
	err = s.saturate(ctx)
	return s.alive() == before, err
}
