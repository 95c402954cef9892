package inspect

import (
	"fmt"
	"math"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// notchHalf is half the width of the notch where it opens in the top edge, in mm,
// as docs/formats/layout.md gives it.
const notchHalf = 2.0

// strokes is one group of what is cut into a plate beside its holes.
type strokes struct {
	name  string
	lines []geom.Line
}

// strokesOf gives nicks, register marks, letters and notch of a plate. A line
// with a point that is nowhere is told and left out.
func (m *model) strokesOf(p design.Plate) []strokes {
	var nicks [][][2]float64
	for _, n := range p.Nicks {
		nicks = append(nicks, [][2]float64{{n[0], n[1]}, {n[2], n[3]}})
	}
	var notch [][][2]float64
	if tip, top := p.Notch, p.Frame[1]; tip[1] < (top+p.Frame[3])/2 { // one elsewhere is told by its own rule
		notch = [][][2]float64{{{tip[0] - notchHalf, top}, tip, {tip[0] + notchHalf, top}}}
	}
	var out []strokes
	for _, g := range []struct {
		name  string
		lines [][][2]float64
	}{{"nick", nicks}, {"register mark", p.Register}, {"letter", p.Letters}, {"notch", notch}} {
		s := strokes{name: g.name}
		for _, l := range g.lines {
			line := make(geom.Line, len(l))
			sound := len(l) > 1
			for i, q := range l {
				line[i] = geom.Point{X: q[0], Y: q[1]}
				sound = sound && place(q[0], q[1])
			}
			if !sound {
				m.addValue("", NoStone, float64(len(l)), "a %s of plate %d is no line of points on the plane", g.name, p.Number)
				continue
			}
			s.lines = append(s.lines, line)
		}
		out = append(out, s)
	}
	return out
}

// checkStrokes holds nicks, register marks and letters clear of the holes by the
// web, inside the frame, and clear of each other and of the notch.
func (m *model) checkStrokes() {
	for i, p := range m.doc.Plates {
		groups := m.strokesOf(p)
		for k, g := range groups {
			m.checkApart(p, g, groups[k+1:])
			if g.name != "notch" {
				m.checkInFrame(p, g)
			}
			m.checkClear(p, g)
		}
		if first := m.doc.Plates[0]; i > 0 && !sameLines(p.Register, first.Register) {
			m.add(Finding{ID: Register, Stone: NoStone, X: p.Frame[0], Y: p.Frame[1], Message: fmt.Sprintf("the register marks of plate %d are not those of plate %d", p.Number, first.Number)})
		}
	}
}

// checkInFrame finds strokes that reach out of the frame.
func (m *model) checkInFrame(p design.Plate, g strokes) {
	for _, l := range g.lines {
		b := geom.Bounds(l)
		edge := min(b.MinX-p.Frame[0], b.MinY-p.Frame[1], p.Frame[2]-b.MaxX, p.Frame[3]-b.MaxY)
		if edge < 0 {
			m.add(Finding{ID: Mark, Stone: NoStone, X: b.MinX, Y: b.MinY, Value: edge, Message: fmt.Sprintf("a %s of plate %d reaches %.3f mm out of its frame", g.name, p.Number, -edge)})
		}
	}
}

// checkClear finds strokes with too little flock between them and a hole.
func (m *model) checkClear(p design.Plate, g strokes) {
	var holes []design.Hole
	for _, h := range p.Holes {
		if place(h.X, h.Y) && length(h.D) {
			holes = append(holes, h)
		}
	}
	near, widest := indexHoles(holes)
	for _, l := range g.lines {
		for i, a := range l[1:] {
			b := l[i]
			near.Each(a.Lerp(b, 0.5), a.Dist(b)/2+widest/2+m.doc.Web, func(k int, q geom.Point) bool {
				if web := toSegment(q, a, b) - holes[k].D/2; web < m.doc.Web-GapTolerance {
					m.add(Finding{ID: Mark, Stone: NoStone, X: q.X, Y: q.Y, Value: web, Limit: m.doc.Web, Message: fmt.Sprintf("a hole of plate %d is %.3f mm from a %s, less than %.3f mm", p.Number, web, g.name, m.doc.Web)})
				}
				return true
			})
		}
	}
}

// checkApart finds strokes of two groups that come too near to each other: less
// than the web, or than the usual web where that of the design is wider.
func (m *model) checkApart(p design.Plate, g strokes, others []strokes) {
	limit := math.Min(m.doc.Web, catalogue.Web)
	for _, o := range others {
		least, at := math.Inf(1), geom.Point{}
		for _, l := range g.lines {
			for _, k := range o.lines {
				if !geom.Bounds(l).Grow(limit).Overlaps(geom.Bounds(k)) {
					continue
				}
				if d := lineDistance(l, k); d < least {
					least, at = d, l[0]
				}
			}
		}
		if least < limit-GapTolerance {
			m.add(Finding{ID: Mark, Stone: NoStone, X: at.X, Y: at.Y, Value: least, Limit: limit, Message: fmt.Sprintf("a %s of plate %d is %.3f mm from a %s, less than %.3f mm", g.name, p.Number, least, o.name, limit)})
		}
	}
}

// lineDistance gives the distance of two open lines, 0 where they cross.
func lineDistance(k, l geom.Line) float64 {
	least := math.Inf(1)
	for i, b := range k[1:] {
		a := k[i]
		for j, d := range l[1:] {
			c := l[j]
			if b.Sub(a).Cross(c.Sub(a))*b.Sub(a).Cross(d.Sub(a)) < 0 && d.Sub(c).Cross(a.Sub(c))*d.Sub(c).Cross(b.Sub(c)) < 0 {
				return 0
			}
			least = min(least, toSegment(a, c, d), toSegment(b, c, d), toSegment(c, a, b), toSegment(d, a, b))
		}
	}
	return least
}

// toSegment gives the distance of a point from a segment.
func toSegment(q, a, b geom.Point) float64 {
	d := b.Sub(a)
	if d.Len2() == 0 {
		return q.Dist(a)
	}
	return q.Dist(a.Lerp(b, math.Max(0, math.Min(1, q.Sub(a).Dot(d)/d.Len2()))))
}

// sameLines says whether two lists of lines are copies of each other.
func sameLines(a, b [][][2]float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if len(a[i]) != len(b[i]) {
			return false
		}
		for k := range a[i] {
			if apart(a[i][k][:], b[i][k][:]) > SameTolerance {
				return false
			}
		}
	}
	return true
}
