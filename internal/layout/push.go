package layout

import (
	"math"
	"slices"

	"brushfall/internal/geom"
)

// How stones are pushed apart.
const (
	pushRounds = 160
	// pushAim is the distance aimed at beyond the pitch, in mm, so that the
	// rounds end clear of it and not just short of it.
	pushAim = 4 * slack
	// pushOver is how far a push goes beyond what would just part two stones:
	// over-relaxation, which settles dense knots in fewer rounds.
	pushOver = 1.35
	// pairReach is how near two stones are when a push watches them, in pitches,
	// and pairRounds how long such a list serves.
	pairReach  = 1.5
	pairRounds = 12
	// A crowd whose largest overlap has not shrunk to stallShare of itself in
	// stallRounds rounds is jammed, and is given up.
	stallRounds = 40
	stallShare  = 0.8
	// In haste it is given up before: where the overlap after stallRounds is more than
	// hastyOverlap pitches, or has hardly shrunk since half of them.
	hastyShare   = 0.9
	hastyOverlap = 0.05
)

// crowd is a set of stones that may move, among others that may not.
type crowd struct {
	site   *site
	ids    []int // the movable ones, by their place in site.pieces
	at     []geom.Point
	walled []bool // near the outline
	fixed  []fixture
	pairs  [][2]int // movable with movable
	stops  [][2]int // movable with fixture
	images [][]int  // orbits whose stones are all movable, by their place in ids
}

// fixture is a stone that stays where it is, and the distance to keep from it.
type fixture struct {
	at    geom.Point
	reach float64
}

// gather makes a crowd of the given stones.
func (s *site) gather(ids []int) *crowd {
	c := &crowd{site: s, ids: ids, at: make([]geom.Point, len(ids)), walled: make([]bool, len(ids))}
	mine := make(map[int]int, len(ids))
	for i, id := range ids {
		mine[id] = i
		c.at[i] = s.pieces[id].at
	}
	c.findImages(mine)
	reach := 2 * s.pitch
	seen := map[int]bool{}
	seenOther := map[int]bool{}
	for i := range ids {
		c.walled[i] = s.outline.Within(c.at[i], s.depth+s.pitch)
		s.index.Each(c.at[i], reach, func(id int, q geom.Point) bool {
			if _, moves := mine[id]; !moves && !seen[id] {
				seen[id] = true
				c.fixed = append(c.fixed, fixture{q, s.pitch})
			}
			return true
		})
		if s.near == nil {
			continue
		}
		s.near.Each(c.at[i], reach+s.reach, func(id int, q geom.Point) bool {
			if !seenOther[id] {
				seenOther[id] = true
				c.fixed = append(c.fixed, fixture{q, s.others[id].reach})
			}
			return true
		})
	}
	return c
}

// watch lists the pairs near enough to matter for the next rounds.
func (c *crowd) watch() {
	p := c.site.pitch
	c.pairs, c.stops = c.pairs[:0], c.stops[:0]
	if len(c.at) == 0 {
		return
	}
	index := geom.NewIndex(geom.Bounds(c.at), p)
	for i, at := range c.at {
		index.Each(at, pairReach*p, func(j int, _ geom.Point) bool {
			c.pairs = append(c.pairs, [2]int{i, j})
			return true
		})
		index.Insert(i, at)
	}
	for k, f := range c.fixed {
		index.Each(f.at, f.reach+(pairReach-1)*p, func(i int, _ geom.Point) bool {
			c.stops = append(c.stops, [2]int{i, k})
			return true
		})
	}
}

// settle pushes the crowd apart by position-based dynamics (Müller et al.,
// J. Vis. Commun. Image R. 18 (2007) 109) until no overlap is left or the rounds
// are spent, and gives the largest overlap left, in mm.
func (c *crowd) settle(rounds int, hasty bool) float64 {
	worst, before, half := math.Inf(1), math.Inf(1), math.Inf(1)
	for round := range rounds {
		if round%pairRounds == 0 {
			c.watch()
		}
		if worst = c.push(); worst < slack {
			break
		}
		switch round % stallRounds {
		case stallRounds/2 - 1:
			half = worst
		case stallRounds - 1:
			if worst > stallShare*before || hasty && worst > min(hastyShare*half, hastyOverlap*c.site.pitch) {
				return worst
			}
			before = worst
		}
	}
	return worst
}

