package layout

import "brushfall/internal/geom"

// put brings a stone to a place near to one that is asked for.
func (c *crew) put(l *loose, to, by geom.Point) {
	if l.t != nil {
		s := l.s + l.t.heading(wrap(l.s, l.t.total())).Dot(by)
		at := l.t.loopAt(s)
		if l.homed && at.Dist(l.home) > cornerHome*c.w.pitch && at.Dist(l.home) > l.at.Dist(l.home) {
			return
		}
		l.s, l.at = s, at
		return
	}
	if l.homed {
		if d := to.Sub(l.home); d.Len() > cornerHome*c.w.pitch {
			to = l.home.Add(d.Unit().Mul(cornerHome * c.w.pitch))
		}
	}
	l.at = c.within(l, to)
}

// within holds a stone that is none of the rim inside the outline, or in its row where
// the stroke is too narrow for it.
func (c *crew) within(l *loose, to geom.Point) geom.Point {
	if c.w.outline.Depth(to) >= l.depth-grid {
		return to
	}
	if q := c.w.holdInside(to); l.depth >= c.w.depth-depthEase && c.w.outline.Depth(q) >= l.depth-depthEase {
		return q
	}
	base := nearestOf(l.base, to)
	if to.Dist(base) < grid {
		return base
	}
	lo, hi := 0.0, 1.0
	for range 5 {
		mid := (lo + hi) / 2
		if c.w.outline.Depth(base.Lerp(to, mid)) >= l.depth-grid {
			lo = mid
		} else {
			hi = mid
		}
	}
	return base.Lerp(to, lo)
}

// nearestOf gives the place of a polyline nearest to p.
func nearestOf(line []geom.Point, p geom.Point) geom.Point {
	best := line[0]
	for i := 0; i+1 < len(line); i++ {
		if q := geom.NearestOn(p, line[i], line[i+1]); q.Dist(p) < best.Dist(p) {
			best = q
		}
	}
	return best
}
