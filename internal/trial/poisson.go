package trial

import (
	"math"
	"math/rand/v2"

	"brushfall/internal/geom"
)

// Poisson sampling: darts thrown for each open cell in a round before the cells
// are quartered, and the least cell, in pitches, after which the sampling counts
// as maximal.
const (
	dartsPerCell = 0.6
	leastCell    = 1e-7
)

// Poisson gives a maximal Poisson-disk sampling of the allowed set: points at
// random, none nearer than p to another, until no room is left but specks.
//
// Method: Ebeida, Mitchell, Patney, Davidson, Owens, "A simple algorithm for
// maximal Poisson-disk sampling in high dimensions", Computer Graphics Forum 31,
// 2012: darts go into cells that are not known to be covered; after each round
// the cells are quartered, and covered ones dropped.
func Poisson(allowed geom.Shape, p float64, seed uint64) []geom.Point {
	if allowed.Empty() {
		return nil
	}
	s := &sampling{
		p: p, chance: rand.New(rand.NewPCG(seed, 0)), border: geom.NewBoundary(allowed),
		near: geom.NewIndex(allowed.Bounds(), p),
	}
	for side := p / math.Sqrt2; ; side /= 2 {
		if side == p/math.Sqrt2 {
			s.start(allowed.Bounds(), side)
		} else {
			s.quarter(side)
		}
		if len(s.open) == 0 || side < leastCell*p {
			return s.points
		}
		for range int(math.Ceil(dartsPerCell * float64(len(s.open)))) {
			s.dart(side)
		}
	}
}

type sampling struct {
	p      float64
	chance *rand.Rand
	border *geom.Boundary
	near   *geom.Index
	points []geom.Point
	open   []geom.Point // low corners of the cells that may have room
}

func (s *sampling) start(b geom.Box, side float64) {
	for y := b.MinY; y <= b.MaxY; y += side {
		for x := b.MinX; x <= b.MaxX; x += side {
			s.keep(geom.Point{X: x, Y: y}, side)
		}
	}
}

// quarter replaces every cell by its four quarters of the side, as far as they
// may have room.
func (s *sampling) quarter(side float64) {
	cells := s.open
	s.open = nil
	for _, c := range cells {
		for i := range 4 {
			s.keep(c.Add(geom.Point{X: side * float64(i&1), Y: side * float64(i>>1)}), side)
		}
	}
}

// keep lists a cell unless it is outside or one point's disc covers it all.
func (s *sampling) keep(c geom.Point, side float64) {
	middle, half := c.Add(geom.Point{X: side / 2, Y: side / 2}), side/math.Sqrt2
	if _, _, covered := s.near.Nearest(middle, s.p-half, -1); !covered && s.border.Depth(middle) > -half {
		s.open = append(s.open, c)
	}
}

// dart tries one random place of one random cell.
func (s *sampling) dart(side float64) {
	c := s.open[s.chance.IntN(len(s.open))]
	at := c.Add(geom.Point{X: side * s.chance.Float64(), Y: side * s.chance.Float64()})
	if _, _, near := s.near.Nearest(at, s.p, -1); near || !s.border.Inside(at) {
		return
	}
	s.near.Insert(len(s.points), at)
	s.points = append(s.points, at)
}
