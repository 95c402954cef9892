package inspect

import (
	"fmt"
	"math"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// checkPlates finds plates of one number, stones on no plate, kinds that fall
// into each other's holes, and plates whose order does not brush them.
func (m *model) checkPlates() {
	held := map[int][]kindKey{}
	for _, p := range m.doc.Plates {
		if _, twice := held[p.Number]; twice {
			m.add(Finding{ID: Plate, Stone: NoStone, Value: float64(p.Number), Message: fmt.Sprintf("there are two plates of number %d", p.Number)})
		}
		held[p.Number] = nil
	}
	for _, s := range m.stones {
		kinds, ok := held[s.plate]
		if !ok {
			m.add(Finding{ID: Plate, Region: m.regions[s.region].ID, Stone: s.number, X: s.at.X, Y: s.at.Y, Value: float64(s.plate), Message: fmt.Sprintf("stone %d is on plate %d, which there is not", s.number, s.plate)})
		} else if !slices.Contains(kinds, s.kind) {
			held[s.plate] = append(kinds, s.kind)
		}
	}
	for _, p := range m.doc.Plates {
		m.checkFalls(p, held[p.Number])
		m.checkOrder(p, held[p.Number])
	}
}

// checkFalls finds two kinds of a plate of which the larger stone, at its
// smallest, enters the smaller stone's hole. Brushed first it would fill it;
// the smaller stone never meets an open larger hole, which is filled by then.
func (m *model) checkFalls(p design.Plate, kinds []kindKey) {
	for i, a := range kinds {
		for _, b := range kinds[i+1:] {
			large, small := a, b
			if m.diameter(b) > m.diameter(a) {
				large, small = b, a
			}
			width, hole := m.smallest(large), m.kinds[small].Hole
			if hole > 0 && width <= hole {
				m.add(Finding{ID: Falls, Stone: NoStone, Value: width, Limit: hole, Message: fmt.Sprintf("on plate %d, %s (from %g mm) falls into the holes of %s (%g mm); they need two plates", p.Number, large, width, small, hole)})
			}
		}
	}
}

// checkOrder holds the order of brushing to the kinds on the plate, largest first.
func (m *model) checkOrder(p design.Plate, kinds []kindKey) {
	names := map[string]kindKey{}
	for _, k := range kinds {
		names[k.String()] = k
		if n := count(p.Order, k.String()); n != 1 {
			m.add(Finding{ID: Order, Stone: NoStone, Value: float64(n), Limit: 1, Message: fmt.Sprintf("plate %d holds %s, which its order names %d times", p.Number, k, n)})
		}
	}
	last := math.Inf(1)
	for _, name := range p.Order {
		k, ok := names[name]
		if !ok {
			m.add(Finding{ID: Order, Stone: NoStone, Message: fmt.Sprintf("plate %d brushes %s, of which it has no stone", p.Number, name)})
			continue
		}
		d := m.diameter(k)
		if d > last {
			m.add(Finding{ID: Order, Stone: NoStone, Value: d, Limit: last, Message: fmt.Sprintf("plate %d brushes %s after a smaller stone; the largest come first", p.Number, name)})
		}
		last = d
	}
}

func count(list []string, s string) int {
	n := 0
	for _, v := range list {
		if v == s {
			n++
		}
	}
	return n
}

// checkHoles holds the holes of each plate to its stones, to each other and to
// the frame.
func (m *model) checkHoles() {
	for _, p := range m.doc.Plates {
		var holes []design.Hole
		for i, h := range p.Holes {
			if !place(h.X, h.Y) || !length(h.D) {
				m.addValue("", NoStone, h.D, "hole %d of plate %d has no place or width", i, p.Number)
				continue
			}
			holes = append(holes, h)
		}
		near, widest := indexHoles(holes)
		m.matchHoles(p, holes, near)
		m.checkWeb(p, holes, near, widest)
		m.checkBorder(p, holes)
	}
}

func indexHoles(holes []design.Hole) (near *geom.Index, widest float64) {
	box := geom.EmptyBox()
	for _, h := range holes {
		box = box.Extend(geom.Point{X: h.X, Y: h.Y})
		widest = math.Max(widest, h.D)
	}
	near = geom.NewIndex(box, math.Max(widest, 1))
	for i, h := range holes {
		near.Insert(i, geom.Point{X: h.X, Y: h.Y})
	}
	return near, widest
}

// matchHoles pairs stones with holes: each has exactly one of the other, at
// its place, of its width.
func (m *model) matchHoles(p design.Plate, holes []design.Hole, near *geom.Index) {
	taken := make([]int, len(holes))
	for _, s := range m.stones {
		if s.plate != p.Number {
			continue
		}
		f := Finding{ID: Hole, Region: m.regions[s.region].ID, Stone: s.number, X: s.at.X, Y: s.at.Y}
		found := 0
		near.Each(s.at, HoleTolerance, func(i int, _ geom.Point) bool {
			found++
			taken[i]++
			want := m.kinds[s.kind].Hole
			if want > 0 && math.Abs(holes[i].D-want) > HoleTolerance {
				f.Value, f.Limit = holes[i].D, want
				f.Message = fmt.Sprintf("the hole of stone %d on plate %d is %.3f mm wide, not %.3f mm", s.number, p.Number, f.Value, want)
				m.add(f)
			}
			return true
		})
		if found != 1 {
			f.Value, f.Limit = float64(found), 1
			f.Message = fmt.Sprintf("stone %d has %d holes on plate %d, not one", s.number, found, p.Number)
			m.add(f)
		}
	}
	for i, n := range taken {
		if n != 1 {
			m.add(Finding{ID: Hole, Stone: NoStone, X: holes[i].X, Y: holes[i].Y, Value: float64(n), Limit: 1, Message: fmt.Sprintf("a hole of plate %d belongs to %d stones, not one", p.Number, n)})
		}
	}
}

// checkWeb finds holes with too little flock between them.
func (m *model) checkWeb(p design.Plate, holes []design.Hole, near *geom.Index, widest float64) {
	for i, h := range holes {
		at := geom.Point{X: h.X, Y: h.Y}
		near.Each(at, widest+m.doc.Web, func(j int, q geom.Point) bool {
			if web := at.Dist(q) - (h.D+holes[j].D)/2; j > i && web < m.doc.Web-GapTolerance {
				m.add(Finding{ID: Web, Stone: NoStone, X: h.X, Y: h.Y, Value: web, Limit: m.doc.Web, Message: fmt.Sprintf("two holes of plate %d leave %.3f mm of flock, less than %.3f mm", p.Number, web, m.doc.Web)})
			}
			return true
		})
	}
}

// checkBorder finds holes too near to the frame, or outside of it.
func (m *model) checkBorder(p design.Plate, holes []design.Hole) {
	for _, h := range holes {
		edge := math.Min(math.Min(h.X-p.Frame[0], p.Frame[2]-h.X), math.Min(h.Y-p.Frame[1], p.Frame[3]-h.Y)) - h.D/2
		if !(edge >= m.doc.Border-GapTolerance) {
			m.add(Finding{ID: Border, Stone: NoStone, X: h.X, Y: h.Y, Value: edge, Limit: m.doc.Border, Message: fmt.Sprintf("a hole of plate %d is %.3f mm from its frame, less than %.3f mm", p.Number, edge, m.doc.Border)})
		}
	}
}

// checkFrames holds all plates to one frame and one notch, and each to the
// nicks that number it.
func (m *model) checkFrames() {
	for i, p := range m.doc.Plates {
		first := m.doc.Plates[0]
		f := Finding{Stone: NoStone, X: p.Frame[0], Y: p.Frame[1]}
		if !length(p.Frame[2]-p.Frame[0]) || !length(p.Frame[3]-p.Frame[1]) || !place(p.Frame[0], p.Frame[1]) {
			f.ID, f.Message = Frame, fmt.Sprintf("the frame of plate %d holds no area", p.Number)
			f.X, f.Y = 0, 0
			m.add(f)
			continue
		}
		if d := apart(p.Frame[:], first.Frame[:]); i > 0 && d > SameTolerance {
			f.ID, f.Value, f.Limit = Frame, d, SameTolerance
			f.Message = fmt.Sprintf("the frame of plate %d differs from that of plate %d by %g mm", p.Number, first.Number, d)
			m.add(f)
		}
		if d := apart(p.Notch[:], first.Notch[:]); i > 0 && d > SameTolerance {
			f.ID, f.Value, f.Limit = Notch, d, SameTolerance
			f.Message = fmt.Sprintf("the notch of plate %d is %g mm from that of plate %d", p.Number, d, first.Number)
			m.add(f)
		}
		m.checkMarks(p)
	}
}

// checkMarks looks for the notch at the frame's top edge and for as many nicks
// as the plate's number.
func (m *model) checkMarks(p design.Plate) {
	x, y := p.Notch[0], p.Notch[1]
	middle := (p.Frame[1] + p.Frame[3]) / 2
	if !(x > p.Frame[0] && x < p.Frame[2] && y >= p.Frame[1]-SameTolerance && y < middle) {
		m.add(Finding{ID: Notch, Stone: NoStone, X: p.Frame[0], Y: p.Frame[1], Message: fmt.Sprintf("the notch of plate %d is not at the top edge of its frame", p.Number)})
	}
	if len(p.Nicks) != p.Number {
		m.add(Finding{ID: Nick, Stone: NoStone, X: p.Frame[0], Y: p.Frame[1], Value: float64(len(p.Nicks)), Limit: float64(p.Number), Message: fmt.Sprintf("plate %d has %d nicks", p.Number, len(p.Nicks))})
	}
}

// apart gives the largest difference of two lists; infinite if one is no number.
func apart(a, b []float64) float64 {
	worst := 0.0
	for i := range a {
		d := math.Abs(a[i] - b[i])
		if math.IsNaN(d) {
			return largestLength
		}
		worst = math.Max(worst, math.Min(d, largestLength))
	}
	return worst
}
