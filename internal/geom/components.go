package geom

import "sort"

// Components gives the connected parts: each outer ring with the holes directly in
// it, in the order of the outer rings. Parts that touch in a point are parts of
// their own. A hole in no outer ring is dropped (a normalised Shape has none).
func (s Shape) Components() []Shape {
	type outer struct {
		ring Ring
		box  Box
		area float64
		part int
	}
	var outers []outer
	var parts []Shape
	for _, r := range s.Rings {
		if a := r.Area(); a > 0 {
			outers = append(outers, outer{r, Bounds(r), a, len(parts)})
			parts = append(parts, Shape{Rings: []Ring{r}})
		}
	}
	// The smallest outer ring round a hole is the one it is in.
	sort.SliceStable(outers, func(i, j int) bool { return outers[i].area < outers[j].area })
	for _, hole := range s.Rings {
		if hole.Area() > 0 {
			continue
		}
		size, box := -hole.Area(), Bounds(hole)
		for _, o := range outers {
			if o.area > size && o.box.holds(box) && ringHolds(o.ring, hole) {
				parts[o.part].Rings = append(parts[o.part].Rings, hole)
				break
			}
		}
	}
	return parts
}

// withoutLooseHoles leaves out the holes whose outer ring is gone.
func (s Shape) withoutLooseHoles() Shape {
	var out Shape
	for _, part := range s.Components() {
		out.Rings = append(out.Rings, part.Rings...)
	}
	return out
}

// holds says whether c lies in b.
func (b Box) holds(c Box) bool {
	return b.MinX <= c.MinX && c.MaxX <= b.MaxX && b.MinY <= c.MinY && c.MaxY <= b.MaxY
}

// ringHolds says whether the ring inner, which does not cross outer, lies in it.
// Three edge middles vote, as one may lie within rounding of the outline.
func ringHolds(outer, inner Ring) bool {
	votes := 0
	for k := range 3 {
		i := k * len(inner) / 3
		if outer.winding(inner[i].Lerp(inner[(i+1)%len(inner)], 0.5)) != 0 {
			votes++
		}
	}
	return votes >= 2
}

// winding counts how often the ring goes round p, positive as Area. On the
// outline itself either side may be given.
func (r Ring) winding(p Point) int {
	n := 0
	for i, a := range r {
		b := r[(i+1)%len(r)]
		if (a.Y <= p.Y) == (b.Y <= p.Y) {
			continue
		}
		side := b.Sub(a).Cross(p.Sub(a))
		if a.Y <= p.Y && side > 0 {
			n++
		} else if b.Y <= p.Y && side < 0 {
			n--
		}
	}
	return n
}
