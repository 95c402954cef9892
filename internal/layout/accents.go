package layout

import (
	"math"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Extra is a kind of stone that a region has beside its own: an accent of its
// rows, or a filling of the gaps in its bed. Lengths are mm.
type Extra struct {
	Size, Colour string
	Diameter     float64 // largest stone of the size
	Gap          float64 // least clear distance to the next stone
}

// Accents are stones of another kind in the rows of a region: every Every-th
// stone, as near as comes out even along the row. With Corners, every corner and
// end has one, and what lies between is shared out evenly.
type Accents struct {
	Extra
	Every   int
	Corners bool
}

// own gives the region's own kind.
func (r Region) own() Extra { return Extra{r.Size, r.Colour, r.Diameter, r.Gap} }

// reachOf gives the least distance of the centre of one of the region's own
// stones from that of a stone of another kind: half of both diameters and the
// larger of both gaps.
func (r Region) reachOf(e Extra) float64 {
	return (r.Diameter+e.Diameter)/2 + math.Max(r.Gap, e.Gap)
}

// reachFor gives the distance that a stone of another kind keeps from one that
// the region's own keep the given distance from; where that one's gap is the
// largest of the three it may be more than is needed.
func (r Region) reachFor(e Extra, reach float64) float64 {
	return reach + (e.Diameter-r.Diameter)/2 + math.Max(0, e.Gap-r.Gap)
}

// kindOf gives the kind of a stone of the region.
func (r Region) kindOf(st design.Stone) Extra {
	for _, e := range r.Extras() {
		if e.Size == st.Size && e.Size != r.Size {
			return e
		}
	}
	return r.own()
}

// Extras gives the kinds of stone that the region has beside its own.
func (r Region) Extras() []Extra {
	var out []Extra
	if r.Accents != nil {
		out = append(out, r.Accents.Extra)
	}
	return append(out, r.Fills...)
}

// widest gives the largest diameter and gap of the region's stones.
func (r Region) widest() (diameter, gap float64) {
	diameter, gap = r.Diameter, r.Gap
	for _, e := range r.Extras() {
		diameter, gap = math.Max(diameter, e.Diameter), math.Max(gap, e.Gap)
	}
	return diameter, gap
}

// accent is an accent that is set.
type accent struct {
	at   geom.Point
	role design.Role
}

// mixedRow is a row with accents: its stones in order along it, by their place
// in pieces, or as ^k for the k-th accent.
type mixedRow []int

// endRows is called when all rows but the bed's are set.
func (s *site) endRows(spines []spine) {
	s.bedFrom = len(s.rows)
	if s.Accents == nil {
		return
	}
	var along []track
	for _, l := range s.Lines {
		t, _ := s.lineTrack(l)
		along = append(along, t)
	}
	for _, sp := range spines {
		along = append(along, newTrack(sp.track.points, sp.isClosed))
	}
	s.setAccents(along)
}

// setAccents sets the rows along the tracks anew with accents in them. Stretches
// that follow no track, as a row that weaves, get accents only where these are
// no larger than the stones they stand for.
func (s *site) setAccents(tracks []track) {
	lines := s.lanes(tracks)
	for i, row := range s.rows {
		var rest []int
		for _, c := range s.stretchesOf(row, lines) {
			if m := s.accentuate(c); m != nil {
				s.mixed = append(s.mixed, m)
			} else {
				rest = append(rest, c.ids...)
			}
		}
		s.rows[i] = rest
	}
}

// accentuate sets one stretch anew; nil if it stays as it is.
func (s *site) accentuate(c stretchOfRow) mixedRow {
	same := s.Accents.Size == s.Size
	if len(c.ids) < 2 || (c.lane == nil && !same) {
		return nil
	}
	if same {
		return s.swapAccents(c)
	}
	solved := s.solveStretch(c)
	if solved == nil {
		return nil
	}
	return s.putSeats(solved, c.role)
}

// swapAccents puts accents of the stones' own size in their places.
func (s *site) swapAccents(c stretchOfRow) mixedRow {
	marks := s.spreadAccents(c.counts(), c.closed, c.role)
	if !slices.Contains(marks, true) {
		return nil
	}
	var out mixedRow
	for i, id := range c.ids {
		if !marks[i] {
			out = append(out, id)
			continue
		}
		at := s.pieces[id].at
		s.take(id)
		out = append(out, s.putAccent(at, c.role))
	}
	return out
}

// putAccent sets an accent and gives its number in a mixed row. The region's own
// stones keep clear of it as of a stone of an earlier region.
func (s *site) putAccent(at geom.Point, role design.Role) int {
	s.accents = append(s.accents, accent{at, role})
	if s.near == nil {
		s.near = geom.NewIndex(s.bounds(), s.pitch)
	}
	reach := s.reachOf(s.Accents.Extra)
	s.others = append(s.others, foreign{at, reach})
	s.near.Insert(len(s.others)-1, at)
	s.reach = math.Max(s.reach, reach)
	return ^(len(s.accents) - 1)
}

// accentClear says whether an accent at p keeps clear of everything set so far.
func (s *site) accentClear(p geom.Point, role design.Role) bool {
	a := s.Accents.Extra
	ok := s.clearBy(p, s.reachOf(a), -1)
	if ok && s.near != nil {
		own := a.Diameter + a.Gap
		s.near.Each(p, math.Max(own, s.reachFor(a, s.reach)), func(k int, q geom.Point) bool {
			reach := s.reachFor(a, s.others[k].reach)
			if k >= len(s.others)-len(s.accents) {
				reach = own
			}
			ok = p.Dist2(q) >= reach*reach
			return ok
		})
	}
	if !ok {
		return false
	}
	depth := a.Diameter/2 + s.Margin
	return role == design.RoleSpine || s.outline.Inside(p) && !s.outline.Within(p, depth-depthEase)
}

// stretchOfRow is a part of a row whose stones each stand next to the one before.
type stretchOfRow struct {
	ids    []int
	role   design.Role
	lane   *lane     // the track it follows, nil if none
	places []float64 // of its stones along the lane, rising
	pins   []bool    // which stones stand on corners
	closed bool
}

// neighbourly is the distance, in pitches, up to which two stones of a row stand
// next to each other.
const neighbourly = 1.6

// farAlong is the same along the row's path, for a path may bend, even round a
// quarter of a circle, but not turn back, between two neighbours.
const farAlong = 2

// stretchesOf cuts a row at gaps and where the role changes, and finds the lane
// of each part.
func (s *site) stretchesOf(row []int, lanes []*lane) []stretchOfRow {
	var out []stretchOfRow
	last := map[int]int{} // which stretch a stone was met in last
	for _, id := range row {
		p := s.pieces[id]
		if p.role == "" {
			continue
		}
		k := len(out) - 1
		if k < 0 || out[k].role != p.role || s.pieces[out[k].ids[len(out[k].ids)-1]].at.Dist(p.at) > neighbourly*s.pitch {
			out = append(out, stretchOfRow{role: p.role})
			k++
		}
		if in, met := last[id]; !met || in != k {
			last[id] = k
			out[k].ids = append(out[k].ids, id)
		}
	}
	if n := len(out) - 1; n > 0 && out[0].role == out[n].role && s.endsMeet(out[n].ids, out[0].ids) {
		out[0].ids = append(out[n].ids, out[0].ids...)
		out = out[:n]
	}
	var parts []stretchOfRow
	for _, c := range out {
		c.closed = len(out) == 1 && len(c.ids) >= leastLoop && s.endsMeet(c.ids, c.ids)
		s.follow(&c, lanes)
		parts = append(parts, c.parted(farAlong*s.pitch)...)
	}
	return parts
}

// parted cuts a stretch where two stones next to each other are farther apart
// along its lane than far, as on both sides of a point that the rim leaves to a
// spine.
func (c stretchOfRow) parted(far float64) []stretchOfRow {
	if c.lane == nil {
		return []stretchOfRow{c}
	}
	n := len(c.ids)
	var starts []int
	for i := 1; i < n; i++ {
		if c.places[i]-c.places[i-1] > far {
			starts = append(starts, i)
		}
	}
	if total := c.lane.total(); c.closed && (len(starts) > 0 || c.places[0]+total-c.places[n-1] > far) {
		c.closed = false
		if c.places[0]+total-c.places[n-1] <= far { // begin behind a cut
			k := starts[0]
			c.ids = append(slices.Clone(c.ids[k:]), c.ids[:k]...)
			c.pins = append(slices.Clone(c.pins[k:]), c.pins[:k]...)
			places := slices.Clone(c.places[k:])
			for _, v := range c.places[:k] {
				places = append(places, v+total)
			}
			c.places = places
			return c.parted(far)
		}
	}
	var out []stretchOfRow
	for i, from := range append([]int{0}, starts...) {
		to := n
		if i < len(starts) {
			to = starts[i]
		}
		part := c
		part.ids, part.places, part.pins = c.ids[from:to], c.places[from:to], c.pins[from:to]
		out = append(out, part)
	}
	return out
}

// endsMeet says whether the last of a stands next to the first of b.
func (s *site) endsMeet(a, b []int) bool {
	return s.pieces[a[len(a)-1]].at.Dist(s.pieces[b[0]].at) <= neighbourly*s.pitch
}

// counts gives the number of steps between each two stops of the stretch: its
// ends and corners.
func (c stretchOfRow) counts() []int {
	var out []int
	n := 0
	for i := 1; i < len(c.ids); i++ {
		n++
		if c.pins[i] && (c.closed || i+1 < len(c.ids)) {
			out = append(out, n)
			n = 0
		}
	}
	if c.closed {
		n++
	}
	return append(out, n)
}
