package geom

// SimplifyLine leaves out points so that none of them is farther than tol (mm) from
// the line that stays. Ends stay; a line of fewer than three points is given back as
// it is. Method: Douglas and Peucker, Cartographica 10 (1973).
func SimplifyLine(l Line, tol float64) Line {
	if len(l) < 3 {
		return l
	}
	keep := make([]bool, len(l))
	keep[0], keep[len(l)-1] = true, true
	mark(l, keep, 0, len(l)-1, tol)
	var out Line
	for i, p := range l {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}

// SimplifyRing does as SimplifyLine for a ring, from its first point and the point
// farthest from that; at least three points stay. It may make a ring cross itself
// where two parts run nearer than tol; Fill mends that.
func SimplifyRing(r Ring, tol float64) Ring {
	if len(r) <= 3 {
		return r
	}
	far := farthestFrom(r, r[0])
	open := append(append(Line(nil), r...), r[0])
	keep := make([]bool, len(open))
	keep[0], keep[far] = true, true
	mark(open, keep, 0, far, tol)
	mark(open, keep, far, len(r), tol)
	var out Ring
	for i, p := range r {
		if keep[i] {
			out = append(out, p)
		}
	}
	if len(out) > 2 {
		return out
	}
	// Two points are no ring: add the one farthest from the line between them.
	e := side{a: r[0], b: r[far]}
	third, best := 0, -1.0
	for i, p := range r {
		if d := e.dist2(p); i != 0 && i != far && d > best {
			third, best = i, d
		}
	}
	if third < far {
		return Ring{r[0], r[third], r[far]}
	}
	return Ring{r[0], r[far], r[third]}
}

// farthestFrom gives the index, never 0, of the point farthest from p.
func farthestFrom(points []Point, p Point) int {
	far := 1
	for i := range points {
		if i > 0 && points[i].Dist2(p) > points[far].Dist2(p) {
			far = i
		}
	}
	return far
}

// mark marks the points that stay between i and j, which do. It keeps a stack of its
// own, as a spiral could go as deep as it has points.
func mark(l Line, keep []bool, i, j int, tol float64) {
	stack := [][2]int{{i, j}}
	for len(stack) > 0 {
		i, j := stack[len(stack)-1][0], stack[len(stack)-1][1]
		stack = stack[:len(stack)-1]
		e := side{a: l[i], b: l[j]}
		worst, at := tol*tol, -1
		for k := i + 1; k < j; k++ {
			if d := e.dist2(l[k]); d > worst {
				worst, at = d, k
			}
		}
		if at >= 0 {
			keep[at] = true
			stack = append(stack, [2]int{i, at}, [2]int{at, j})
		}
	}
}
