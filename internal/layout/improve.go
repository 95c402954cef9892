package layout

import (
	"cmp"
	"context"
	"math/rand/v2"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// How a bed is made fuller.
const (
	voidLeast = 0.62 // clearance of a void worth trying, in pitches; a honeycomb's are 0.577
	// shakeSeed starts the stream of random numbers that stones are shaken by:
	// the same for every run, so that the same job gives the same stones.
	shakeSeed = 0x5a17
	// squeezeNear is how near, in pitches, a void may be to its own image before
	// the two are filled by one stone between them.
	squeezeNear = 0.7
	// shakeVoids is how many of the largest voids are tried with every shake.
	shakeVoids = 4
)

// squeezing says how hard to try for one more stone: how far around, in pitches,
// stones move to make room, for how many rounds, and how far each is first
// shaken, in pitches. A hasty one is given up as soon as it will hardly succeed.
type squeezing struct {
	reach  float64
	rounds int
	shake  float64
	hasty  bool
}

// gentle is the squeezing of the first passes.
func gentle() squeezing { return squeezing{reach: 4, rounds: 140} }

// hasty is gentle while somebody waits. Of 23,000 attempts on the standard set with rim
// and bed 1,600 succeeded. A quarter of them were at voids of less than hastyVoid
// pitches' clearance, with 40 of the successes; of the others that failed, nine in ten
// stalled as crowd.stalls has it, with one in twenty of those that would succeed.
func hasty() squeezing { return squeezing{reach: 4, rounds: 140, hasty: true} }

const hastyVoid = 0.80

// shaken gives the k-th squeezing of the later passes; they take turns.
func shaken(k int) squeezing {
	all := [...]squeezing{{reach: 4, rounds: 260, shake: 0.12}, {reach: 5.5, rounds: 320, shake: 0.25}, {reach: 7, rounds: 400, shake: 0.35}}
	return all[k%len(all)]
}

// improve sets one more stone into a void and pushes its neighbours apart, keeps
// it if all gaps come true, and goes on until no void takes one. tries bounds the attempts.
func (s *site) improve(ctx context.Context, tries int, how squeezing) error {
	failed := map[geom.Point]bool{}
	for won := tries > 0; won; { // finding voids takes its time
		won = false
		for _, v := range s.voids() {
			if failed[v.at] || tries == 0 || how.hasty && v.clear < hastyVoid*s.pitch {
				continue
			}
			if err := ctx.Err(); err != nil {
				return err
			}
			tries--
			if s.squeeze(v.at, how, nil) {
				won = true
			} else {
				failed[v.at] = true
			}
		}
	}
	return nil
}

// shakeFuller tries the largest voids with the stones around them shaken;
// shakes bounds the attempts.
func (s *site) shakeFuller(ctx context.Context, shakes int) error {
	if shakes == 0 {
		return nil
	}
	rnd := rand.New(rand.NewPCG(shakeSeed, uint64(len(s.pieces))))
	voids := s.voids()
	for k := 0; k < shakes && len(voids) > 0; k++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		v := voids[k%min(len(voids), shakeVoids)]
		if s.squeeze(v.at, shaken(k), rnd) {
			voids = s.voids()
		}
	}
	return nil
}

// void is a place far from all stones, and how far.
type void struct {
	at    geom.Point
	clear float64
}

// voids lists the centres of the empty circles between stones, largest first.
func (s *site) voids() []void {
	var out []void
	tri := geom.Delaunay(s.centres())
	for i := range tri.Triangles {
		c, radius := tri.Circumcentre(i)
		if radius < voidLeast*s.pitch || !s.outline.Inside(c) {
			continue
		}
		c = round(s.holdInside(c))
		if d := s.clearance(c); d >= voidLeast*s.pitch {
			out = append(out, void{c, d})
		}
	}
	slices.SortFunc(out, func(a, b void) int {
		return cmp.Or(cmp.Compare(b.clear, a.clear), cmp.Compare(a.at.Y, b.at.Y), cmp.Compare(a.at.X, b.at.X))
	})
	return out
}

// clearance gives the distance to the nearest stone, at most a pitch.
func (s *site) clearance(p geom.Point) float64 {
	if _, d, ok := s.index.Nearest(p, s.pitch, -1); ok {
		return d
	}
	return s.pitch
}

// squeeze tries to set a stone at a void by moving the bed around it; it leaves
// everything as it was when that fails.
func (s *site) squeeze(at geom.Point, how squeezing, rnd *rand.Rand) bool {
	if s.orbits != nil {
		at = round(s.orbits.group.settled(at, squeezeNear*s.pitch))
	}
	if !s.clearBy(at, voidLeast*s.pitch, -1) { // filled meanwhile
		return false
	}
	put := s.putAll(at)
	ids := []int{}
	s.index.Each(at, how.reach*s.pitch, func(other int, _ geom.Point) bool {
		if s.pieces[other].role == design.RoleBed {
			ids = append(ids, other)
		}
		return true
	})
	slices.Sort(ids)
	ids = s.closed(ids)
	was := make([]geom.Point, len(ids))
	for i, other := range ids {
		was[i] = s.pieces[other].at
	}
	c := s.gather(ids)
	if how.shake > 0 {
		for i := range c.at {
			c.at[i] = c.at[i].Add(geom.Point{X: rnd.NormFloat64(), Y: rnd.NormFloat64()}.Mul(how.shake * s.pitch / 2))
		}
	}
	if c.settle(how.rounds, how.hasty) < 2*slack {
		c.place()
		if !slices.ContainsFunc(ids, func(other int) bool { return s.trouble(other) > 0 }) {
			return true
		}
		for i, other := range ids {
			s.move(other, was[i])
		}
	}
	s.takeAll(put[0])
	return false
}
