package inspect

import (
	"math"

	"brushfall/internal/geom"

	"github.com/tidwall/rtree"
)

// walls are curves that hold the border of the points at a depth inside a
// shape: each side of the outline moved in, and a circle around each corner
// that points inwards. They are more than the border: what lies too near to
// another part of the outline is no part of it.
type walls struct {
	all  []wall
	tree rtree.RTreeG[int]
}

// wall is a segment a–b, or, with r > 0, a circle around a.
type wall struct {
	a, b  geom.Point
	r     float64
	index int
}

func newWalls(s geom.Shape, depth float64) *walls {
	w := &walls{}
	for _, ring := range s.Rings {
		for i, p := range ring {
			q, before := ring[(i+1)%len(ring)], ring[(i+len(ring)-1)%len(ring)]
			in := q.Sub(p).Unit().Perp().Mul(depth)
			w.insert(wall{a: p.Add(in), b: q.Add(in)})
			if p.Sub(before).Cross(q.Sub(p)) <= 0 && depth > 0 {
				w.insert(wall{a: p, r: depth})
			}
		}
	}
	return w
}

func (w *walls) insert(x wall) {
	x.index = len(w.all)
	w.all = append(w.all, x)
	lo, hi := x.box()
	w.tree.Insert(lo, hi, x.index)
}

func (x wall) box() (lo, hi [2]float64) {
	if x.r > 0 {
		return [2]float64{x.a.X - x.r, x.a.Y - x.r}, [2]float64{x.a.X + x.r, x.a.Y + x.r}
	}
	return [2]float64{math.Min(x.a.X, x.b.X), math.Min(x.a.Y, x.b.Y)}, [2]float64{math.Max(x.a.X, x.b.X), math.Max(x.a.Y, x.b.Y)}
}

// near calls f for the walls that come within r of p, and perhaps some more.
func (w *walls) near(p geom.Point, r float64, f func(wall)) {
	w.tree.Search([2]float64{p.X - r, p.Y - r}, [2]float64{p.X + r, p.Y + r}, func(_, _ [2]float64, i int) bool {
		f(w.all[i])
		return true
	})
}

// overlapping calls f for the later walls that could meet x.
func (w *walls) overlapping(x wall, f func(wall)) {
	lo, hi := x.box()
	for k := range lo {
		lo[k] -= touching
		hi[k] += touching
	}
	w.tree.Search(lo, hi, func(_, _ [2]float64, i int) bool {
		if i > x.index {
			f(w.all[i])
		}
		return true
	})
}

// start gives a point of the wall.
func (x wall) start() geom.Point { return geom.Point{X: x.a.X + x.r, Y: x.a.Y} }

// meetCircle gives the points that a wall shares with a circle.
func (x wall) meetCircle(c circle) []geom.Point {
	if x.r > 0 {
		return circle{x.a, x.r}.meetCircle(c)
	}
	d := x.b.Sub(x.a)
	l := d.Len()
	if l == 0 {
		return nil
	}
	u := d.Mul(1 / l)
	along := c.c.Sub(x.a).Dot(u)
	off := c.c.Dist(x.a.Add(u.Mul(along)))
	if off > c.r+touching {
		return nil
	}
	half := math.Sqrt(math.Max(0, c.r*c.r-off*off))
	var out []geom.Point
	for _, t := range [2]float64{along - half, along + half} {
		if t >= -touching && t <= l+touching {
			out = append(out, x.a.Add(u.Mul(t)))
		}
	}
	return out
}

// meet gives the points that two walls share; for segments on one line none,
// for their ends are corners with other walls.
func (x wall) meet(o wall) []geom.Point {
	switch {
	case o.r > 0:
		return x.meetCircle(circle{o.a, o.r})
	case x.r > 0:
		return o.meetCircle(circle{x.a, x.r})
	}
	d, e := x.b.Sub(x.a), o.b.Sub(o.a)
	cross := d.Cross(e)
	if cross == 0 {
		return nil
	}
	t := o.a.Sub(x.a).Cross(e) / cross
	u := o.a.Sub(x.a).Cross(d) / cross
	slackT, slackU := touching/d.Len(), touching/e.Len()
	if t < -slackT || t > 1+slackT || u < -slackU || u > 1+slackU {
		return nil
	}
	return []geom.Point{x.a.Add(d.Mul(t))}
}
