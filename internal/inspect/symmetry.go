package inspect

import (
	"cmp"
	"math"
	"slices"

	"brushfall/internal/geom"
)

// motion is a mirror image over an axis through c at the angle, or a turn about
// c by it.
type motion struct {
	c      geom.Point
	angle  float64
	mirror bool
}

func (t motion) apply(p geom.Point) geom.Point {
	v := p.Sub(t.c)
	angle := t.angle
	if t.mirror {
		v.Y, angle = -v.Y, 2*angle
	}
	sin, cos := math.Sincos(angle)
	return geom.Point{X: t.c.X + v.X*cos - v.Y*sin, Y: t.c.Y + v.X*sin + v.Y*cos}
}

// Finding symmetries, in mm: an artwork has one if no place of its outline is
// further than symmetryTolerance from the outline's image. Candidates come
// from the places furthest from the middle, within tipBand of the furthest and
// tipGap (radians) of each other, and are refined over refineSwing at the rim.
const (
	symmetryTolerance = 0.05
	tipBand           = 0.1
	tipPeak           = 0.02
	tipGap            = 0.15
	refineSwing       = 0.8
	refineRounds      = 24
	mostTips          = 12
	outlineSamples    = 400
	quickSamples      = 40
	quickTolerance    = 1.5
)

// drawing is the outlines of one kind of stone, which symmetries must keep.
type drawing struct {
	lines   []geom.Line
	outline *geom.Boundary
	samples []geom.Point
}

// measureSymmetry is M8, of one region, or of the whole design (region −1),
// where outlines and stones must fall on those of the same kind.
func (m *model) measureSymmetry(row *Row, region int) {
	groups := map[kindKey]*drawing{}
	var order []*drawing
	for i, r := range m.regions {
		if region >= 0 && i != region {
			continue
		}
		k := kindKey{r.Size, r.Colour}
		if groups[k] == nil {
			groups[k] = &drawing{}
			order = append(order, groups[k])
		}
		groups[k].addOutline(&r)
	}
	for _, d := range order {
		d.outline = geom.NewLineBoundary(d.lines)
		d.sample()
	}
	found := symmetries(order)
	row.Symmetries = len(found)
	for _, t := range found {
		miss := m.worstImage(t, region)
		if row.Symmetry == nil || miss < *row.Symmetry {
			row.Symmetry = figure(miss)
		}
		row.SymmetryAll = larger(row.SymmetryAll, figure(miss))
	}
}

func (d *drawing) addOutline(r *region) {
	d.lines = append(d.lines, r.lines...)
	for _, ring := range r.shape.Rings {
		d.lines = append(d.lines, append(append(geom.Line(nil), ring...), ring[0]))
	}
}

// sample takes places at equal steps along the outlines.
func (d *drawing) sample() {
	total := 0.0
	for _, l := range d.lines {
		total += l.Length()
	}
	step := total / outlineSamples
	for _, l := range d.lines {
		due := 0.0
		for i := 1; i < len(l); i++ {
			side := l[i-1].Dist(l[i])
			for ; due < side; due += step {
				d.samples = append(d.samples, l[i-1].Lerp(l[i], due/side))
			}
			due -= side
		}
	}
}

// middle gives the centre of mass of the outlines.
func middle(group []*drawing) geom.Point {
	sum, length := geom.Point{}, 0.0
	for _, d := range group {
		for _, l := range d.lines {
			for i := 1; i < len(l); i++ {
				s := l[i-1].Dist(l[i])
				sum, length = sum.Add(l[i-1].Lerp(l[i], 0.5).Mul(s)), length+s
			}
		}
	}
	if length == 0 {
		return geom.Point{}
	}
	return sum.Mul(1 / length)
}

// symmetries gives the mirror axes and turns that keep the outlines.
func symmetries(group []*drawing) []motion {
	c := middle(group)
	angles, radius := tips(group, c)
	if radius <= 0 {
		return nil
	}
	var out []motion
	keep := func(t motion) {
		if t, ok := refine(group, t, radius); ok {
			out = append(out, t)
		}
	}
	for i, a := range angles {
		keep(motion{c, (angles[0] + a) / 2, true})
		if i > 0 {
			keep(motion{c, a - angles[0], false})
		}
	}
	return out
}

