package layout

import (
	"math"
	"testing"

	"brushfall/internal/geom"
)

// lined is a region of lines in SS10, whose pitch is 3.8 mm.
func lined(lines ...geom.Line) Request {
	return Request{Regions: []Region{{ID: "lines", Lines: lines, Size: "SS10", Diameter: 2.9, Gap: 0.9}}}
}

// Where lines meet or cross, one stone serves both, and the steps beside it are hardly
// longer than others (common practice); so at the joints of letters of single lines.
func TestJointsHoldAStone(t *testing.T) {
	t.Parallel()
	p := func(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }
	for name, c := range map[string]struct {
		lines []geom.Line
		at    []geom.Point
	}{
		"a cross":              {[]geom.Line{{p(0, 15), p(40, 15)}, {p(17, 0), p(17, 34)}}, []geom.Point{p(17, 15)}},
		"a T":                  {[]geom.Line{{p(0, 0), p(40, 0)}, {p(18, 0), p(18, 30)}}, []geom.Point{p(18, 0)}},
		"a T that nearly is":   {[]geom.Line{{p(0, 0), p(40, 0)}, {p(18, 0.2), p(18, 30)}}, []geom.Point{p(18, 0.2)}},
		"an H":                 {[]geom.Line{{p(0, 0), p(0, 40)}, {p(25, 0), p(25, 40)}, {p(0, 19), p(25, 19)}}, []geom.Point{p(0, 19), p(25, 19)}},
		"a stroke onto itself": {[]geom.Line{{p(0, 0), p(0, 40), p(25, 40), p(25, 21), p(0, 21)}}, []geom.Point{p(0, 21)}},
		"a loop of a script":   {[]geom.Line{{p(0, 0), p(30, 30), p(40, 20), p(30, 10), p(0, 40)}}, []geom.Point{p(20, 20)}},
		"a bar over a square":  {[]geom.Line{{p(0, 0), p(20, 0), p(20, 20), p(0, 20), p(0, 0)}, {p(-15, 8), p(35, 8)}}, []geom.Point{p(0, 8), p(20, 8)}},
	} {
		stones := laidOut(t, lined(c.lines...)).Stones
		near := func(q geom.Point) (least, next float64) {
			least, next = math.Inf(1), math.Inf(1)
			for _, s := range stones {
				if d := q.Dist(geom.Point{X: s.X, Y: s.Y}); d < least {
					least, next = d, least
				} else {
					next = math.Min(next, d)
				}
			}
			return least, next
		}
		for _, q := range c.at {
			least, next := near(q)
			if least > grid || next < 3.8-gapEase || next > jointStretch*3.8 {
				t.Errorf("%s: the nearest stones to the joint at %v are %.3f and %.3f mm away", name, q, least, next)
			}
		}
		for i, s := range stones {
			for _, o := range stones[:i] {
				if d := (geom.Point{X: s.X, Y: s.Y}).Dist(geom.Point{X: o.X, Y: o.Y}); d < 3.8-gapEase {
					t.Errorf("%s: two stones are %.3f mm apart", name, d)
				}
			}
		}
	}
}

// A joint so near to an end that no even row fits between is left to the rows as they
// come, as are lines with too many points.
func TestJointsThatDoNotFit(t *testing.T) {
	t.Parallel()
	near := lined(geom.Line{{X: 0}, {X: 40}}, geom.Line{{X: 2, Y: -20}, {X: 2, Y: 20}})
	for _, s := range laidOut(t, near).Stones {
		if s.X == 2 && s.Y == 0 {
			t.Error("a stone stands 2 mm from the one at the end")
		}
	}
	var long geom.Line
	for i := range mostJointed {
		long = append(long, geom.Point{X: float64(i) / 50, Y: 5})
	}
	if n := len(laidOut(t, lined(long, geom.Line{{X: 20, Y: -9}, {X: 20, Y: 20}})).Stones); n < 20 {
		t.Errorf("%d stones", n)
	}
}
