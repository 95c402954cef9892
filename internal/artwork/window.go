package artwork

import "brushfall/internal/geom"

// boxed is a ring with its bounding box.
type boxed struct {
	ring geom.Ring
	box  geom.Box
}

func boxedRings(s geom.Shape) []boxed {
	out := make([]boxed, len(s.Rings))
	for i, r := range s.Rings {
		out[i] = boxed{r, geom.Bounds(r)}
	}
	return out
}

// beyond is how far in mm past a region's box its cover is kept: far more than
// the rounding of the geometry, so that the cut edges stay out of the region.
const beyond = 1

// appendNear appends the rings cut to a window. Inside the window the winding
// numbers are those of the whole rings, which is all that a subtraction in the
// window asks; the cost then goes with what is near.
func appendNear(dst []geom.Ring, rings []boxed, window geom.Box) []geom.Ring {
	for _, r := range rings {
		switch {
		case !r.box.Overlaps(window):
		case window.MinX <= r.box.MinX && r.box.MaxX <= window.MaxX && window.MinY <= r.box.MinY && r.box.MaxY <= window.MaxY:
			dst = append(dst, r.ring)
		default:
			if cut := cutToWindow(r.ring, window); len(cut) > 2 {
				dst = append(dst, cut)
			}
		}
	}
	return dst
}

// cutToWindow cuts a ring at the four sides of a window, one after the other; the
// parts that leave the window are joined along its border (Sutherland & Hodgman,
// Comm. ACM 17(1), 1974).
func cutToWindow(ring geom.Ring, w geom.Box) geom.Ring {
	for _, side := range []struct{ n, at geom.Point }{
		{geom.Point{X: 1}, geom.Point{X: w.MinX}},
		{geom.Point{X: -1}, geom.Point{X: w.MaxX}},
		{geom.Point{Y: 1}, geom.Point{Y: w.MinY}},
		{geom.Point{Y: -1}, geom.Point{Y: w.MaxY}},
	} {
		ring = cutAtSide(ring, side.n, side.at)
	}
	return ring
}

// cutAtSide keeps the half-plane that n points into, at a border through at.
func cutAtSide(ring geom.Ring, n, at geom.Point) geom.Ring {
	var out geom.Ring
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		from, to := p.Sub(at).Dot(n), q.Sub(at).Dot(n)
		if from >= 0 {
			out = append(out, p)
		}
		if (from >= 0) != (to >= 0) {
			out = append(out, p.Lerp(q, from/(from-to)))
		}
	}
	return out
}
