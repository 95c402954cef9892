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

// chords gives the places of n equal chords along an open track, no shorter than
// pitch: where each begins. n must be at least 1 and no more than fit.
func (t track) chords(n int, pitch float64) []float64 {
	want := float64(n)
	_, have := t.walk(pitch, false)
	lo, hi := pitch, pitch*(have+1)/want
	for range chordSteps {
		mid := (lo + hi) / 2
		if _, k := t.walk(mid, false); k >= want {
			lo = mid
		} else {
			hi = mid
		}
	}
	places, _ := t.walk(lo, true)
	return places[:min(len(places), n)]
}

// fit gives the most chords of at least pitch that an open track holds.
func (t track) fit(pitch float64) int {
	if len(t.points) < 2 {
		return 0
	}
	_, have := t.walk(pitch, false)
	return int(math.Floor(have + 1e-9))
}

// equalChords sets stones along an open track with one on each end and all
// neighbours the same distance apart: the least such distance that is no less
// than pitch. It gives the centres in order; nil where the track cannot hold one
// full chord.
func (t track) equalChords(pitch float64) []geom.Point {
	out := t.evenly(pitch, 1)
	if out == nil {
		return nil
	}
	return append(out, t.points[len(t.points)-1])
}

// evenly gives the most points from the start of a track that keep the pitch in
// equal steps and, where there are enough, come in a multiple of turns. Its end, which
// of a closed track is its start, is left out.
func (t track) evenly(pitch float64, turns int) []geom.Point {
	n := t.fit(pitch)
	if n >= 2*turns {
		n -= n % turns
	}
	if n < 1 {
		return nil
	}
	out := make([]geom.Point, 0, n+1)
	for _, v := range t.chords(n, pitch) {
		out = append(out, t.at(v))
	}
	return out
}

// looseStep is the widest step, in pitches, that a row with a free end is spread
// to: beyond it the end draws in, and the bed or the next row has the room.
const looseStep = 1.05

// drawnIn shortens an open track at its free ends where a row along it would
// have steps wider than looseStep.
func (t track) drawnIn(pitch float64, free [2]bool) track {
	n := t.fit(pitch)
	if n < 1 || !free[0] && !free[1] {
		return t
	}
	places := t.chords(n, pitch)
	end := t.points[len(t.points)-1]
	step := t.at(places[len(places)-1]).Dist(end)
	if step <= looseStep*pitch {
		return t
	}
	total := t.total()
	spare := total * (1 - looseStep*pitch/step)
	switch {
	case free[0] && free[1]:
		return t.cut(spare/2, total-spare/2)
	case free[0]:
		return t.cut(spare, total)
	}
	return t.cut(0, total-spare)
}
