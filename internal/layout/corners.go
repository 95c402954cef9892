package layout

import "math"

// How a corner of a row's path is told from a bend.
const (
	cornerTurn  = 32 * math.Pi / 180 // least turn; a customer sees a corner from about 35°
	cornerSharp = 70 * math.Pi / 180 // a turn that is a corner whatever leads up to it
	cornerReach = 0.5                // turn is read between chords of this many pitches either way
	cornerStep  = 0.05               // and at every vertex and this often between, in pitches
	cornerRise  = 12 * math.Pi / 180 // a corner turns this much more than the path a pitch away
	flankFrom   = 0.35               // a straight flank begins this far from its corner, in pitches,
	flankLength = 1.0                // is this long
	flankSag    = 0.06               // and no further from straight than this, in pitches
)

// bend is one place of a track with the angle it turns by there.
type bend struct {
	s    float64
	turn float64
}

// corners gives the places of a closed track where it turns a corner, in order:
// local peaks of the turn that stand out from their surroundings, with straight
// flanks, or sharp ones that stand alone. Corners nearer to each other than a
// pitch, as at the end of a narrow stroke, cannot all have a stone; the row then
// passes them evenly.
func (t track) corners(pitch float64) []float64 {
	total := t.total()
	if total < 3*pitch {
		return nil
	}
	bends := t.bends(pitch)
	var peaks []bend
	for i, b := range bends {
		if b.turn >= cornerTurn && t.isPeak(bends, i, pitch) {
			peaks = append(peaks, b)
		}
	}
	peaks = mergePlateaus(peaks, cornerStep*2*pitch)
	var out []float64
	for i, b := range peaks {
		straight := t.flank(b.s, 1, pitch) && t.flank(b.s, -1, pitch)
		lone := true
		for j, o := range peaks {
			lone = lone && (j == i || t.at(b.s).Dist(t.at(o.s)) >= 1.001*pitch)
		}
		if lone && (straight || b.turn >= cornerSharp) {
			out = append(out, b.s)
		}
	}
	return out
}

// flank says whether the track is straight beside a corner, ahead (1) or behind (−1).
func (t track) flank(s, dir, pitch float64) bool {
	from, to := t.loopAt(s+dir*flankFrom*pitch), t.loopAt(s+dir*(flankFrom+flankLength)*pitch)
	along := to.Sub(from).Unit()
	const samples = 8
	for k := 1; k < samples; k++ {
		p := t.loopAt(s + dir*(flankFrom+flankLength*float64(k)/samples)*pitch)
		if math.Abs(along.Cross(p.Sub(from))) > flankSag*pitch {
			return false
		}
	}
	return true
}

// openCorners gives the corners of an open track, in order.
func (t track) openCorners(pitch float64) []float64 {
	var peaks []bend
	bends := t.bends(pitch)
	for i, b := range bends {
		if b.s >= cornerReach*pitch && b.s <= t.total()-cornerReach*pitch && b.turn >= cornerTurn && t.isPeak(bends, i, pitch) {
			peaks = append(peaks, b)
		}
	}
	var out []float64
	for _, b := range mergePlateaus(peaks, cornerStep*2*pitch) {
		if n := len(out); n == 0 || t.at(out[n-1]).Dist(t.at(b.s)) >= pitch {
			out = append(out, b.s)
		}
	}
	return out
}

// bends samples the turn of the track along its length.
func (t track) bends(pitch float64) []bend {
	reach, step := cornerReach*pitch, cornerStep*pitch
	var out []bend
	add := func(s float64) {
		here := t.at(s)
		in := here.Sub(t.loopAt(s - reach))
		on := t.loopAt(s + reach).Sub(here)
		out = append(out, bend{s, math.Abs(math.Atan2(in.Cross(on), in.Dot(on)))})
	}
	for i := 0; i+1 < len(t.points); i++ {
		add(t.length[i])
		span := t.length[i+1] - t.length[i]
		n := int(span / step)
		for k := 1; k <= n; k++ {
			add(t.length[i] + span*float64(k)/float64(n+1))
		}
	}
	return out
}

// isPeak says whether no sample within half a pitch turns more, and the track a
// pitch away on both sides turns clearly less.
func (t track) isPeak(bends []bend, i int, pitch float64) bool {
	total, n := t.total(), len(bends)
	low := [2]float64{math.Inf(1), math.Inf(1)}
	for side, dir := range []int{-1, 1} {
		for k := 1; k < n; k++ {
			b := bends[((i+dir*k)%n+n)%n]
			gap := wrap(float64(dir)*(b.s-bends[i].s), total)
			if gap > pitch {
				break
			}
			if gap < pitch/2 && b.turn > bends[i].turn+1e-9 {
				return false
			}
			low[side] = math.Min(low[side], b.turn)
		}
	}
	return bends[i].turn-low[0] >= cornerRise && bends[i].turn-low[1] >= cornerRise
}

// mergePlateaus gives one place for samples of an equal peak that lie side by side.
func mergePlateaus(peaks []bend, near float64) []bend {
	var out []bend
	for i := 0; i < len(peaks); {
		j := i
		for j+1 < len(peaks) && peaks[j+1].s-peaks[j].s <= near && math.Abs(peaks[j+1].turn-peaks[i].turn) < 1e-6 {
			j++
		}
		out = append(out, bend{(peaks[i].s + peaks[j].s) / 2, peaks[i].turn})
		i = j + 1
	}
	return out
}
