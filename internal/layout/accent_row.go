package layout

import (
	"math"
	"slices"
	"strconv"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// How rows of unequal stones are solved.
const (
	// rootTol is how finely, in mm, places along a row are found: far below what a
	// gap may miss.
	rootTol = 1e-8
	// rootSteps bounds the steps of one search for a root.
	rootSteps = 60
	// scanFrom is the share of its distance from the stone before at which the
	// search for the next begins.
	scanFrom = 0.5
	// moreTries bounds how often a row is tried with one more stone.
	moreTries = 8
	// mostKept bounds the memory of runs that have been solved, in stones.
	mostKept = 1 << 20
)

// seat is a place in a solved row.
type seat struct {
	at     geom.Point
	accent bool
}

// rowPlan is a stretch being solved: stops along a lane, the number of steps
// between each two, and which of its stones may be no accents after all.
type rowPlan struct {
	site   *site
	lane   *lane
	stops  []float64
	counts []int
	closed bool
	role   design.Role
	barred map[int]bool
	solved map[string]solvedRun
	kept   int // stones in solved
}

// solvedRun is a run of a row that has been solved: its places, and whether it holds
// its stones.
type solvedRun struct {
	places []float64
	fits   bool
}

// solveStretch sets a stretch anew between its ends and corners with accents in
// it, all neighbours the same clear space apart between each two stops, with as
// many stones as the gaps allow; nil if that cannot be. Its old stones are gone
// then.
func (s *site) solveStretch(c stretchOfRow) []seat {
	p := &rowPlan{site: s, lane: c.lane, closed: c.closed, counts: c.counts(), stops: c.stops(), role: c.role, barred: map[int]bool{}, solved: map[string]solvedRun{}}
	if !p.fewer() {
		return nil
	}
	p.more()
	for _, id := range c.ids {
		s.take(id)
	}
	for range len(c.ids) {
		seats, _, ok := p.solve()
		if !ok {
			break
		}
		bad := p.misfits(seats)
		if len(bad) == 0 && slices.ContainsFunc(seats, func(st seat) bool { return st.accent }) {
			return seats
		}
		if len(bad) == 0 {
			break
		}
		for _, i := range bad {
			p.barred[i] = true
		}
		p.more()
	}
	for _, id := range c.ids { // no accent fits: as it was
		s.restore(id, c.role)
	}
	return nil
}

// restore sets a stone again that was taken.
func (s *site) restore(id int, role design.Role) {
	s.pieces[id].role = role
	s.index.Insert(id, s.pieces[id].at)
}

// stops gives the places of the stretch's ends and corners.
func (c stretchOfRow) stops() []float64 {
	out := []float64{c.places[0]}
	for i := 1; i < len(c.places); i++ {
		if c.pins[i] && (c.closed || i+1 < len(c.places)) {
			out = append(out, c.places[i])
		}
	}
	if c.closed {
		return append(out, c.places[0]+c.lane.total())
	}
	return append(out, c.places[len(c.places)-1])
}

// fewer takes stones out until every run holds its own at the least gap; false if
// a run holds none.
func (p *rowPlan) fewer() bool {
	for {
		_, tight, ok := p.solve()
		if ok {
			return true
		}
		for _, run := range tight {
			if p.counts[run]--; p.counts[run] < 1 {
				return false
			}
		}
	}
}

// more adds a stone to each run that still holds one more.
func (p *rowPlan) more() {
	for run := range p.counts {
		for range moreTries {
			p.counts[run]++
			if _, _, ok := p.solve(); !ok {
				p.counts[run]--
				break
			}
		}
	}
}

// marks says which stones are accents.
func (p *rowPlan) marks() []bool {
	out := p.site.spreadAccents(p.counts, p.closed, p.role)
	for i := range out {
		out[i] = out[i] && !p.barred[i]
	}
	return out
}

// solve places every stone; where that cannot be it gives the runs that are too
// tight.
func (p *rowPlan) solve() (seats []seat, tight []int, ok bool) {
	marks := p.marks()
	if p.closed {
		marks = append(marks, marks[0])
	}
	from := 0
	for run, n := range p.counts {
		part := marks[from : from+n+1]
		r := p.solveOnce(run, part)
		if !r.fits {
			tight = append(tight, run)
		} else {
			for i, v := range r.places {
				at, _ := p.lane.seatAt(v, part[i])
				seats = append(seats, seat{round(at), part[i]})
			}
		}
		from += n
	}
	if !p.closed {
		at, _ := p.lane.seatAt(p.stops[len(p.stops)-1], marks[from])
		seats = append(seats, seat{round(at), marks[from]})
	}
	return seats, tight, len(tight) == 0
}

// solveOnce is solveRun with what it has found before kept: a row is tried again and
// again with one run or one stone changed, and most runs stay as they were.
func (p *rowPlan) solveOnce(run int, marks []bool) solvedRun {
	text := strconv.AppendInt(nil, int64(run), 10)
	for _, accent := range marks {
		text = strconv.AppendBool(text, accent)
	}
	key := string(text)
	r, known := p.solved[key]
	if known {
		return r
	}
	r.places, r.fits = p.solveRun(p.stops[run], p.stops[run+1], marks)
	if p.kept += len(marks); p.kept > mostKept {
		clear(p.solved)
		p.kept = len(marks)
	}
	p.solved[key] = r
	return r
}

// leastSpace gives the clear space that every pair of the row keeps.
func (p *rowPlan) leastSpace() float64 {
	return math.Max(p.site.Gap, p.site.Accents.Gap) + slack
}

// solveRun gives the places of the stones from s0 to before s1 such that all
// clear spaces are equal; false if they would be less than the least.
func (p *rowPlan) solveRun(s0, s1 float64, marks []bool) ([]float64, bool) {
	least := p.leastSpace()
	over := func(space float64) float64 {
		_, end := p.walk(s0, space, marks)
		return end - s1
	}
	if over(least) > rootTol {
		return nil, false
	}
	widest := least + p.site.pitch
	for over(widest) < 0 {
		widest = least + 2*(widest-least)
	}
	space := root(least, widest, over)
	places, _ := p.walk(s0, space, marks)
	return places, true
}

// walk steps from s0 with equal spaces and gives the places of all stones but the
// last, and where that one would stand.
func (p *rowPlan) walk(s0, space float64, marks []bool) (places []float64, end float64) {
	places = make([]float64, 0, len(marks))
	s := s0
	for i := 1; i < len(marks); i++ {
		places = append(places, s)
		s = p.step(s, marks[i-1], marks[i], space)
	}
	return places, s
}

// step gives the first place past s where the next stone keeps the space from the
// one at s. On a path that turns back before it is far enough, it is as far on as
// the distance itself.
func (p *rowPlan) step(s float64, accentHere, accentNext bool, space float64) float64 {
	here, _ := p.lane.seatAt(s, accentHere)
	need := space + p.radius(accentHere) + p.radius(accentNext)
	lack := func(v float64) float64 {
		at, _ := p.lane.seatAt(v, accentNext)
		return at.Dist(here) - need
	}
	stride := laneStep * p.site.pitch
	lo := s + scanFrom*need
	if !accentHere && !accentNext { // a chord is no longer than its path
		lo = s + need - rootTol
	}
	hi := lo
	for limit := s + 3*need; lack(hi) < 0; {
		if lo, hi = hi, hi+stride; hi > limit {
			return limit
		}
	}
	if hi == lo {
		return hi
	}
	return root(lo, hi, lack)
}

func (p *rowPlan) radius(isAccent bool) float64 {
	if isAccent {
		return p.site.Accents.Diameter / 2
	}
	return p.site.Diameter / 2
}

// root gives where a function rises through 0 between lo and hi, by the Illinois
// variant of false position (Dowell and Jarratt, BIT 11 (1971) 168).
func root(lo, hi float64, f func(float64) float64) float64 {
	flo, fhi := f(lo), f(hi)
	if flo >= 0 {
		return lo
	}
	for range rootSteps {
		if hi-lo < rootTol || fhi <= 0 {
			break
		}
		mid := hi - fhi*(hi-lo)/(fhi-flo)
		v := f(mid)
		switch {
		case math.Abs(v) < rootTol:
			return mid
		case v < 0:
			lo, flo = mid, v
			fhi /= 2
		default:
			hi, fhi = mid, v
			flo /= 2
		}
	}
	return hi
}

// misfits gives the accents of a solved row that cannot stand where they are.
func (p *rowPlan) misfits(seats []seat) []int {
	var out []int
	apart := p.site.Accents.Diameter + p.site.Accents.Gap - gapEase
	var kept []geom.Point
	for i, st := range seats {
		if !st.accent {
			continue
		}
		// A row round a thin part comes back beside itself.
		beside := slices.ContainsFunc(kept, func(at geom.Point) bool { return at.Dist(st.at) < apart })
		if beside || !p.site.accentClear(st.at, p.role) {
			out = append(out, i)
		} else {
			kept = append(kept, st.at)
		}
	}
	return out
}

// putSeats sets a solved row. Its accents go first; a stone that something else
// has come too near to is left out.
func (s *site) putSeats(seats []seat, role design.Role) mixedRow {
	ids := make([]int, len(seats))
	for i, st := range seats {
		if st.accent {
			ids[i] = s.putAccent(st.at, role)
		}
	}
	var out mixedRow
	for i, st := range seats {
		switch {
		case st.accent:
			out = append(out, ids[i])
		case s.clearOfOwn(st.at, -1) && s.clearOfOthersBy(st.at, gapEase):
			out = append(out, s.put(st.at, role))
		}
	}
	return out
}
