package layout

import (
	"math"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// rimEase is how much deeper than asked a stone on the rim's path may lie and
// still count as rim, in mm: more means the path was pushed in by a neighbouring
// region, and the stone belongs to the bed.
const rimEase = 0.02

// leastLoop is the number of stones below which a loop is no row.
const leastLoop = 3

// candidate is a stone proposed for a row, before rows that come too close
// have been thinned.
type candidate struct {
	at   geom.Point
	pin  bool // on a corner
	run  int  // which of the runs it belongs to
	role design.Role
}

// run is a part of a row between two corners or free ends, or a whole loop. Its
// stones leave out the last where that is the first of the next run.
type run struct {
	part   track
	closed bool
	row    int
	stones []candidate
}

// setRim sets the rows just inside the outline, skipping the stretches that the
// spines hold.
func (s *site) setRim(spines []spine) {
	var runs []run
	for row, ring := range s.path.Rings {
		runs = append(runs, numbered(s.rimRuns(newTrack(ring, true), spines), row)...)
	}
	first := len(s.rows)
	s.setRuns(runs, strokeTips(spines))
	for i, r := range runs {
		if i == 0 || r.row != runs[i-1].row {
			s.rims = append(s.rims, ringRow{first + len(s.rims), r.row})
		}
	}
}

// numbered gives runs the number of their row.
func numbered(runs []run, row int) []run {
	for i := range runs {
		runs[i].row = row
	}
	return runs
}

// noRun is the run of a stone that is set with the rows and stands in none of them.
const noRun = -1

// strokeTips gives the stones at the tips of strokes, which a rim makes room for: a heart
// is to have one in its point.
func strokeTips(spines []spine) []candidate {
	var out []candidate
	for _, sp := range spines {
		for e, at := range [2]geom.Point{sp.track.points[0], sp.track.points[len(sp.track.points)-1]} {
			if sp.tip[e] {
				out = append(out, candidate{at: round(at), pin: true, run: noRun, role: design.RoleSpine})
			}
		}
	}
	return out
}

// setRuns thins runs where they come too close to each other or to the tips, sets
// what is left, evens it out, and records which stones stand in one row.
func (s *site) setRuns(runs []run, tips []candidate) {
	all := tips
	for i := range runs {
		for j := range runs[i].stones {
			runs[i].stones[j].run = i
		}
		all = append(all, runs[i].stones...)
	}
	ids := make([][]int, len(runs))
	for _, c := range s.thin(all) {
		if id := s.put(c.at, c.role); c.run != noRun {
			ids[c.run] = append(ids[c.run], id)
		}
	}
	for i, r := range runs {
		if len(ids[i]) < len(r.stones) {
			s.evenOut(r, ids[i])
		}
		if i == 0 || r.row != runs[i-1].row {
			s.rows = append(s.rows, nil)
		}
		n := len(s.rows) - 1
		s.rows[n] = append(s.rows[n], ids[i]...)
	}
}

// rimRuns gives the rows of one closed path: from corner to corner, or between
// the stretches left to spines, or once around.
func (s *site) rimRuns(t track, spines []spine) []run {
	pins := s.stopsByHand(t, t.pins(s.pitch, s.depth, s.group != nil))
	left := s.shadowsByHand(t, s.narrowStretches(t, spines))
	if len(left) == 0 {
		return s.loopRuns(t, pins)
	}
	total := t.total()
	if left[0] == (stretch{0, total}) {
		return nil
	}
	rows := make([]openRow, len(left))
	for i, cut := range left {
		next := left[(i+1)%len(left)]
		s0, s1 := cut.to, next.from
		if s1 <= s0 {
			s1 += total
		}
		stops := []float64{s0}
		for _, turn := range []float64{0, total} {
			for _, pin := range pins {
				if v := pin + turn; v > s0+1e-9 && v < s1-1e-9 {
					stops = append(stops, v)
				}
			}
		}
		rows[i].stops = append(stops, s1)
	}
	t.faceEnds(rows, s.pitch, s.group != nil)
	var runs []run
	for _, r := range rows {
		runs = append(runs, s.pinnedRuns(t, r, false)...)
	}
	return runs
}

// loopRuns sets a whole loop: between its corners, or evenly around from its
// topmost point when it has none.
func (s *site) loopRuns(t track, pins []float64) []run {
	if len(pins) > 0 {
		return s.pinnedRuns(t, openRow{stops: append(slices.Clone(pins), pins[0]+t.total())}, true)
	}
	begin, turns, ok := s.group.begin(t)
	if !ok {
		begin, turns = t.length[t.topmost()], 1
	}
	part := t.cut(begin, begin+t.total())
	stones := part.evenly(s.pitch+slack, turns)
	if len(stones) < leastLoop {
		return nil
	}
	return []run{{part: part, closed: true, stones: s.rimRow(stones, false)}}
}

// topmost gives the number of the highest point, the leftmost of those.
func (t track) topmost() int {
	top := 0
	for i, p := range t.points {
		if p.Y < t.points[top].Y-1e-9 || (math.Abs(p.Y-t.points[top].Y) <= 1e-9 && p.X < t.points[top].X) {
			top = i
		}
	}
	return top
}

// pinnedRuns sets a row between each two stops. The stops are pins where the
// loop is whole; otherwise the first and last are free ends.
func (s *site) pinnedRuns(t track, row openRow, whole bool) []run {
	var runs []run
	stops := row.stops
	if stops[0] < 0 {
		for i := range stops {
			stops[i] += t.total()
		}
	}
	for i := 0; i+1 < len(stops); i++ {
		if stops[i+1]-stops[i] < 1e-6 {
			continue
		}
		first, last := whole || i > 0, whole || i+2 < len(stops)
		part := t.cut(stops[i], stops[i+1]).drawnIn(s.pitch+slack, [2]bool{!first && !row.settled[0], !last && !row.settled[1]})
		stones := part.equalChords(s.pitch + slack)
		if stones == nil {
			stones = []geom.Point{part.points[0], part.points[len(part.points)-1]}
		}
		if last { // the next run begins with this stone
			stones = stones[:len(stones)-1]
		}
		runs = append(runs, run{part: part, stones: s.rimRow(stones, first)})
	}
	return runs
}

// rimRow makes candidates of a row's centres.
func (s *site) rimRow(stones []geom.Point, firstPin bool) []candidate {
	out := make([]candidate, len(stones))
	for i, p := range stones {
		p = round(p)
		role := design.RoleRim
		if s.outline.Depth(p) > s.depth+rimEase {
			role = design.RoleBed
		}
		out[i] = candidate{at: p, pin: i == 0 && firstPin, role: role}
	}
	return out
}

// stretch is a part of a closed track; to may be less than from across its start.
type stretch struct{ from, to float64 }

// narrowStep is how often a path is asked whether a spine holds the place, in pitches.
const narrowStep = 0.04

// leastStretch is the length, in pitches, below which a row runs on past a
// spine instead of leaving room for it.
const leastStretch = 1.2

// narrowStretches gives the parts of a path that spines hold: its points that
// the widest circles round a spine touch.
func (s *site) narrowStretches(t track, spines []spine) []stretch {
	if len(spines) == 0 {
		return nil
	}
	held := newHeld(spines, s.depth, s.pitch)
	total := t.total()
	n := max(int(total/(narrowStep*s.pitch)), 8)
	narrow := make([]bool, n)
	for i := range n {
		narrow[i] = held.touches(t.at(total * float64(i) / float64(n)))
	}
	if !slices.Contains(narrow, false) {
		return []stretch{{0, total}}
	}
	return slices.DeleteFunc(stretches(narrow, total), func(st stretch) bool {
		return wrap(st.to-st.from, total) < leastStretch*s.pitch
	})
}

// stretches turns samples around a loop, not all true, into stretches of true.
func stretches(flags []bool, total float64) []stretch {
	n := len(flags)
	start := slices.Index(flags, false)
	var out []stretch
	for k := 1; k <= n; k++ {
		i := (start + k) % n
		if !flags[i] {
			continue
		}
		first := i
		for flags[(i+1)%n] {
			i, k = (i+1)%n, k+1
		}
		out = append(out, stretch{total * float64(first) / float64(n), total * float64(i) / float64(n)})
	}
	return out
}
