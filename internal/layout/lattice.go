package layout

import (
	"cmp"
	"math"
	"slices"

	"brushfall/internal/geom"
)

// lattice is a honeycomb: rows along the direction of angle, a pitch between
// stones, the origin on one of them.
type lattice struct {
	angle  float64
	origin geom.Point
	pitch  float64
	count  int
}

// lattices compares honeycombs by how many of their points lie clear of the
// rows, best first, the first tried among equals.
func (s *site) lattices() []lattice {
	core := s.path
	if len(s.pieces) > 0 {
		core = s.made.inset(coarse(s.path, seamCoarse*s.pitch), seamCount*s.pitch, 10*insetTol)
	}
	if core.Empty() {
		core = s.allowed
	}
	// Turns and shifts start from the region's own side and middle, so that its
	// place and turn on the page change nothing.
	first, middle := mainDirection(s.path, s.pitch), centroid(s.path)
	if s.group != nil {
		middle = s.group.centre
		if axes := s.group.axes; len(axes) > 0 {
			first = axes[0]
		}
	}
	var all []lattice
	for i := range combAngles {
		all = append(all, s.latticesAt(core, first+math.Pi/3*float64(i)/combAngles, middle)...)
	}
	if s.group != nil {
		all = s.group.kept(all)
	}
	slices.SortStableFunc(all, func(a, b lattice) int { return cmp.Compare(b.count, a.count) })
	return varied(all)
}

// coarse gives a shape with fewer points, none farther off than tol.
func coarse(s geom.Shape, tol float64) geom.Shape {
	rings := make([]geom.Ring, len(s.Rings))
	for i, r := range s.Rings {
		rings[i] = geom.SimplifyRing(r, tol)
	}
	return geom.Fill(rings, geom.EvenOdd)
}

// varied puts the best lattice of each angle before the second of any: much the
// same lattices lead to much the same beds.
func varied(all []lattice) []lattice {
	rank := map[float64]int{}
	turn := make(map[lattice]int, len(all))
	for _, l := range all {
		turn[l] = rank[l.angle]
		rank[l.angle]++
	}
	slices.SortStableFunc(all, func(a, b lattice) int { return cmp.Compare(turn[a], turn[b]) })
	return all
}

// latticesAt counts the honeycombs of one angle, the best shift along the rows
// for each shift across from the middle.
func (s *site) latticesAt(core geom.Shape, angle float64, middle geom.Point) []lattice {
	p := s.pitch + slack
	h := p * math.Sqrt(3) / 2
	turned := core.Transform(geom.Rotate(-angle))
	o := geom.Rotate(-angle).Apply(middle)
	var out []lattice
	for shift := range combShifts {
		y0 := o.Y + h*float64(shift)/combShifts
		rows := crossings(turned, y0, h)
		best := lattice{count: -1}
		for along := range combAlong {
			x0 := o.X + p*float64(along)/combAlong
			n := 0
			for _, r := range rows {
				n += r.count(x0, p)
			}
			l := lattice{angle, geom.Rotate(angle).Apply(geom.Point{X: x0, Y: y0}), p, n}
			if s.group != nil { // which of them the symmetry keeps is seen later
				out = append(out, l)
			} else if n > best.count {
				best = l
			}
		}
		if s.group == nil {
			out = append(out, best)
		}
	}
	return out
}

// scanRow is a row of a lattice: its number and where it crosses the area's border.
type scanRow struct {
	k  int
	xs []float64
}

// count gives the number of lattice points of the row inside the area.
func (r scanRow) count(x0, pitch float64) int {
	if r.k&1 != 0 {
		x0 += pitch / 2
	}
	n := 0
	for i := 0; i+1 < len(r.xs); i += 2 {
		n += int(math.Floor((r.xs[i+1]-x0)/pitch)) - int(math.Ceil((r.xs[i]-x0)/pitch)) + 1
	}
	return n
}

// crossings cuts a shape by the lines y = y0 + k·h.
func crossings(shape geom.Shape, y0, h float64) []scanRow {
	box := shape.Bounds()
	first := int(math.Ceil((box.MinY - y0) / h))
	last := int(math.Floor((box.MaxY - y0) / h))
	if last < first {
		return nil
	}
	rows := make([]scanRow, last-first+1)
	for i := range rows {
		rows[i].k = first + i
	}
	for _, ring := range shape.Rings {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if a.Y > b.Y {
				a, b = b, a
			}
			// Half-open in y, so that a vertex on the line counts once.
			for k := int(math.Ceil((a.Y - y0) / h)); y0+float64(k)*h < b.Y; k++ {
				if k < first || k > last {
					continue
				}
				u := (y0 + float64(k)*h - a.Y) / (b.Y - a.Y)
				rows[k-first].xs = append(rows[k-first].xs, a.X+u*(b.X-a.X))
			}
		}
	}
	for i := range rows {
		slices.Sort(rows[i].xs)
	}
	return rows
}
