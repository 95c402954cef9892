package layout

import (
	"cmp"
	"context"
	"math"
	"slices"

	"brushfall/internal/geom"
)

// saturate sets further bed stones until no more fits anywhere: a free place
// exists only if one exists that touches two stones, or one stone and the
// border of the allowed set, or is a vertex of that border. That is the exact
// test of a saturated packing of equal discs; see Torquato, Uche, Stillinger,
// Phys. Rev. E 74 (2006) 061308, on random sequential addition. In a region laid
// with symmetry only places are filled whose images are free with them.
func (s *site) saturate(ctx context.Context) error {
	if s.outline == nil {
		return nil
	}
	border := s.border()
	dirty := s.livingFrom(0)
	loose := s.besideOthers(border, border.vertices())
	for len(dirty) > 0 || len(loose) > 0 {
		spots := s.spots(ctx, border, dirty, loose)
		if err := ctx.Err(); err != nil {
			return err
		}
		dirty, loose = s.settle(spots)
	}
	return nil
}

// makeBorder gives the edge of the allowed set for filling up.
func (s *site) makeBorder() *border {
	return newBorder(s.made.inset(s.Shape, s.depth-depthEase/2, insetTol), s.pitch)
}

// spot is a place where one more stone would fit; touch counts the stones and
// borders it nearly touches: the more, the less room it wastes.
type spot struct {
	at    geom.Point
	touch int
}

// spots gives the free places that touch one of the dirty stones, and the free
// ones of the loose points; not all of them when it is cancelled.
func (s *site) spots(ctx context.Context, border *border, dirty []int, loose []geom.Point) []spot {
	var out []spot
	try := func(p geom.Point) {
		if q := round(p); s.free(q) {
			out = append(out, spot{q, s.touches(q)})
		}
	}
	for _, p := range loose {
		try(p)
	}
	for k, id := range dirty {
		if k%cancelEvery == 0 && ctx.Err() != nil {
			break
		}
		if s.hemmed(id) {
			continue
		}
		at := s.pieces[id].at
		s.index.Each(at, 2*s.pitch, func(other int, q geom.Point) bool {
			if other != id {
				meet(at, s.pitch, q, s.pitch, try)
			}
			return true
		})
		if s.near != nil {
			s.near.Each(at, s.pitch+s.reach, func(other int, q geom.Point) bool {
				meet(at, s.pitch, q, s.others[other].reach, try)
				return true
			})
		}
		border.cross(at, s.pitch, try)
	}
	return out
}

// hemmedReach is how far the neighbours may stand that hem a stone in, in pitches, and
// hemmedEase by how much, in radians, they must do so beyond what would just be enough.
const (
	hemmedReach = 1.5
	hemmedEase  = 1e-3
)

// hemmed says that no place that touches the stone is clear of its neighbours. A place
// at a pitch from a stone is nearer than that to a neighbour at d pitches if the two
// are seen from the stone less than acos(d/2) apart; so none is clear where that
// closes every gap between neighbours that follow each other around.
func (s *site) hemmed(id int) bool {
	type sight struct{ angle, closes float64 }
	var room [12]sight
	around, at := room[:0], s.pieces[id].at
	s.index.Each(at, hemmedReach*s.pitch, func(other int, q geom.Point) bool {
		if d := q.Sub(at); other != id && len(around) < len(room) {
			around = append(around, sight{math.Atan2(d.Y, d.X), math.Acos(min(1, d.Len()/(2*s.pitch)))})
		}
		return true
	})
	if len(around) < 3 {
		return false
	}
	slices.SortFunc(around, func(a, b sight) int { return cmp.Compare(a.angle, b.angle) })
	before := around[len(around)-1]
	before.angle -= 2 * math.Pi
	for _, o := range around {
		if o.angle-before.angle > o.closes+before.closes-hemmedEase {
			return false
		}
		before = o
	}
	return true
}

// settle puts stones on the spots that touch most, and gives the numbers of the
// new stones and the spots that touch less, which are looked at anew.
func (s *site) settle(spots []spot) (put []int, rest []geom.Point) {
	slices.SortFunc(spots, func(a, b spot) int {
		return cmp.Or(cmp.Compare(b.touch, a.touch), cmp.Compare(a.at.Y, b.at.Y), cmp.Compare(a.at.X, b.at.X))
	})
	for _, sp := range spots {
		switch {
		case !s.clearBy(sp.at, s.pitch-gapEase, -1):
		case sp.touch == spots[0].touch:
			if at, ok := s.withImages(sp.at); ok {
				put = append(put, s.putAll(at)...)
			}
		default:
			rest = append(rest, sp.at)
		}
	}
	return put, rest
}

// touches counts the stones within a hundredth of touching p, and the border.
func (s *site) touches(p geom.Point) int {
	n := 0
	s.index.Each(p, 1.01*s.pitch, func(int, geom.Point) bool { n++; return true })
	if s.outline.Within(p, s.depth+0.01*s.pitch) {
		n++
	}
	return n
}

// meet calls f with the points at distance ra from a and rb from b.
func meet(a geom.Point, ra float64, b geom.Point, rb float64, f func(geom.Point)) {
	d2 := a.Dist2(b)
	if d2 == 0 || d2 > (ra+rb)*(ra+rb) {
		return
	}
	d := math.Sqrt(d2)
	along := (d2 + ra*ra - rb*rb) / (2 * d)
	h2 := ra*ra - along*along
	if h2 < 0 {
		return
	}
	u := b.Sub(a).Mul(1 / d)
	foot, up := a.Add(u.Mul(along)), u.Perp().Mul(math.Sqrt(h2))
	f(foot.Add(up))
	f(foot.Sub(up))
}
