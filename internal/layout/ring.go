package layout

import (
	"math"
	"slices"

	"brushfall/internal/geom"
)

// ring is one round row of a bed about the origin. What is free of it are
// stretches in radians, in order, the first from between −π and π, or all of it.
type ring struct {
	radius float64
	whole  bool
	free   []span
}

// cut takes a stretch away from what is free; lo lies within a turn of ±π.
func (r *ring) cut(lo, hi float64) {
	if r.whole {
		r.whole, r.free = false, []span{{hi, lo + 2*math.Pi}}
		return
	}
	for turn := -2; turn <= 2; turn++ {
		by := 2 * math.Pi * float64(turn)
		r.free = without(r.free, span{lo + by, hi + by})
	}
}

// cross cuts the rings by an area and its outline.
func (k *spokes) cross(area geom.Shape, outline *geom.Boundary) []ring {
	far := farthest(area)
	if far < k.first {
		return nil
	}
	rings := make([]ring, int((far-k.first)/k.step)+1)
	angles := make([][]float64, len(rings))
	for i := range rings {
		rings[i].radius = k.first + float64(i)*k.step
	}
	for _, g := range area.Rings {
		for i, p := range g {
			k.crossSide(p, g[(i+1)%len(g)], angles)
		}
	}
	for i := range rings {
		slices.Sort(angles[i])
		rings[i].between(angles[i], outline)
	}
	return rings
}

// crossSide notes the directions in which the rings meet one side of an outline.
func (k *spokes) crossSide(p, q geom.Point, angles [][]float64) {
	d, foot := q.Sub(p), 0.0
	if l := d.Len2(); l > 0 {
		foot = math.Max(0, math.Min(1, -p.Dot(d)/l))
	}
	near, far := p.Lerp(q, foot).Len(), math.Max(p.Len(), q.Len())
	for i := max(0, int(math.Ceil((near-k.first)/k.step))); i < len(angles); i++ {
		radius := k.first + float64(i)*k.step
		if radius > far {
			return
		}
		crossEdge([2]geom.Point{p, q}, geom.Point{}, radius, func(x geom.Point) {
			angles[i] = append(angles[i], math.Atan2(x.Y, x.X))
		})
	}
}

// between keeps the stretches between the given directions that lie inside.
func (r *ring) between(angles []float64, outline *geom.Boundary) {
	if len(angles) == 0 {
		r.whole = outline.Inside(geom.Point{X: r.radius})
		return
	}
	for i, lo := range angles {
		hi := angles[(i+1)%len(angles)]
		if i == len(angles)-1 {
			hi += 2 * math.Pi
		}
		sin, cos := math.Sincos((lo + hi) / 2)
		if hi > lo && outline.Inside(geom.Point{X: r.radius * cos, Y: r.radius * sin}) {
			r.free = append(r.free, span{lo, hi})
		}
	}
}

// clear takes the reach of obstacles away from what is free.
func (k *spokes) clear(obstacles []fixture) {
	for _, o := range obstacles {
		at := o.at.Sub(k.centre)
		far, angle := at.Len(), math.Atan2(at.Y, at.X)
		first := max(0, int(math.Ceil((far-o.reach-k.first)/k.step)))
		for i := first; i < len(k.rings) && k.rings[i].radius < far+o.reach; i++ {
			r := &k.rings[i]
			// The law of cosines in the triangle of centre, obstacle and a place on
			// the ring that is just far enough from it.
			cos := (r.radius*r.radius + far*far - o.reach*o.reach) / (2 * r.radius * far)
			if !(cos > -1) { // all of the ring is too near
				r.whole, r.free = false, nil
				continue
			}
			half := math.Acos(math.Min(1, cos))
			r.cut(angle-half, angle+half)
		}
	}
}
