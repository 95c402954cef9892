package layout

import (
	"math"
	"slices"

	"brushfall/internal/geom"
)

// How lanes are made.
const (
	// laneStep is the distance of a lane's samples, in pitches.
	laneStep = 0.05
	// laneEase is how far off a track, in mm, a stone may stand and still follow it.
	laneEase = 0.02
	// astray is how far an accent may stand off the stone's place it takes, in
	// differences of their radii: a corner of 50° asks for 2.4.
	astray = 2.4
	// torn is how much further apart than two places of the lane the accents beside
	// them may be and still be two ends of one way.
	torn = 4
)

// lane is a track with the place that an accent takes beside each of its places:
// as deep in the region as the accent's own radius asks.
type lane struct {
	track
	closed  bool
	corners []float64
	find    *geom.Boundary
	accents []geom.Point // beside the track's points
	fits    []bool       // whether an accent can stand there
}

// lanes makes lanes of the paths of the rim and of the given tracks.
func (s *site) lanes(tracks []track) []*lane {
	var out []*lane
	add := func(t track, offset *geom.Boundary) {
		if t.total() == 0 {
			return
		}
		closed := t.points[0] == t.points[len(t.points)-1]
		l := &lane{track: t.finer(laneStep * s.pitch), closed: closed}
		if closed {
			l.corners = t.pins(s.pitch, s.depth, s.group != nil)
		} else {
			l.corners = t.openCorners(s.pitch)
		}
		l.find = geom.NewLineBoundary([]geom.Line{l.points})
		l.shift(offset, astray*math.Abs(s.Accents.Diameter-s.Diameter)/2+laneEase)
		out = append(out, l)
	}
	if s.outline != nil {
		inner := geom.NewBoundary(geom.Inset(s.Shape, s.Accents.Diameter/2+s.Margin, insetTol))
		for _, ring := range s.path.Rings {
			add(newTrack(ring, true), inner)
		}
	}
	for _, t := range tracks {
		add(t, nil)
	}
	return out
}

// shift finds the accents' places: on the border of where their centres may lie,
// no further off than most, or on the track itself where there is none.
func (l *lane) shift(border *geom.Boundary, most float64) {
	l.accents, l.fits = slices.Clone(l.points), make([]bool, len(l.points))
	for i, p := range l.points {
		l.fits[i] = true
		if border != nil {
			hit := border.Nearest(p)
			if l.fits[i] = hit.Dist <= most; l.fits[i] {
				l.accents[i] = hit.Point
			}
		}
	}
}

// finer gives the track with a point at least every step.
func (t track) finer(step float64) track {
	var pts []geom.Point
	for i, p := range t.points {
		pts = append(pts, p)
		if i+1 == len(t.points) {
			break
		}
		q := t.points[i+1]
		n := int(math.Ceil(p.Dist(q) / step))
		for k := 1; k < n; k++ {
			pts = append(pts, p.Lerp(q, float64(k)/float64(n)))
		}
	}
	return newTrack(pts, false)
}

// seatAt gives the centre of a stone at s, which on a closed lane may run past
// its end, and whether such a stone can stand there.
func (l *lane) seatAt(s float64, isAccent bool) (geom.Point, bool) {
	if l.closed {
		s = wrap(s, l.total())
	}
	i := l.segment(s)
	u := math.Max(0, math.Min(1, (s-l.length[i])/(l.length[i+1]-l.length[i])))
	if isAccent {
		a, b := l.accents[i], l.accents[i+1]
		if a.Dist(b) > torn*l.points[i].Dist(l.points[i+1]) { // at a corner: between them lies no place
			if u < 0.5 {
				return a, l.fits[i]
			}
			return b, l.fits[i+1]
		}
		return a.Lerp(b, u), l.fits[i] && l.fits[i+1]
	}
	return l.points[i].Lerp(l.points[i+1], u), true
}

// follow finds the lane that all stones of a stretch stand on, their places along
// it and which of them hold corners. A stretch against the lane is turned round,
// and a closed one begins at a corner if it has one.
func (s *site) follow(c *stretchOfRow, lanes []*lane) {
	c.pins = make([]bool, len(c.ids))
	for _, l := range lanes {
		if places, ok := s.placesOn(l, c.ids); ok {
			c.lane, c.places = l, places
			break
		}
	}
	if c.lane == nil {
		return
	}
	if c.falls() {
		slices.Reverse(c.ids)
		slices.Reverse(c.places)
	}
	c.findPins(s.pitch)
	if first := slices.Index(c.pins, true); c.closed && first > 0 {
		c.ids = append(slices.Clone(c.ids[first:]), c.ids[:first]...)
		c.places = append(slices.Clone(c.places[first:]), c.places[:first]...)
		c.pins = append(slices.Clone(c.pins[first:]), c.pins[:first]...)
	}
	if !c.rises() {
		c.lane = nil
	}
}

// placesOn gives the places of stones along a lane, if they all stand on it.
func (s *site) placesOn(l *lane, ids []int) ([]float64, bool) {
	out := make([]float64, len(ids))
	for i, id := range ids {
		hit := l.find.Nearest(s.pieces[id].at)
		if hit.Dist > laneEase {
			return nil, false
		}
		out[i] = l.length[hit.Edge] + hit.T*(l.length[hit.Edge+1]-l.length[hit.Edge])
	}
	return out, true
}

// falls says whether more steps go back along the lane than on.
func (c *stretchOfRow) falls() bool {
	back := 0
	for i := 1; i < len(c.places); i++ {
		step := c.places[i] - c.places[i-1]
		if c.lane.closed {
			step = wrap(step, c.lane.total())
			if step > c.lane.total()/2 {
				step -= c.lane.total()
			}
		}
		if step < 0 {
			back++
		} else {
			back--
		}
	}
	return back > 0
}

// rises lets places run past the end of a closed lane, so that each lies past the
// one before, and says whether that holds, within one turn of it.
func (c *stretchOfRow) rises() bool {
	total := c.lane.total()
	for i := 1; i < len(c.places); i++ {
		if c.places[i] <= c.places[i-1] && c.lane.closed {
			c.places[i] += total
		}
		if c.places[i] <= c.places[i-1] {
			return false
		}
	}
	return !c.lane.closed || c.places[len(c.places)-1] < c.places[0]+total
}

// findPins marks the stones that stand on corners of the lane.
func (c *stretchOfRow) findPins(pitch float64) {
	total := c.lane.total()
	for i, v := range c.places {
		for _, corner := range c.lane.corners {
			d := math.Abs(v - corner)
			if c.lane.closed {
				d = math.Min(wrap(v-corner, total), wrap(corner-v, total))
			}
			c.pins[i] = c.pins[i] || d < laneStep*pitch
		}
	}
}
