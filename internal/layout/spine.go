package layout

import (
	"math"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// How strokes too narrow for two rows are told from the rest, in pitches.
const (
	// skeletonStep is the distance of the samples along centre lines.
	skeletonStep = 0.12
	// bulge is the longest wide stretch, as at a joint of two strokes, that does
	// not break a spine; bulgeWidth how much wider than narrow it may be.
	bulge      = 1.2
	bulgeWidth = 0.3
	// leastSpine is the length below which a narrow stretch is left to the rim.
	leastSpine = 1.5
)

// taperReach is how far along a stroke, in depths, it may take to become wide
// enough for a whole stone: a point of 20° takes 5.7.
const taperReach = 6

// cornerSlope is how fast the width grows along a centre line that leads out of
// a corner of 60°: sin 30°. From there on the stones next to the corner, one on
// each arm, are a pitch apart, and the corner needs no spine.
const cornerSlope = 0.5

// spine is a part of the centre line where the region is too narrow for two
// rows. An end is pinned where the stroke ends or strokes join, free where the
// region widens into a rim.
type spine struct {
	track    track
	radii    []float64 // distance to the outline at the track's points
	pinned   [2]bool
	node     [2]int  // of the skeleton, −1 for a free end
	tip      [2]bool // of a stroke
	isClosed bool
}

// spines finds the narrow parts of the region. With all, every part counts as narrow.
func (s *site) spines(all bool) []spine {
	sk := s.made.centreLine(s.Shape, geom.CentreOptions{Step: skeletonStep * s.pitch, ExtendEnds: s.depth})
	limit := s.depth + s.pitch/2
	if all {
		limit = math.Inf(1)
	}
	var out []spine
	for _, arc := range sk.Arcs {
		out = append(out, s.narrowParts(sk, arc, limit)...)
	}
	return out
}

// narrowParts cuts an arc of the skeleton into its narrow parts.
func (s *site) narrowParts(sk geom.Skeleton, arc geom.SkeletonArc, limit float64) []spine {
	n := len(arc.Points)
	if n < 2 {
		return nil
	}
	narrow := make([]bool, n)
	for i, r := range arc.Radii {
		narrow[i] = r < limit
	}
	s.bridgeBulges(arc, narrow, limit)
	var out []spine
	for i := 0; i < n; {
		j := i
		for j < n && narrow[j] {
			j++
		}
		if j-i >= 2 {
			if sp, ok := s.newSpine(sk, arc, i, j); ok {
				out = append(out, sp)
			}
		}
		i = max(j, i+1)
	}
	return out
}

// bridgeBulges calls short wide stretches narrow.
func (s *site) bridgeBulges(arc geom.SkeletonArc, narrow []bool, limit float64) {
	n := len(narrow)
	for i := 0; i < n; i++ {
		if narrow[i] {
			continue
		}
		j, length, most := i, 0.0, arc.Radii[i]
		for j+1 < n && !narrow[j+1] {
			length += arc.Points[j].Dist(arc.Points[j+1])
			j++
			most = math.Max(most, arc.Radii[j])
		}
		room := bulge * s.pitch
		if i == 0 || j == n-1 { // half of it lies on the other arcs of the joint
			room /= 2
		}
		if length <= room && most <= limit+bulgeWidth*s.pitch && (i > 0 || j < n-1) {
			for k := i; k <= j; k++ {
				narrow[k] = true
			}
		}
		i = j
	}
}

// newSpine makes a spine of the arc's points from i to before j, unless it only
// leads into an ordinary corner or is too short to matter.
func (s *site) newSpine(sk geom.Skeleton, arc geom.SkeletonArc, i, j int) (spine, bool) {
	whole := i == 0 && j == len(arc.Points)
	sp := spine{node: [2]int{-1, -1}, isClosed: whole && arc.Closed}
	t := newTrack(arc.Points[i:j], false)
	if len(t.points) != j-i {
		return spine{}, false
	}
	sp.track, sp.radii = t, arc.Radii[i:j]
	if sp.isClosed {
		return sp, true
	}
	if i == 0 {
		sp.node[0], sp.pinned[0] = arc.From, true
	}
	if j == len(arc.Points) {
		sp.node[1], sp.pinned[1] = arc.To, true
	}
	sp.tip = [2]bool{sp.pinned[0] && sk.Nodes[arc.From].End, sp.pinned[1] && sk.Nodes[arc.To].End}
	rise := math.Abs(sp.radii[0]-sp.radii[len(sp.radii)-1]) / t.total()
	toEnd := sp.tip[0] || sp.tip[1]
	if !whole && toEnd && rise > cornerSlope {
		return spine{}, false
	}
	if !toEnd && !whole && t.total() < leastSpine*s.pitch {
		return spine{}, false
	}
	if sp.tip[0] {
		sp = sp.drawIn(s.depth)
	}
	if sp.tip[1] {
		sp = sp.reversed().drawIn(s.depth).reversed()
	}
	return sp, len(sp.track.points) >= 2
}

// drawIn moves the first end inwards until a whole stone has room there, or, in a
// stroke thinner than its stones, until the stroke's end is depth away.
func (sp spine) drawIn(depth float64) spine {
	first := sp.radii[0]
	tapers := false
	for i, r := range sp.radii {
		tapers = tapers || (r >= depth && sp.track.length[i] <= taperReach*depth)
	}
	for i, r := range sp.radii {
		if at := sp.track.length[i]; r >= depth || !tapers && at >= depth-first {
			if i == 0 {
				return sp
			}
			u := 1.0 // the share of the last step that is needed
			span := at - sp.track.length[i-1]
			if !tapers {
				u = math.Min(u, (depth-first-sp.track.length[i-1])/span)
			}
			if dr := r - sp.radii[i-1]; r >= depth && dr > 0 {
				u = math.Min(u, (depth-sp.radii[i-1])/dr)
			}
			u = math.Max(0, u)
			start := sp.track.points[i-1].Lerp(sp.track.points[i], u)
			radius := sp.radii[i-1] + u*(r-sp.radii[i-1])
			pts := append([]geom.Point{start}, sp.track.points[i:]...)
			radii := append([]float64{radius}, sp.radii[i:]...)
			if pts[0] == pts[1] {
				pts, radii = pts[1:], radii[1:]
			}
			sp.track, sp.radii = newTrack(pts, false), radii
			return sp
		}
	}
	return sp
}

// reversed gives the spine run the other way.
func (sp spine) reversed() spine {
	n := len(sp.radii)
	pts, radii := make([]geom.Point, n), make([]float64, n)
	for i := range n {
		pts[i], radii[i] = sp.track.points[n-1-i], sp.radii[n-1-i]
	}
	return spine{
		track: newTrack(pts, false), radii: radii, isClosed: sp.isClosed,
		pinned: [2]bool{sp.pinned[1], sp.pinned[0]}, node: [2]int{sp.node[1], sp.node[0]},
		tip: [2]bool{sp.tip[1], sp.tip[0]},
	}
}

// held answers which points of the rim's path the spines stand in for.
type held struct {
	index *geom.Index
	radii []float64 // of the circles of centres that touch the path
	reach float64
	pitch float64
}

func newHeld(spines []spine, depth, pitch float64) *held {
	h := &held{pitch: pitch}
	box := geom.EmptyBox()
	for _, sp := range spines {
		box = box.Join(geom.Bounds(sp.track.points))
	}
	h.index = geom.NewIndex(box, pitch)
	for _, sp := range spines {
		for i, p := range sp.track.points {
			h.add(p, sp.radii[i]-depth)
		}
		for e, i := range [2]int{0, len(sp.radii) - 1} {
			if sp.pinned[e] { // the corners of a square end belong to the end
				h.add(sp.track.points[i], math.Sqrt2*(sp.widestNear(e, pitch/2)-depth))
			}
		}
	}
	return h
}

// widestNear gives the largest radius within reach of an end.
func (sp spine) widestNear(end int, reach float64) float64 {
	most, total := 0.0, sp.track.total()
	for i, r := range sp.radii {
		at := sp.track.length[i]
		if end == 1 {
			at = total - at
		}
		if at <= reach {
			most = math.Max(most, r)
		}
	}
	return most
}

// add enters a circle of allowed centres.
func (h *held) add(c geom.Point, radius float64) {
	h.index.Insert(len(h.radii), c)
	h.radii = append(h.radii, radius)
	h.reach = math.Max(h.reach, radius)
}

// heldEase is how far, in pitches, a point may lie outside the circles of a
// spine and still belong to it: more than half a sample's distance.
const heldEase = 0.08

// touches says whether p, on the path, is touched by a circle of a spine.
func (h *held) touches(p geom.Point) bool {
	found := false
	h.index.Each(p, h.reach+heldEase*h.pitch, func(id int, c geom.Point) bool {
		found = p.Dist(c) <= h.radii[id]+heldEase*h.pitch
		return !found
	})
	return found
}

// setSpines sets the rows along the spines, clear of what is set already. Joints
// and ends get their stone first.
func (s *site) setSpines(spines []spine) {
	pinAt := map[int]geom.Point{}
	for _, sp := range spines {
		for e, at := range [2]geom.Point{sp.track.points[0], sp.track.points[len(sp.track.points)-1]} {
			if !sp.pinned[e] {
				continue
			}
			if _, known := pinAt[sp.node[e]]; known {
				continue
			}
			if p := round(at); s.clearOfOwn(p, -1) && s.clearOfOthers(p) {
				pinAt[sp.node[e]] = p
				s.put(p, design.RoleSpine)
			}
		}
	}
	for _, sp := range s.splitByHand(spines) {
		s.setSpine(sp)
	}
}

// setSpine sets one row between what stands at its ends.
func (s *site) setSpine(sp spine) {
	if !sp.isClosed {
		if !s.setWeave(sp) {
			s.setOpen(sp.track, sp.pinned, design.RoleSpine)
		}
		return
	}
	loop := newTrack(sp.track.points, true)
	begin, turns, ok := s.group.begin(loop)
	if ok {
		sp = sp.begun(begin)
		loop = newTrack(sp.track.points, true)
	}
	if !s.setWeave(sp) {
		s.putRow(loop.evenly(s.pitch+slack, turns), design.RoleSpine)
	}
}

// begun gives a closed spine that begins at a place along it.
func (sp spine) begun(place float64) spine {
	t := newTrack(sp.track.points, true)
	radii := append(slices.Clone(sp.radii), sp.radii[0])
	i := t.segment(place)
	u := (place - t.length[i]) / (t.length[i+1] - t.length[i])
	pts := []geom.Point{t.at(place)}
	out := []float64{radii[i] + u*(radii[i+1]-radii[i])}
	for k := range sp.radii {
		j := (i + 1 + k) % len(sp.radii)
		if pts[len(pts)-1] != t.points[j] && pts[0] != t.points[j] {
			pts, out = append(pts, t.points[j]), append(out, radii[j])
		}
	}
	sp.track, sp.radii = newTrack(pts, false), out
	return sp
}

// setOpen sets a row along an open track. A pinned end has its stone already, or
// was too near to another and then counts as free; a free end begins as near to
// what stands there as the pitch allows.
func (s *site) setOpen(t track, pinned [2]bool, role design.Role) {
	total := t.total()
	from, ok := s.firstClear(t, 0, total, pinned[0])
	if !ok {
		return
	}
	to, ok := s.firstClear(t, total, 0, pinned[1])
	if !ok || to <= from {
		if ok {
			s.putRow([]geom.Point{t.at((from + to) / 2)}, role)
		}
		return
	}
	free := [2]bool{!s.standsAt(round(t.at(from))), !s.standsAt(round(t.at(to)))}
	row := t.cut(from, to).drawnIn(s.pitch+slack, free).equalChords(s.pitch + slack)
	if row == nil {
		row = []geom.Point{t.at((from + to) / 2)}
	}
	s.putRow(row, role)
}

// firstClear gives the first place from one length towards another that is clear
// of all stones; a pinned end that holds its stone is itself the place.
func (s *site) firstClear(t track, from, to float64, pinned bool) (float64, bool) {
	if pinned && s.standsAt(round(t.at(from))) {
		return from, true
	}
	n := int(math.Abs(to-from)/(narrowStep*s.pitch)) + 1
	for i := range n + 1 {
		v := from + (to-from)*float64(i)/float64(n)
		if p := round(t.at(v)); s.clearOfOwn(p, -1) && s.clearOfOthers(p) {
			return v, true
		}
	}
	return 0, false
}

// standsAt says whether a stone stands exactly at p.
func (s *site) standsAt(p geom.Point) bool {
	_, d, ok := s.index.Nearest(p, s.pitch, -1)
	return ok && d < grid
}

// putRow sets those stones of a row that are clear of everything set before; a
// stone that stands already, as at a joint, is part of the row.
func (s *site) putRow(row []geom.Point, role design.Role) {
	var ids []int
	for _, p := range row {
		p = round(p)
		if id, d, ok := s.index.Nearest(p, s.pitch, -1); ok {
			if d < grid {
				ids = append(ids, id)
			}
			continue
		}
		if s.clearOfOthers(p) {
			ids = append(ids, s.put(p, role))
		}
	}
	s.rows = append(s.rows, ids)
}
