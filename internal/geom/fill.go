package geom

import "math"

// Fill gives the area that the rings cover by the rule, normalised: simple rings
// that may touch in points but do not cross. Points are rounded to 1e-5 mm (coarser
// only beyond 2.68 m from the origin). Rings may cross, overlap, repeat points, run
// back on themselves; a ring with a NaN, infinite or absurdly far (over 1e9 mm) point
// is dropped, and so are parts thinner than about two steps of rounding. The result is the same for
// any order of the rings and any start in them; Fill of its rings gives it again.
//
// Method: snap rounding (Hobby 1999), then winding numbers on both sides of every
// piece, and the pieces that have the area on one side only.
func Fill(rings []Ring, rule FillRule) Shape {
	if rule == EvenOdd {
		return overlay(rings, nil, func(w [2]int32) bool { return w[0]&1 != 0 })
	}
	return overlay(rings, nil, func(w [2]int32) bool { return w[0] != 0 })
}

// Union gives the area that is in any of the shapes.
func Union(shapes ...Shape) Shape {
	var rings []Ring
	for _, s := range shapes {
		rings = append(rings, s.Rings...)
	}
	return fillPositive(rings)
}

// Intersect gives the area that is in both shapes.
func Intersect(a, b Shape) Shape {
	return overlay(a.Rings, b.Rings, func(w [2]int32) bool { return w[0] > 0 && w[1] > 0 })
}

// Subtract gives the area of a that is not in b.
func Subtract(a, b Shape) Shape {
	return overlay(a.Rings, b.Rings, func(w [2]int32) bool { return w[0] > 0 && w[1] <= 0 })
}

// fillPositive gives the area where the rings wind a positive number of times.
func fillPositive(rings []Ring) Shape {
	return overlay(rings, nil, func(w [2]int32) bool { return w[0] > 0 })
}

// coarsest is the number of times the grid may be made 16 times coarser when the
// finer one did not come to an end. By then all points of a drawing coincide.
const coarsest = 7

// overlay gives the area where the winding numbers of the two sets of rings are kept.
func overlay(a, b []Ring, keep func(w [2]int32) bool) Shape {
	sets := [2][]Ring{usable(a), usable(b)}
	reach := 0.0
	for _, set := range sets {
		for _, r := range set {
			for _, p := range r {
				reach = max(reach, math.Abs(p.X), math.Abs(p.Y))
			}
		}
	}
	for coarser := 0; coarser <= coarsest; coarser++ {
		scale := gridScale(reach, coarser)
		edges, ok := node(gridEdges(sets, scale))
		if len(edges) == 0 {
			return Shape{}
		}
		if ok {
			return arrange(edges).shape(keep, scale)
		}
	}
	return Shape{}
}

// usable leaves out rings that hold a point that is no place.
func usable(rings []Ring) []Ring {
	out := make([]Ring, 0, len(rings))
next:
	for _, r := range rings {
		for _, p := range r {
			if !(math.Abs(p.X) <= farthest && math.Abs(p.Y) <= farthest) {
				continue next
			}
		}
		out = append(out, r)
	}
	return out
}

func gridEdges(sets [2][]Ring, scale float64) []edge {
	n := 0
	for _, set := range sets {
		for _, r := range set {
			n += len(r)
		}
	}
	edges := make([]edge, 0, n)
	for k, set := range sets {
		var w [2]int32
		w[k] = 1
		for _, r := range set {
			for i, p := range r {
				edges = appendEdge(edges, toGrid(p, scale), toGrid(r[(i+1)%len(r)], scale), w)
			}
		}
	}
	return edges
}
