package layout

import (
	"math"

	"brushfall/internal/geom"
)

// slack is added to a pitch that rows and lattices are set at, so that no gap
// falls below its least when the centres are rounded to the grid of placing.
const slack = 2e-4

// chordSteps bounds the halvings that find an equal chord: 2⁻⁴⁰ of a pitch is
// far below the grid of placing.
const chordSteps = 40

// walk steps along the track from its start by chords c and gives the places of
// the stones with the number of chords walked, the last one as a fraction.
func (t track) walk(c float64, keep bool) (places []float64, chords float64) {
	s, here := 0.0, t.points[0]
	end := t.points[len(t.points)-1]
	if keep {
		places = append(places, 0)
	}
	for {
		next, ok := t.step(here, s, c)
		if !ok || next <= s {
			break
		}
		s, here = next, t.at(next)
		chords++
		if keep {
			places = append(places, s)
		}
	}
	return places, chords + math.Min(1, here.Dist(end)/c)
}

// equalChords sets stones along an open track with one on each end and all
// neighbours the same distance apart: the least such distance that is no less
// than pitch. The ends of a closed track are one place, set once. It gives the
// centres in order; nil where the track cannot hold one full chord.
func (t track) equalChords(pitch float64, closed bool) []geom.Point {
	if len(t.points) < 2 {
		return nil
	}
	_, have := t.walk(pitch, false)
	n := math.Floor(have + 1e-9)
	if n < 1 {
		return nil
	}
	lo, hi := pitch, pitch*(have+1)/n
	for range chordSteps {
		mid := (lo + hi) / 2
		if _, k := t.walk(mid, false); k >= n {
			lo = mid
		} else {
			hi = mid
		}
	}
	places, _ := t.walk(lo, true)
	if len(places) > int(n) {
		places = places[:int(n)]
	}
	out := make([]geom.Point, 0, len(places)+1)
	for _, s := range places {
		out = append(out, t.at(s))
	}
	if !closed {
		out = append(out, t.points[len(t.points)-1])
	}
	return out
}
