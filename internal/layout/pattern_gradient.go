package layout

import (
	"math"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// How a gradient is mixed of stones.
const (
	// mixBlur is the standard deviation, in pitches, of the blur through which the
	// mixture is to look like the gradient: an eye at some distance.
	mixBlur = 1.1
	// mixReach is how far, in standard deviations of the blurred picture's
	// correlation, stones are looked at together.
	mixReach = 3.2
	// mixPasses bounds the passes over all stones; they end when one changes nothing.
	mixPasses = 24
)

// mixture is a gradient being made of stones: value[i] is what stone i should
// have, from 0 for the first colour to k − 1 for the last, level[i] the colour it
// has, and felt[i] the error around it, blurred.
type mixture struct {
	value []float64
	level []int
	felt  []float64
	near  [][]tie
}

// tie is another stone and how much of its error is felt. There are some sixty for
// each stone, so they are kept small.
type tie struct {
	stone int32
	share float32
}

// paintGradient chooses for each stone one of the two colours next to the
// gradient's at its place, such that the mixture, blurred, comes nearest to the
// gradient: direct binary search (Analoui and Allebach, Proc. SPIE 1666 (1992)
// 96), on stones in place of a raster. Each colour has about the same share.
func (c Coat) paintGradient(stones []design.Stone, wearers []int, pitch float64) {
	at := make([]geom.Point, len(wearers))
	for k, i := range wearers {
		at[k] = geom.Point{X: stones[i].X, Y: stones[i].Y}
	}
	m := newMixture(at, c.values(at), pitch)
	for range mixPasses {
		if !m.pass() {
			break
		}
	}
	for k, i := range wearers {
		stones[i].Colour = c.Colours[m.level[k]]
	}
}

// values gives the gradient at each place. Its ends are pure for half a colour's
// share, so that all colours have the same.
func (c Coat) values(at []geom.Point) []float64 {
	middle, sin, cos := middleOf(at), math.Sin(c.Towards), math.Cos(c.Towards)
	out := make([]float64, len(at))
	least, most := math.Inf(1), math.Inf(-1)
	for i, p := range at {
		if out[i] = p.X*cos + p.Y*sin; c.Outward {
			out[i] = p.Dist(middle)
		}
		least, most = math.Min(least, out[i]), math.Max(most, out[i])
	}
	if c.Outward {
		least = 0
	}
	k := float64(len(c.Colours))
	for i, v := range out {
		share := 0.5
		if most-least > grid {
			share = (v - least) / (most - least)
		}
		out[i] = math.Max(0, math.Min(k-1, share*k-0.5))
	}
	return out
}

// middleOf gives the middle of the box around the points.
func middleOf(at []geom.Point) geom.Point {
	b := geom.Bounds(at)
	return geom.Point{X: (b.MinX + b.MaxX) / 2, Y: (b.MinY + b.MaxY) / 2}
}

// newMixture starts with the nearest colour everywhere.
func newMixture(at []geom.Point, values []float64, pitch float64) *mixture {
	n := len(at)
	m := &mixture{value: values, level: make([]int, n), felt: make([]float64, n), near: make([][]tie, n)}
	spread := math.Sqrt2 * mixBlur * pitch // of a blur with itself
	index := geom.NewIndex(geom.Bounds(at), pitch)
	for i, p := range at {
		m.level[i] = int(math.Round(values[i]))
		index.Each(p, mixReach*spread, func(j int, q geom.Point) bool {
			share := float32(math.Exp(-p.Dist2(q) / (2 * spread * spread)))
			m.near[i] = append(m.near[i], tie{int32(j), share})
			m.near[j] = append(m.near[j], tie{int32(i), share})
			return true
		})
		index.Insert(i, p)
	}
	for i := range at {
		m.spread(i, float64(m.level[i])-m.value[i])
	}
	return m
}

// spread adds an error of stone i to what is felt around it.
func (m *mixture) spread(i int, e float64) {
	m.felt[i] += e
	for _, t := range m.near[i] {
		m.felt[t.stone] += e * float64(t.share)
	}
}

// other gives the colour that stone i could have instead, and the difference; 0
// where the gradient is pure.
func (m *mixture) other(i int) float64 {
	low := math.Floor(m.value[i])
	switch {
	case low == m.value[i]:
		return 0
	case float64(m.level[i]) > low:
		return -1
	}
	return 1
}

// mixLeast is the least gain that counts, so that rounding keeps no pass going.
const mixLeast = 1e-9

// pass gives each stone its other colour, or swaps it with a stone near it,
// whichever betters the picture most, and says whether anything was bettered.
func (m *mixture) pass() bool {
	changed := false
	for i := range m.value {
		d := m.other(i)
		if d == 0 {
			continue
		}
		best, with := 2*d*m.felt[i]+1, -1
		for _, t := range m.near[i] {
			if m.other(int(t.stone)) != -d {
				continue
			}
			if gain := 2*d*(m.felt[i]-m.felt[t.stone]) + 2 - 2*float64(t.share); gain < best {
				best, with = gain, int(t.stone)
			}
		}
		if best >= -mixLeast {
			continue
		}
		changed = true
		m.turn(i, d)
		if with >= 0 {
			m.turn(with, -d)
		}
	}
	return changed
}

// turn changes a stone's level.
func (m *mixture) turn(i int, d float64) {
	m.level[i] += int(d)
	m.spread(i, d)
}
