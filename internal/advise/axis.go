package advise

import (
	"cmp"
	"math"
	"slices"

	"brushfall/internal/geom"
)

// sample is a place on a centre line with the distance to the outline and the
// length of centre line that it stands for, in mm.
type sample struct {
	geom.Point
	radius, length float64
}

// stretch is a part of a centre line that counts as a stroke, or, between
// outlines, as a gap.
type stretch []sample

// narrowest gives the place of the sample of least radius, the first of several.
func (s stretch) narrowest() int {
	least := 0
	for i, v := range s {
		if v.radius < s[least].radius {
			least = i
		}
	}
	return least
}

// finer is into how many steps the way to the next sample is cut to find the
// narrowest place.
const finer = 16

// width gives the width of the narrowest place of a stretch and where it is: the
// sample of least radius, or a place between it and its neighbours.
func (s stretch) width(outline *geom.Boundary) (float64, geom.Point) {
	i := s.narrowest()
	at := s[i].Point
	least := across(outline, at)
	for _, j := range []int{i - 1, i + 1} {
		if j < 0 || j >= len(s) {
			continue
		}
		for k := 1; k < finer; k++ {
			p := s[i].Lerp(s[j].Point, float64(k)/finer)
			if w := across(outline, p); w < least {
				least, at = w, p
			}
		}
	}
	return least, at
}

// across gives the width at a place: from the nearest place of the outline to
// the one opposite, so that it may lie a little off the middle; then the same from
// the middle of the two, as often as that is less. Where nothing is opposite it
// is twice the distance.
func across(outline *geom.Boundary, p geom.Point) float64 {
	least := 2 * outline.Nearest(p).Dist
	for i := 0; i < centring; i++ {
		a := outline.Nearest(p).Point
		b := outline.Nearest(p.Mul(2).Sub(a)).Point
		near, far := a.Sub(p), b.Sub(p)
		if near.Dot(far) >= opposite*near.Len()*far.Len() || i > 0 && a.Dist(b) >= least {
			break
		}
		least, p = a.Dist(b), a.Lerp(b, 0.5)
	}
	return least
}

// centring is how often the middle is sought anew.
const centring = 5

// opposite is the cosine of the least angle between two places of the outline
// that are opposite each other: 154°.
const opposite = -0.9

// How pointed ends are told from strokes.
const (
	// leastTaper is how fast the distance to the outline must grow along a centre
	// line for its end to be pointed: a wedge of about 1°.
	leastTaper = 0.01
	// intoBody and slender tell where a tapering stroke runs into a wider shape:
	// the distance grows fast after it has grown slowly.
	intoBody = 0.5
	slender  = 0.25
	// longTaper is the length, in widths of its base, from which a taper is a
	// stroke of its own, counted by its middle: a wedge of 14°.
	longTaper = 4
	// leastWindow is the least length, in mm, over which growth is judged: below it
	// the sampling of centre lines shows.
	leastWindow = 0.2
	// windowShare is the same as a share of the length of the centre line.
	windowShare = 0.02
)

// taper is a pointed end of a centre line: its samples, from the point inwards.
type taper stretch

// axis is a centre line cut into strokes and pointed ends.
type axis struct {
	strokes []stretch
	tapers  []taper
	widest  float64 // largest distance to the outline
	dot     bool    // the centre line is one place
}

// newAxis cuts the centre line of an area. An area that only tapers has no width
// of its own: it counts by its wider half. Where two parts of it touch in a point
// the centre line is cut: that is no stroke.
func newAxis(s geom.Shape, opt geom.CentreOptions) axis {
	sk := geom.CentreLine(s, opt)
	a := axis{dot: len(sk.Nodes) == 1 && len(sk.Arcs) == 0}
	for _, n := range sk.Nodes {
		a.widest = math.Max(a.widest, n.Radius)
		if len(n.Arcs) == 0 {
			a.strokes = append(a.strokes, stretch{{Point: n.Point, radius: n.Radius}})
		}
	}
	var all stretch
	for _, arc := range sk.Arcs {
		line := samples(arc)
		all = append(all, line...)
		first := 0 // of what has no pinch
		for i, s := range line {
			if 2*s.radius < touching {
				a.add(line[first:i], [2]bool{first > 0 || sk.Nodes[arc.From].End, true})
				first = i + 1
			}
		}
		a.add(line[first:], [2]bool{first > 0 || sk.Nodes[arc.From].End, sk.Nodes[arc.To].End})
	}
	for _, s := range all {
		a.widest = math.Max(a.widest, s.radius)
	}
	if len(a.strokes) == 0 && len(all) > 0 {
		a.strokes = []stretch{upperHalf(all)}
	}
	return a
}

