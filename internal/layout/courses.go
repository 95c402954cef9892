package layout

import (
	"context"
	"math"

	"brushfall/internal/geom"
)

// How courses are fitted.
const (
	coursePhases = 24   // phases tried across the courses, and along them
	courseWiden  = 0.01 // steps are tried wider by this share,
	courseWidest = 10   // up to so many times
)

// courses is a family of parallel straight rows in a frame turned so that they
// lie level: row k at y0 + k·h; columns, if there are any, a step apart from x0.
type courses struct {
	turn   geom.Affine // from the frame to the plane
	y0, h  float64
	x0     float64
	step   float64
	shift  float64 // of every other row
	rows   []scanRow
	free   [][]span
	placed bool // stones stand on columns
}

// layCourses fills what the rows leave with straight rows.
func (s *site) layCourses(ctx context.Context) error {
	if s.outline == nil || s.allowed.Empty() {
		return nil
	}
	c := s.fitCourses()
	c.clear(s.obstacles())
	least := s.pitch + slack
	for i, r := range c.rows {
		var places []geom.Point
		set := func(u float64) {
			places = append(places, c.turn.Apply(geom.Point{X: u, Y: c.y0 + float64(r.k)*c.h}))
		}
		for _, f := range apart(c.free[i], least, math.Inf(1)) {
			if c.placed {
				f.onColumns(c.phase(r.k), c.step, set)
			} else {
				f.even(least, set)
			}
		}
		s.setBedRow(places)
	}
	return s.saturate(ctx)
}

// phase gives the place of a column on row k.
func (c *courses) phase(k int) float64 {
	if k&1 != 0 {
		return c.x0 + c.shift
	}
	return c.x0
}

// fitCourses chooses where the courses lie: their angle is asked for; what is
// free is how far they are shifted and by how little their steps are widened, so
// that they fill the core best.
func (s *site) fitCourses() *courses {
	angle := s.BedAs.Angle
	back := geom.Rotate(-angle)
	allowed, core := s.allowed.Transform(back), s.core().Transform(back)
	c := &courses{turn: geom.Rotate(angle), placed: s.BedAs.Columns != EvenSteps}
	p := s.pitch + slack
	least := p
	if s.BedAs.Columns == Brick {
		least = p * math.Sqrt(3) / 2
	}
	across, along := symmetries(allowed)
	if s.BedAs.Columns == Brick && across == 2 {
		across = 1 // a row of its own image: the next ones are half a step over
	}
	c.fitRows(core, allowed, least, across)
	if c.placed {
		c.fitColumns(core, allowed, p, s.BedAs.Columns == Brick, along)
	}
	c.rows = crossings(allowed, c.y0, c.h)
	c.free = make([][]span, len(c.rows))
	for i, r := range c.rows {
		for j := 0; j+1 < len(r.xs); j += 2 {
			c.free[i] = append(c.free[i], span{r.xs[j], r.xs[j+1]})
		}
	}
	return c
}

// symmetries gives how many phases are worth trying across level rows and along
// them: two, on the middle and beside it, where the shape is its own image over
// the middle of its box, for other phases would break its symmetry.
func symmetries(s geom.Shape) (across, along int) {
	b, box := geom.NewBoundary(s), s.Bounds()
	mid := geom.Point{X: box.MinX + box.MaxX, Y: box.MinY + box.MaxY}
	half := mapsOn(b, s, geom.Affine{A: -1, D: -1, E: mid.X, F: mid.Y})
	across, along = coursePhases, coursePhases
	if half || mapsOn(b, s, geom.Affine{A: 1, D: -1, F: mid.Y}) {
		across = 2
	}
	if half || mapsOn(b, s, geom.Affine{A: -1, D: 1, E: mid.X}) {
		along = 2
	}
	return across, along
}

// fitRows chooses phase and step of the rows, looking across them.
func (c *courses) fitRows(core, whole geom.Shape, least float64, phases int) {
	box := whole.Bounds()
	quarter := core.Transform(geom.Affine{B: 1, C: 1}) // x and y changed over
	scans := level(quarter, (box.MinX+box.MaxX)/2, least/2, false)
	c.y0, c.h = fitSteps(scans, (box.MinY+box.MaxY)/2, least, phases)
}

// fitColumns chooses phase and step of the columns, looking along the rows.
func (c *courses) fitColumns(core, whole geom.Shape, least float64, brick bool, phases int) {
	box := whole.Bounds()
	c.x0, c.step = fitSteps(level(core, c.y0, c.h, brick), (box.MinX+box.MaxX)/2, least, phases)
	if brick {
		c.shift = c.step / 2
	}
}

// fitSteps chooses the place of one row, at or beside mid, and the step between
// rows that meet the scans most evenly.
func fitSteps(scans []scan, mid, least float64, phases int) (first, step float64) {
	best := math.Inf(1)
	for wide := range courseWidest + 1 {
		h := least * (1 + courseWiden*float64(wide))
		for i := range phases {
			at := mid + h*float64(i)/float64(phases)
			if m := misfit(scans, at, h, least); m < best {
				best, first, step = m, at, h
			}
		}
	}
	return first, step
}

// clear takes the reach of obstacles away from what is free.
func (c *courses) clear(obstacles []fixture) {
	if len(c.rows) == 0 {
		return
	}
	back, _ := c.turn.Inverse()
	for _, o := range obstacles {
		at := back.Apply(o.at)
		first := int(math.Ceil((at.Y-o.reach-c.y0)/c.h)) - c.rows[0].k
		last := int(math.Floor((at.Y+o.reach-c.y0)/c.h)) - c.rows[0].k
		for i := max(first, 0); i <= min(last, len(c.rows)-1); i++ {
			dy := c.y0 + float64(c.rows[i].k)*c.h - at.Y
			half := math.Sqrt(math.Max(0, o.reach*o.reach-dy*dy))
			c.free[i] = without(c.free[i], span{at.X - half, at.X + half})
		}
	}
}