// push parts every pair once and gives the largest overlap met.
func (c *crowd) push() float64 {
	worst := 0.0
	aim := c.site.pitch + pushAim
	for _, pr := range c.pairs {
		d := c.at[pr[0]].Sub(c.at[pr[1]])
		l2 := d.Len2()
		if l2 >= aim*aim || l2 == 0 {
			continue
		}
		l := math.Sqrt(l2)
		worst = max(worst, aim-l-pushAim)
		m := d.Mul(pushOver / 2 * (aim - l) / l)
		c.at[pr[0]] = c.at[pr[0]].Add(m)
		c.at[pr[1]] = c.at[pr[1]].Sub(m)
	}
	for _, st := range c.stops {
		f := c.fixed[st[1]]
		keep := f.reach + pushAim
		d := c.at[st[0]].Sub(f.at)
		l2 := d.Len2()
		if l2 >= keep*keep || l2 == 0 {
			continue
		}
		l := math.Sqrt(l2)
		worst = max(worst, keep-l-pushAim)
		c.at[st[0]] = c.at[st[0]].Add(d.Mul((keep - l) / l))
	}
	for i, w := range c.walled {
		if w {
			to := c.site.holdInside(c.at[i])
			worst = max(worst, to.Dist(c.at[i])-depthEase)
			c.at[i] = to
		}
	}
	c.mirror()
	return worst
}

// place moves the site's stones to where the crowd has them.
func (c *crowd) place() {
	for i, id := range c.ids {
		c.site.move(id, round(c.at[i]))
	}
}

// holdInside moves a centre that has come too near to the outline back to its depth.
func (s *site) holdInside(p geom.Point) geom.Point {
	in := s.outline.Inside(p)
	if in && !s.outline.Within(p, s.depth) {
		return p
	}
	hit := s.outline.Nearest(p)
	away := p.Sub(hit.Point)
	if !in {
		away = away.Mul(-1)
	}
	if away.Len2() == 0 {
		return p
	}
	return hit.Point.Add(away.Unit().Mul(s.depth))
}

// seamReach is how near to a row the stones of a bed may move, in pitches: those
// that stand too near to it. The honeycomb further in stays as it is; loosening two
// rows more of it cost stones, order and even seams.
const seamReach = 1

// mendSeam pushes the pieces from start on that lie near a row, a foreign stone
// or the border clear of each other, and takes away those that cannot be.
func (s *site) mendSeam(start int) {
	loose := s.closed(s.looseFrom(start))
	if s.orbits != nil && s.troubled(start, loose) { // a lattice that the symmetry does not keep
		loose = s.livingFrom(start)
	}
	if len(loose) == 0 {
		return
	}
	c := s.gather(loose)
	c.settle(pushRounds, false)
	c.place()
	s.takeWorst(loose)
}

// troubled says whether a piece from start on that is none of the loose ones,
// which are sorted, breaks a rule.
func (s *site) troubled(start int, loose []int) bool {
	return slices.ContainsFunc(s.livingFrom(start), func(id int) bool {
		_, moves := slices.BinarySearch(loose, id)
		return !moves && s.trouble(id) > 0
	})
}

// livingFrom lists the living pieces from start on.
func (s *site) livingFrom(start int) []int {
	var out []int
	for id := start; id < len(s.pieces); id++ {
		if s.pieces[id].role != "" {
			out = append(out, id)
		}
	}
	return out
}

// looseFrom lists the pieces from start on that may move.
func (s *site) looseFrom(start int) []int {
	var loose []int
	reach := seamReach * s.pitch
	for id := start; id < len(s.pieces); id++ {
		at := s.pieces[id].at
		hit := s.outline.Within(at, s.depth+s.pitch)
		if !hit {
			s.index.Each(at, reach, func(other int, _ geom.Point) bool {
				hit = other < start
				return !hit
			})
		}
		if !hit && s.near != nil {
			s.near.Each(at, seamReach*s.reach, func(other int, q geom.Point) bool {
				hit = at.Dist(q) < seamReach*s.others[other].reach
				return !hit
			})
		}
		if hit {
			loose = append(loose, id)
		}
	}
	return loose
}

// takeWorst takes away loose stones that break a rule, the one with the most
// trouble first, until none does.
func (s *site) takeWorst(loose []int) {
	h := &crowded{weight: make([]float64, len(loose)), at: make([]int, len(loose))}
	place := make(map[int]int, len(loose))
	for k, id := range loose {
		place[id] = k
		if h.weight[k] = s.trouble(id); h.weight[k] > 0 {
			h.order = append(h.order, k)
		}
	}
	h.init()
	for h.Len() > 0 {
		for _, gone := range s.takeAll(loose[h.order[0]]) {
			if k, known := place[gone]; known {
				h.change(k, 0)
			}
			s.index.Each(s.pieces[gone].at, s.pitch, func(id int, _ geom.Point) bool {
				if k, known := place[id]; known && h.at[k] >= 0 {
					h.change(k, s.trouble(id))
				}
				return true
			})
		}
	}
}

// trouble adds up how much the stone breaks rules, in mm; 0 when it breaks none.
func (s *site) trouble(id int) float64 {
	at := s.pieces[id].at
	sum := 0.0
	s.index.Each(at, s.pitch, func(other int, q geom.Point) bool {
		if d := at.Dist(q); other != id && d < s.pitch-gapEase {
			sum += s.pitch - d
		}
		return true
	})
	if !s.clearOfOthersBy(at, gapEase) {
		sum += s.pitch / 2
	}
	if !s.inside(at) {
		sum += s.pitch
	}
	return sum
}
