package layout

import (
	"context"
	"math"
	"slices"

	"brushfall/internal/geom"
)

// How rings are fitted.
const (
	plainRays  = 6    // six stones fit round one: rays of a honeycomb, bent round
	mostRays   = 12   // most rays that a shape's own symmetry is given
	ringPhases = 12   // phases tried where the centre lies outside the bed
	ringWiden  = 0.01 // distances between rings are tried wider by this share,
	ringWidest = 16   // up to so many times: rings that fit inside a round rim
)

// spokes is a family of rings round a centre, in a frame with its origin there:
// ring k has the radius first + k·step. On a ring that is whole the number of
// stones is a multiple of rays, and one stands in the direction start; so rays of
// stones run out from the centre, as in the curved hexagonal packings of
// Lubachevsky and Graham, Discrete Comput. Geom. 18 (1997) 179.
type spokes struct {
	centre      geom.Point
	rays        int
	start       float64
	first, step float64
	rings       []ring
}

// laySpokes fills what the rows leave with rings round a centre, one for each
// separate part of the region if none is asked for. Rings that are equally far
// in are one row of the bed in all parts.
func (s *site) laySpokes(ctx context.Context) error {
	if s.outline == nil || s.allowed.Empty() {
		return nil
	}
	var all []*spokes
	deepest := 0
	for _, part := range s.parts() {
		if err := ctx.Err(); err != nil {
			return err
		}
		k := s.spokesOf(part)
		all, deepest = append(all, k), max(deepest, len(k.rings))
	}
	for in := range deepest {
		s.levels = append(s.levels, len(s.rows))
		for _, k := range all {
			if i := len(k.rings) - 1 - in; i >= 0 {
				s.setBedRow(k.places(k.rings[i], s.pitch+slack))
			}
		}
	}
	return s.saturate(ctx)
}

// parts gives the areas that have a centre each.
func (s *site) parts() []geom.Shape {
	if s.BedAs.Centre != nil {
		return []geom.Shape{s.Shape}
	}
	return s.Shape.Components()
}

// spokesOf chooses the rings of one part and finds what is free of them.
func (s *site) spokesOf(part geom.Shape) *spokes {
	k := &spokes{}
	if s.BedAs.Centre != nil {
		k.centre = *s.BedAs.Centre
	} else {
		k.centre = centroid(part)
	}
	to := geom.Translate(-k.centre.X, -k.centre.Y)
	part = part.Transform(to)
	allowed := geom.Intersect(s.allowed.Transform(to), part)
	core := geom.Intersect(s.core().Transform(to), part)
	if core.Empty() {
		core = allowed
	}
	k.aim(part, s.BedAs.Angle)
	k.fit(core, s.pitch+slack)
	k.rings = k.cross(allowed, geom.NewBoundary(allowed))
	k.clear(s.obstacles())
	if k.first >= s.pitch && s.free(round(k.centre)) {
		k.rings = slices.Insert(k.rings, 0, ring{whole: true})
	}
	return k
}

// places gives the places of the stones of a ring.
func (k *spokes) places(r ring, pitch float64) []geom.Point {
	var out []geom.Point
	set := func(angle float64) {
		sin, cos := math.Sincos(angle)
		out = append(out, k.centre.Add(geom.Point{X: r.radius * cos, Y: r.radius * sin}))
	}
	if r.radius == 0 {
		return []geom.Point{k.centre}
	}
	least := 2 * math.Asin(math.Min(1, pitch/(2*r.radius)))
	if r.whole {
		n := int(2*math.Pi/least + 1e-9)
		if n > k.rays {
			n -= n % k.rays
		}
		for i := range n {
			set(k.start + 2*math.Pi*float64(i)/float64(n))
		}
	}
	for _, f := range apart(r.free, least, 2*math.Pi) {
		f.even(least, set)
	}
	return out
}

// fit chooses the distance between rings, and, where the centre lies outside of
// the bed, the radius of the first; else a stone stands on the centre, and the first
// ring holds every ray.
func (k *spokes) fit(core geom.Shape, pitch float64) {
	scans := radial(core, pitch/2)
	inside := geom.NewBoundary(core).Inside(geom.Point{})
	for i := range scans {
		if scans[i].lo == 0 {
			scans[i].lo = pitch // beyond the stone on the centre
		}
	}
	best := math.Inf(1)
	for wide := range ringWidest + 1 {
		step := pitch * (1 + ringWiden*float64(wide))
		for i := range ringPhases {
			first := step * float64(i+1) / ringPhases
			if inside {
				first = math.Max(step, pitch/(2*math.Sin(math.Pi/float64(k.rays))))
			}
			if m := misfit(scans, first, step, pitch); m < best {
				best, k.first, k.step = m, first, step
			}
		}
	}
}

// aim chooses the number of rays and their start: those of the part's own
// symmetry, so that the bed keeps it; else six rays, one of them straight up.
func (k *spokes) aim(part geom.Shape, angle float64) {
	b := geom.NewBoundary(part)
	turns := func(n int) bool { return mapsOn(b, part, geom.Rotate(2*math.Pi/float64(n))) }
	k.rays, k.start = plainRays, -math.Pi/2
	for n := mostRays; n > 3; n-- {
		if turns(n) {
			k.rays = n
			break
		}
	}
	if k.rays > plainRays && turns(k.rays-1) { // a circle
		k.rays = plainRays
	}
	if angle != 0 {
		k.start += angle
		return
	}
	if mirrors := func(a float64) bool { return mapsOn(b, part, mirror(a)) }; !mirrors(k.start) {
		for _, a := range tips(part) {
			if mirrors(a) {
				k.start = a
				break
			}
		}
	}
}

// mirror gives the mirror image over the line through the origin in a direction.
func mirror(angle float64) geom.Affine {
	sin, cos := math.Sincos(2 * angle)
	return geom.Affine{A: cos, B: sin, C: sin, D: -cos}
}

// tips gives the directions from the origin of the vertices where an outline is
// farthest from it or nearest to it: a mirror axis through the origin meets one.
func tips(s geom.Shape) []float64 {
	var out []float64
	for _, r := range s.Rings {
		for i, p := range r {
			before, here, after := r[(i+len(r)-1)%len(r)].Len2(), p.Len2(), r[(i+1)%len(r)].Len2()
			if (here >= before && here >= after) || (here <= before && here <= after) {
				out = append(out, math.Atan2(p.Y, p.X))
			}
		}
	}
	return out
}
