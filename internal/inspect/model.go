package inspect

import (
	"fmt"
	"math"
	"slices"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// model is a design made ready for questions.
type model struct {
	doc      design.Document
	kinds    map[kindKey]design.Kind
	regions  []region
	stones   []stone
	near     *geom.Index // of the stones, by their place in stones
	held     []stone     // the stones, and places left free as though one stood there
	heldNear *geom.Index // of held
	widest   float64     // largest stone
	farthest float64     // largest gap
	findings []Finding
}

// kindKey names a kind.
type kindKey struct{ size, colour string }

func (k kindKey) String() string { return k.size + " " + k.colour }

// region is a region with its outline ready for distances.
type region struct {
	design.Region
	shape    geom.Shape  // empty for an open region
	lines    []geom.Line // none for a closed region
	outline  *geom.Boundary
	diameter float64            // of the region's own kind, 0 if unknown
	gaps     map[string]float64 // of other sizes that stand in it
}

// gapOf gives the gap that a stone of the size keeps in the region.
func (r *region) gapOf(size string) float64 {
	if gap, ok := r.gaps[size]; ok && size != r.Size {
		return gap
	}
	return r.Gap
}

// stone is a stone of a known kind and region at a finite place.
type stone struct {
	number   int // in the document
	at       geom.Point
	kind     kindKey
	diameter float64
	region   int
	gap      float64
	role     design.Role
	plate    int
}

func newModel(doc design.Document) *model {
	m := &model{doc: doc, kinds: map[kindKey]design.Kind{}}
	m.readKinds()
	names := m.readRegions()
	m.readStones(names)
	m.near = geom.NewIndex(geom.Bounds(m.places()), m.widest+m.farthest)
	for i, s := range m.stones {
		m.near.Insert(i, s.at)
	}
	m.readLeft(names)
	return m
}

// readLeft adds the places that were left free to what stones keep clear of.
func (m *model) readLeft(names map[string]int) {
	m.held, m.heldNear = slices.Clip(m.stones), m.near // clipped: what is added leaves stones alone
	for _, r := range m.doc.Regions {
		for _, l := range r.Left {
			d := m.diameter(kindKey{l.Size, r.Colour})
			if !place(l.X, l.Y) || d == 0 {
				m.addValue(r.ID, NoStone, l.X, "the place left free at %g, %g for a stone of %s must be a number of mm and a known size", l.X, l.Y, l.Size)
				continue
			}
			m.widest = math.Max(m.widest, d)
			region := names[r.ID]
			m.held = append(m.held, stone{
				number: NoStone, at: geom.Point{X: l.X, Y: l.Y}, kind: kindKey{l.Size, r.Colour}, diameter: d,
				region: region, gap: m.regions[region].gapOf(l.Size),
			})
		}
	}
	if len(m.held) == len(m.stones) {
		return
	}
	box := geom.EmptyBox()
	for _, s := range m.held {
		box = box.Extend(s.at)
	}
	m.heldNear = geom.NewIndex(box, m.widest+m.farthest)
	for i, s := range m.held {
		m.heldNear.Insert(i, s.at)
	}
}

func (m *model) places() []geom.Point {
	out := make([]geom.Point, len(m.stones))
	for i, s := range m.stones {
		out[i] = s.at
	}
	return out
}

// add records a finding. Numbers that are none become 0, for JSON has no word
// for them.
func (m *model) add(f Finding) {
	for _, v := range []*float64{&f.X, &f.Y, &f.Value, &f.Limit} {
		if math.IsNaN(*v) || math.IsInf(*v, 0) {
			*v = 0
		}
	}
	m.findings = append(m.findings, f)
}

// addValue records a number that cannot be what it says.
func (m *model) addValue(region string, stone int, value float64, format string, args ...any) {
	m.add(Finding{ID: Value, Region: region, Stone: stone, Value: value, Message: fmt.Sprintf(format, args...)})
}

// largestLength is a bound of sense, in mm: no template is a kilometre wide.
const largestLength = 1e6

func length(v float64) bool   { return v > 0 && v < largestLength }
func distance(v float64) bool { return v >= 0 && v < largestLength }
func place(x, y float64) bool { return math.Abs(x) < largestLength && math.Abs(y) < largestLength }

func (m *model) readKinds() {
	for _, k := range m.doc.Kinds {
		key := kindKey{k.Size, k.Colour}
		if !length(k.Diameter) || !length(k.Hole) || k.Hole < k.Diameter {
			m.addValue("", NoStone, k.Hole, "kind %s: a stone of %g mm and a hole of %g mm; the hole must be at least as wide as the stone", key, k.Diameter, k.Hole)
			continue
		}
		m.kinds[key] = k
	}
	if !distance(m.doc.Web) || !distance(m.doc.Border) {
		m.addValue("", NoStone, m.doc.Web, "web %g mm and border %g mm must be lengths", m.doc.Web, m.doc.Border)
	}
}

// readRegions gives the place of each region by its name.
func (m *model) readRegions() map[string]int {
	names := map[string]int{}
	for _, r := range m.doc.Regions {
		if _, twice := names[r.ID]; twice {
			m.add(Finding{ID: Region, Region: r.ID, Stone: NoStone, Message: "another region has this name too; give each its own"})
			continue
		}
		names[r.ID] = len(m.regions)
		m.regions = append(m.regions, m.readRegion(r))
	}
	return names
}

func (m *model) readRegion(r design.Region) region {
	out := region{Region: r, diameter: m.diameter(kindKey{r.Size, r.Colour})}
	if !distance(r.Gap) || math.IsNaN(r.Margin) || math.Abs(r.Margin) > largestLength {
		m.addValue(r.ID, NoStone, r.Gap, "gap %g mm and margin %g mm must be lengths", r.Gap, r.Margin)
		out.Gap, out.Margin = 0, 0
	}
	if !(r.Density >= 0 && r.Density < 1) {
		m.addValue(r.ID, NoStone, r.Density, "density %g must be above 0 and below 1, and missing for a full bed", r.Density)
		out.Density = 0
	}
	m.farthest = math.Max(m.farthest, out.Gap)
	out.gaps = m.readSizes(r)
	if want := out.diameter + r.Gap; out.diameter > 0 && !(math.Abs(r.Pitch-want) <= GapTolerance) {
		m.add(Finding{ID: Pitch, Region: r.ID, Stone: NoStone, Value: r.Pitch, Limit: want, Message: fmt.Sprintf("pitch %g mm, but stone and gap make %g mm", r.Pitch, want)})
	}
	var rings []geom.Ring
	for _, ring := range r.Rings {
		points := make([]geom.Point, len(ring))
		for i, p := range ring {
			points[i] = geom.Point{X: p[0], Y: p[1]}
		}
		if slices.ContainsFunc(points, func(p geom.Point) bool { return !place(p.X, p.Y) }) {
			m.addValue(r.ID, NoStone, 0, "an outline leaves the plane; every point must be a number of mm")
			continue
		}
		rings = append(rings, points)
		out.lines = append(out.lines, points)
	}
	if r.Open {
		out.outline = geom.NewLineBoundary(out.lines)
		return out
	}
	out.lines = nil
	out.shape = geom.Fill(rings, geom.EvenOdd)
	out.outline = geom.NewBoundary(out.shape)
	return out
}

// readSizes gives the gaps of the other sizes that stand in a region.
func (m *model) readSizes(r design.Region) map[string]float64 {
	gaps := map[string]float64{}
	for _, s := range r.Sizes {
		if !distance(s.Gap) {
			m.addValue(r.ID, NoStone, s.Gap, "the gap of %s, %g mm, must be a length", s.Size, s.Gap)
			continue
		}
		gaps[s.Size] = s.Gap
		m.farthest = math.Max(m.farthest, s.Gap)
	}
	return gaps
}

// diameter gives the largest stone of a kind: as the design says, of this
// colour or, for a region that a pattern leaves no stone of its own colour, of
// another; else as the catalogue does, else 0.
func (m *model) diameter(k kindKey) float64 {
	if kind, ok := m.kinds[k]; ok {
		return kind.Diameter
	}
	for _, kind := range m.doc.Kinds {
		if _, sound := m.kinds[kindKey{kind.Size, kind.Colour}]; sound && kind.Size == k.size {
			return kind.Diameter
		}
	}
	if s, err := catalogue.FindSize(k.size); err == nil {
		return s.Largest
	}
	return 0
}

// smallest gives the smallest stone of a kind, like diameter.
func (m *model) smallest(k kindKey) float64 {
	if kind := m.kinds[k]; kind.Smallest > 0 {
		return kind.Smallest
	}
	if s, err := catalogue.FindSize(k.size); err == nil {
		return s.Smallest
	}
	return m.diameter(k)
}

func (m *model) readStones(names map[string]int) {
	for i, s := range m.doc.Stones {
		if !place(s.X, s.Y) {
			m.addValue(s.Region, i, s.X, "stone %d has no place", i)
			continue
		}
		key := kindKey{s.Size, s.Colour}
		if _, ok := m.kinds[key]; !ok {
			m.add(Finding{ID: Kind, Region: s.Region, Stone: i, X: s.X, Y: s.Y, Message: fmt.Sprintf("stone %d is of kind %s, which the design does not list", i, key)})
		}
		r, ok := names[s.Region]
		if !ok {
			m.add(Finding{ID: Region, Region: s.Region, Stone: i, X: s.X, Y: s.Y, Message: fmt.Sprintf("stone %d is of region %q, which there is not", i, s.Region)})
			continue
		}
		d := m.diameter(key)
		m.widest = math.Max(m.widest, d)
		m.stones = append(m.stones, stone{
			number: i, at: geom.Point{X: s.X, Y: s.Y}, kind: key, diameter: d,
			region: r, gap: m.regions[r].gapOf(s.Size), role: s.Role, plate: s.Plate,
		})
	}
}

// reach gives the least distance between the centres of two stones: their
// halves and the larger of the two gaps.
func reach(d1, gap1, d2, gap2 float64) float64 { return (d1+d2)/2 + math.Max(gap1, gap2) }

// has says whether the region asks for the treatment.
func (r *region) has(t design.Treatment) bool { return slices.Contains(r.Treatment, t) }

// inset gives how deep the centre of a stone of the diameter must lie.
func (r *region) inset(diameter float64) float64 { return diameter/2 + math.Max(0, r.Margin) }

// sparse says whether the region was asked to hold fewer stones than fit.
func (r *region) sparse() bool { return r.Density > 0 }
