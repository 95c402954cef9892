package geom

import "math"

// Hit is the place of an outline nearest to a point.
type Hit struct {
	Ring, Edge int     // edge i runs from point i of the ring (or line) to the next
	T          float64 // the place on the edge, 0 at its start, 1 at its end
	Dist       float64 // mm, never negative; +Inf if there is no outline at all
	Point      Point
}

// side is one edge of an outline.
type side struct {
	a, b       Point
	ring, edge int32
}

// Boundary answers how far points are from an outline, and on which side, by a
// uniform grid over its edges. It is not changed by questions, so many may ask at once.
type Boundary struct {
	sides      []side
	closed     bool
	box        Box
	cell       float64
	cols, rows int
	first      []int32 // where the edges of a cell start in listed
	listed     []int32
	clear      []int32 // steps from each cell to the nearest one with edges
	bands      bands
}

// NewBoundary indexes the outline of a normalised shape.
func NewBoundary(s Shape) *Boundary {
	b := &Boundary{closed: true}
	for i, r := range s.Rings {
		for k, p := range r {
			b.sides = append(b.sides, side{p, r[(k+1)%len(r)], int32(i), int32(k)})
		}
	}
	b.index()
	b.bands = newBands(b.sides)
	return b
}

// NewLineBoundary indexes open lines. They have no inside: Inside is false and
// Depth is never positive. A line of one point counts as that point.
func NewLineBoundary(lines []Line) *Boundary {
	b := &Boundary{}
	for i, l := range lines {
		if len(l) == 1 {
			b.sides = append(b.sides, side{l[0], l[0], int32(i), 0})
		}
		for k := 1; k < len(l); k++ {
			b.sides = append(b.sides, side{l[k-1], l[k], int32(i), int32(k - 1)})
		}
	}
	b.index()
	return b
}

const (
	// cellsPerSide is the number of grid cells for each edge: an outline passes few
	// of the cells of its box, and a finer grid has fewer edges to try in each.
	cellsPerSide = 4
	// mostCells bounds the memory of a grid (about 12 bytes a cell).
	mostCells = 1 << 20
)

func (b *Boundary) index() {
	b.box = EmptyBox()
	kept := b.sides[:0]
	for _, s := range b.sides {
		if finiteIn(s.a) && finiteIn(s.b) {
			kept = append(kept, s)
			b.box = b.box.Extend(s.a).Extend(s.b)
		}
	}
	b.sides = kept
	if len(b.sides) == 0 {
		return
	}
	w, h := b.box.Width(), b.box.Height()
	n := float64(min(cellsPerSide*len(b.sides)+16, mostCells))
	// Few cells across for a flat box, yet no more than n in all.
	b.cell = max(math.Sqrt(w*h/n), max(w, h)/n*2)
	if !(b.cell > 0) {
		b.cell = 1
	}
	b.cols, b.rows = int(w/b.cell)+1, int(h/b.cell)+1
	b.fillCells()
	b.fillClear()
}

// finiteIn says whether the point can be indexed.
func finiteIn(p Point) bool { return math.Abs(p.X) <= farthest && math.Abs(p.Y) <= farthest }

func (b *Boundary) col(x float64) int {
	return min(max(int((x-b.box.MinX)/b.cell), 0), b.cols-1)
}

func (b *Boundary) row(y float64) int {
	return min(max(int((y-b.box.MinY)/b.cell), 0), b.rows-1)
}

// Nearest gives the exactly nearest place of the outline, at any distance. Without
// an outline, or for a NaN point, Dist is +Inf and Ring −1.
func (b *Boundary) Nearest(p Point) Hit {
	i, d2 := b.search(p, math.Inf(1), false)
	if i < 0 {
		return Hit{Ring: -1, Edge: -1, Dist: math.Inf(1)}
	}
	s := b.sides[i]
	t := s.share(p)
	return Hit{int(s.ring), int(s.edge), t, math.Sqrt(d2), s.a.Lerp(s.b, t)}
}

// Within says whether the outline comes nearer to p than r.
func (b *Boundary) Within(p Point, r float64) bool {
	i, _ := b.search(p, r, true)
	return i >= 0
}

// Inside says whether p lies in the area. On the outline itself either may be said.
func (b *Boundary) Inside(p Point) bool { return b.bands.winding(p) != 0 }

// Depth gives the distance to the outline: positive inside, negative outside,
// −Inf for an empty area.
func (b *Boundary) Depth(p Point) float64 {
	i, d2 := b.search(p, math.Inf(1), false)
	if i >= 0 && b.Inside(p) {
		return math.Sqrt(d2)
	}
	if i < 0 {
		return math.Inf(-1)
	}
	return -math.Sqrt(d2)
}

// share gives the place of the edge nearest to p, from 0 to 1.
func (s *side) share(p Point) float64 {
	d := s.b.Sub(s.a)
	l := d.Len2()
	if l == 0 {
		return 0
	}
	return max(0, min(1, p.Sub(s.a).Dot(d)/l))
}

// dist2 gives the squared distance from p.
func (s *side) dist2(p Point) float64 {
	return p.Dist2(s.a.Lerp(s.b, s.share(p)))
}