// add cuts a line into what it has of strokes and pointed ends; ends tells which of
// its ends are ends of the area.
func (a *axis) add(line []sample, ends [2]bool) {
	from, to := 0, len(line)
	if ends[0] {
		from = pointed(line)
		a.addTaper(line[:from])
	}
	if ends[1] {
		back := slices.Clone(line)
		slices.Reverse(back)
		n := pointed(back)
		to -= n
		a.addTaper(back[:n])
	}
	blunt := [2]bool{from == 0 && ends[0], to == len(line) && ends[1]}
	if from < to {
		a.strokes = append(a.strokes, withoutEnds(line[from:to], blunt))
	}
}

// endShare is the share of its radius that a centre line is trusted to reach into
// a blunt end: there it forks into the corners, and the end is nearer than the sides.
const endShare = 0.3

// withoutEnds leaves out the last samples before blunt ends, but for the middle one.
func withoutEnds(line []sample, blunt [2]bool) stretch {
	from, to := 0, len(line)
	for way := 0.0; blunt[0] && from < len(line)/2 && way < endShare*line[from].radius; from++ {
		way += line[from].length
	}
	for way := 0.0; blunt[1] && to-1 > len(line)/2 && way < endShare*line[to-1].radius; to-- {
		way += line[to-1].length
	}
	return line[from:to]
}

// addTaper keeps a pointed end, if there is one, and its inner half as a stroke
// where it is long.
func (a *axis) addTaper(t []sample) {
	if len(t) == 0 {
		return
	}
	a.tapers = append(a.tapers, t)
	if long := lengthOf(t); long > longTaper*2*t[len(t)-1].radius {
		way := 0.0
		for i, s := range t {
			if way += s.length; way >= long/2 {
				a.strokes = append(a.strokes, t[i:])
				return
			}
		}
	}
}

func lengthOf(s []sample) float64 {
	sum := 0.0
	for _, v := range s {
		sum += v.length
	}
	return sum
}

// samples gives the points of an arc, each with half of the way to its neighbours.
func samples(arc geom.SkeletonArc) []sample {
	out := make([]sample, len(arc.Points))
	for i, p := range arc.Points {
		out[i].Point, out[i].radius = p, arc.Radii[i]
		if i > 0 {
			half := p.Dist(arc.Points[i-1]) / 2
			out[i-1].length += half
			out[i].length += half
		}
	}
	return out
}

// bluntShare is the share of the base's width from which an end that tapers is
// not pointed but a stroke that swells.
const bluntShare = 0.5

// pointed gives how many samples from the start of a line belong to a pointed end.
func pointed(line []sample) int {
	n := tapering(line)
	if n > 0 && line[0].radius > bluntShare*line[n-1].radius {
		return 0
	}
	return n
}

// tapering counts the samples from the start of a line for as long as the
// distance to the outline grows, up to where it runs into something wider.
func tapering(line []sample) int {
	whole := lengthOf(line)
	way := 0.0
	for i := range line {
		window := math.Max(leastWindow, math.Max(line[i].radius, windowShare*whole))
		j, ahead := i, 0.0
		for j+1 < len(line) && ahead < window {
			ahead += line[j].Dist(line[j+1].Point)
			j++
		}
		if j == i {
			return len(line)
		}
		growth := (line[j].radius - line[i].radius) / ahead
		mean := 0.0
		if way > 0 {
			mean = (line[i].radius - line[0].radius) / way
		}
		if growth < leastTaper || way > 0 && growth > intoBody && mean < slender {
			return i
		}
		way += line[i].Dist(line[i+1].Point)
	}
	return len(line)
}

// upperHalf gives the wider half of the samples, by length.
func upperHalf(all stretch) stretch {
	all = slices.Clone(all)
	slices.SortStableFunc(all, func(a, b sample) int { return cmp.Compare(b.radius, a.radius) })
	half, way := lengthOf(all)/2, 0.0
	for i, s := range all {
		if way += s.length; way >= half {
			return all[:i+1]
		}
	}
	return all
}