// tips gives the directions of the places furthest from c, and how far they
// are. A round outline has no such places: directions at sixths and quarters
// of a turn stand for them, which make five axes and four turns.
func tips(group []*drawing, c geom.Point) (angles []float64, radius float64) {
	for _, d := range group {
		for _, l := range d.lines {
			for _, p := range l {
				radius = math.Max(radius, p.Dist(c))
			}
		}
	}
	var far []tip
	for _, d := range group {
		for _, l := range d.lines {
			for _, p := range l {
				if v := p.Sub(c); v.Len() > radius-tipBand {
					far = append(far, tip{math.Atan2(v.Y, v.X), v.Len()})
				}
			}
		}
	}
	for _, g := range gather(far) {
		angles = append(angles, peak(g))
	}
	if len(angles) == 0 {
		angles = []float64{0, math.Pi / 3, math.Pi / 2, 2 * math.Pi / 3, math.Pi}
	}
	return angles[:min(len(angles), mostTips)], radius
}

// tip is a place of an outline, by its direction and distance from the middle.
type tip struct{ angle, r float64 }

// turnTo gives the way round from a to b, 0 to 2π.
func turnTo(a, b float64) float64 { return math.Mod(b-a+4*math.Pi, 2*math.Pi) }

// gather sorts tips around the middle into groups parted by more than tipGap;
// none if they go all the way round.
func gather(far []tip) [][]tip {
	slices.SortFunc(far, func(a, b tip) int { return cmp.Or(cmp.Compare(a.angle, b.angle), cmp.Compare(a.r, b.r)) })
	n := len(far)
	first := -1
	for i := range far {
		if n == 1 || turnTo(far[(i+n-1)%n].angle, far[i].angle) > tipGap {
			first = i
			break
		}
	}
	if first < 0 {
		return nil
	}
	var out [][]tip
	for k := range n {
		t := far[(first+k)%n]
		if k == 0 || turnTo(far[(first+k-1)%n].angle, t.angle) > tipGap {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], t)
	}
	return out
}

// peak gives the middle direction of the furthest of a group of tips.
func peak(group []tip) float64 {
	most := 0.0
	for _, t := range group {
		most = math.Max(most, t.r)
	}
	lo, wide := math.NaN(), 0.0
	for _, t := range group {
		if t.r < most-tipPeak {
			continue
		}
		if math.IsNaN(lo) {
			lo = t.angle
		}
		wide = turnTo(lo, t.angle)
	}
	return lo + wide/2
}

// refine turns a candidate to where it keeps the outlines best, by golden
// section, and says whether it keeps them.
func refine(group []*drawing, t motion, radius float64) (motion, bool) {
	if departure(group, t, quickSamples) > quickTolerance {
		return t, false
	}
	at := func(angle float64) float64 { return departure(group, motion{t.c, angle, t.mirror}, outlineSamples) }
	ratio := (math.Sqrt(5) - 1) / 2
	lo, hi := t.angle-refineSwing/radius, t.angle+refineSwing/radius
	a, b := hi-ratio*(hi-lo), lo+ratio*(hi-lo)
	fa, fb := at(a), at(b)
	for range refineRounds {
		if fa <= fb {
			hi, b, fb = b, a, fa
			a = hi - ratio*(hi-lo)
			fa = at(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + ratio*(hi-lo)
			fb = at(b)
		}
	}
	best := (lo + hi) / 2
	if at(t.angle) <= at(best) {
		best = t.angle
	}
	t.angle = best
	return t, at(best) <= symmetryTolerance
}

// departure gives the largest distance of about n places of the outlines, after
// the motion, from the outlines of their kind.
func departure(group []*drawing, t motion, n int) float64 {
	worst := 0.0
	for _, d := range group {
		for i := 0; i < len(d.samples); i += max(1, outlineSamples/n) {
			worst = math.Max(worst, d.outline.Nearest(t.apply(d.samples[i])).Dist)
		}
	}
	return worst
}

// worstImage gives the largest distance between a stone's image and the
// nearest stone of its kind, in one region or in all (−1).
func (m *model) worstImage(t motion, region int) float64 {
	index := map[kindKey]*geom.Index{}
	for i, s := range m.stones {
		if region >= 0 && s.region != region {
			continue
		}
		if index[s.kind] == nil {
			index[s.kind] = geom.NewIndex(geom.Bounds(m.places()), s.diameter)
		}
		index[s.kind].Insert(i, s.at)
	}
	worst := math.NaN()
	for _, s := range m.stones {
		if region >= 0 && s.region != region {
			continue
		}
		_, d, _ := index[s.kind].Nearest(t.apply(s.at), math.Inf(1), -1)
		if math.IsNaN(worst) || d > worst {
			worst = d
		}
	}
	return worst
}
