package inspect

import (
	"math"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Report says how good a layout is: a row for each region in the design's
// order, and one for the whole. docs/measures.md explains the figures.
type Report struct {
	Rows  []Row `json:"regions"`
	Total Row   `json:"total"`
}

// Row holds the measures of a region. A figure that has no meaning for it, as
// fullness has none for a line, is nil. Lengths are mm, shares 0 to 1.
type Row struct {
	Region      string       `json:"region"`
	Stones      int          `json:"stones"`
	Broken      int          `json:"m1_broken"`         // broken rules: must be 0
	Evenness    *float64     `json:"m2_evenness"`       // worst run's largest ÷ smallest centre distance
	Spacing     *float64     `json:"m2_spacing"`        // mean centre distance along runs ÷ pitch
	Truth       *float64     `json:"m3_truth"`          // largest departure of a rim from its distance to the outline
	Corners     *float64     `json:"m4_corners"`        // share of corners that hold a stone
	CornerCount int          `json:"m4_count"`          // corners there are
	CornersMost int          `json:"m4_most"`           // no more than these can hold a stone at once
	Fullness    *float64     `json:"m5_fullness"`       // stones ÷ Bound
	Filling     int          `json:"m5_stones"`         // stones that count for it
	Bound       *float64     `json:"m5_bound"`          // what no packing can exceed
	Room        *int         `json:"m6_room"`           // places for one more stone: must be 0
	HoleMost    *float64     `json:"m7_largest"`        // largest hole between stones; a honeycomb has 1
	Hole95      *float64     `json:"m7_p95"`            // 95th percentile of the same
	Symmetry    *float64     `json:"m8_symmetry"`       // best kept of the artwork's symmetries: largest miss
	SymmetryAll *float64     `json:"m8_symmetry_worst"` // worst kept of them
	Symmetries  int          `json:"m8_count"`          // mirror axes and turns found, at most 23
	Order       *float64     `json:"m9_order"`          // share of inner bed stones with six neighbours
	OrderCount  int          `json:"m9_count"`          // inner bed stones
	Reads       *float64     `json:"m10_reads"`         // intersection ÷ union of artwork and stones, blurred
	Runs        []Run        `json:"-"`                 // what Evenness is the worst of
	Missed      []geom.Point `json:"-"`                 // the corners that hold none
	common      overlap      // of the pictures behind Reads
	distances   []float64
	holes       []float64
	ordered     int
	held        int
}

// Run is the part of a rim or spine between two corners or ends, or a whole loop,
// whose first stone counts twice.
type Run struct {
	Stones   int
	Evenness float64 // largest ÷ smallest centre distance of neighbours
	Spacing  float64 // mean centre distance ÷ pitch
	Role     design.Role
	Pinned   [2]bool      // whether the first and the last stone hold a corner
	Places   []geom.Point // the centres of the stones, in order
}

// figure gives a pointer to v, nil if it is no number.
func figure(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

// ratio gives a ÷ b, nil if b is 0.
func ratio(a, b float64) *float64 {
	if b == 0 {
		return nil
	}
	return figure(a / b)
}

// chordError is how finely the arcs of allowed sets are drawn, in mm.
const chordError = 1e-3

// Measure gives the measures M1 to M10 of a design.
func Measure(doc design.Document) Report {
	broken := Inspect(doc)
	m := newModel(doc)
	tri := geom.Delaunay(m.places())
	out := Report{Total: Row{Region: "total", Stones: len(doc.Stones), Broken: len(broken)}}
	for i := range m.regions {
		row := m.measureRegion(i, tri)
		for _, f := range broken {
			if f.Region == row.Region {
				row.Broken++
			}
		}
		out.Rows = append(out.Rows, row)
	}
	out.Total.sum(out.Rows)
	m.measureSymmetry(&out.Total, -1)
	return out
}

func (m *model) measureRegion(i int, tri geom.Triangulation) Row {
	r := &m.regions[i]
	row := Row{Region: r.ID}
	for _, s := range m.stones {
		if s.region == i {
			row.Stones++
		}
	}
	var allowed geom.Shape
	if !r.Open && r.diameter > 0 {
		allowed = geom.Inset(r.shape, r.inset(r.diameter), chordError)
	}
	corners := m.rowCorners(r, allowed)
	m.measureRuns(&row, i, corners)
	m.measureTruth(&row, i)
	if r.has(design.Rim) {
		m.measureCorners(&row, i, corners, allowed)
	}
	if r.has(design.Bed) && !r.Open {
		m.measureFullness(&row, i, allowed)
		if !r.sparse() {
			room := len(m.rooms(i))
			row.Room = &room
		}
		m.measureHoles(&row, i, tri)
		m.measureOrder(&row, i)
	}
	m.measureSymmetry(&row, i)
	m.measureReads(&row, i)
	return row
}

// measureTruth is M3.
func (m *model) measureTruth(row *Row, region int) {
	r := &m.regions[region]
	worst := math.NaN()
	for _, s := range m.stones {
		if s.region == region && s.role == design.RoleRim && !r.Open {
			off := math.Abs(r.outline.Nearest(s.at).Dist - r.inset(s.diameter))
			if math.IsNaN(worst) || off > worst {
				worst = off
			}
		}
	}
	row.Truth = figure(worst)
}

// PackingBound gives the most points at mutual distances of at least p that a
// compact set of area a, perimeter l and Euler characteristic chi can hold:
// (2/√3)·a/p² + l/(2p) + chi (Oler, Acta Math. 105, 1961; for sets with holes
// Folkman and Graham, Canad. Math. Bull. 12, 1969).
func PackingBound(a, l float64, chi int, p float64) float64 {
	return 2/math.Sqrt(3)*a/(p*p) + l/(2*p) + float64(chi)
}

// measureFullness is M5: over the stones of a filled region that all are of
// the region's size, for the bound knows one distance only.
func (m *model) measureFullness(row *Row, region int, allowed geom.Shape) {
	r := &m.regions[region]
	n := 0
	for _, s := range m.stones {
		if s.region != region || s.role == design.RoleSpine {
			continue
		}
		if s.diameter != r.diameter {
			return
		}
		n++
	}
	if allowed.Empty() {
		return
	}
	b := PackingBound(allowed.Area(), allowed.Perimeter(), allowed.Euler(), r.diameter+r.Gap)
	row.Filling, row.Bound, row.Fullness = n, figure(b), ratio(float64(n), b)
}

// measureHoles is M7: over the Delaunay triangles of all stones of the design
// that have a corner in the region, and their middle and the centre of their
// circle inside it; others span a hollow of the outline or lie along it, and are
// no holes of the region. Stones of other regions fill holes too.
func (m *model) measureHoles(row *Row, region int, tri geom.Triangulation) {
	r := &m.regions[region]
	for i, c := range tri.Triangles {
		if m.stones[c[0]].region != region && m.stones[c[1]].region != region && m.stones[c[2]].region != region {
			continue
		}
		middle := tri.Points[c[0]].Add(tri.Points[c[1]]).Add(tri.Points[c[2]]).Mul(1.0 / 3)
		if centre, radius := tri.Circumcentre(i); !math.IsInf(radius, 0) && r.outline.Inside(middle) && r.outline.Inside(centre) {
			row.holes = append(row.holes, radius/((r.diameter+r.Gap)/math.Sqrt(3)))
		}
	}
	row.fillHoles()
}

// percentile is the share of holes that Hole95 leaves below.
const percentile = 0.95

func (row *Row) fillHoles() {
	if n := len(row.holes); n > 0 {
		slices.Sort(row.holes)
		row.HoleMost = figure(row.holes[n-1])
		row.Hole95 = figure(row.holes[int(math.Ceil(percentile*float64(n)))-1])
	}
}

// The inner stones of M9 and what counts as a neighbour, in pitches.
const (
	innerDepth     = 1.5
	neighbourReach = 1.25
)

// measureOrder is M9.
func (m *model) measureOrder(row *Row, region int) {
	r := &m.regions[region]
	pitch := r.diameter + r.Gap
	for i, s := range m.stones {
		if s.region != region || s.role != design.RoleBed || r.outline.Depth(s.at)-r.inset(r.diameter) <= innerDepth*pitch {
			continue
		}
		row.OrderCount++
		neighbours := 0
		m.near.Each(s.at, neighbourReach*pitch, func(j int, _ geom.Point) bool {
			if j != i && m.stones[j].region == region {
				neighbours++
			}
			return true
		})
		if neighbours == 6 {
			row.ordered++
		}
	}
	row.Order = ratio(float64(row.ordered), float64(row.OrderCount))
}

// sum fills the row of the whole design: worst of the worst, shares over all.
func (t *Row) sum(rows []Row) {
	bound, spacing := 0.0, 0.0
	for _, r := range rows {
		t.Evenness, t.Truth = larger(t.Evenness, r.Evenness), larger(t.Truth, r.Truth)
		t.distances = append(t.distances, r.distances...)
		t.Runs = append(t.Runs, r.Runs...)
		t.CornerCount, t.CornersMost, t.held = t.CornerCount+r.CornerCount, t.CornersMost+r.CornersMost, t.held+r.held
		t.OrderCount, t.ordered = t.OrderCount+r.OrderCount, t.ordered+r.ordered
		t.holes = append(t.holes, r.holes...)
		t.common = t.common.plus(r.common)
		if r.Bound != nil {
			t.Filling += r.Filling
			bound += *r.Bound
		}
		if r.Room != nil {
			room := *r.Room
			if t.Room != nil {
				room += *t.Room
			}
			t.Room = &room
		}
	}
	for _, d := range t.distances {
		spacing += d
	}
	t.Spacing = ratio(spacing, float64(len(t.distances)))
	t.Corners = ratio(float64(t.held), float64(t.CornerCount))
	t.Order = ratio(float64(t.ordered), float64(t.OrderCount))
	t.Fullness = ratio(float64(t.Filling), bound)
	if t.Fullness != nil {
		t.Bound = figure(bound)
	}
	t.Reads = t.common.share()
	t.fillHoles()
}

func larger(a, b *float64) *float64 {
	if a == nil || b != nil && *b > *a {
		return b
	}
	return a
}
