package layout_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"runtime"
	"slices"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/layout"
)

// wish is a bed with its settings.
type wish struct {
	bed design.BedStyle
	as  layout.BedSettings
}

// wishes are beds of every style and setting.
func wishes() []wish {
	return []wish{
		{design.Courses, layout.BedSettings{}},
		{design.Courses, layout.BedSettings{Angle: 0.5, Columns: layout.InLine}},
		{design.Courses, layout.BedSettings{Angle: -1.3, Columns: layout.Brick}},
		{design.Spokes, layout.BedSettings{}},
		{design.Spokes, layout.BedSettings{Angle: 0.2, Centre: &geom.Point{X: -12, Y: 15}}},
		{design.Scatter, layout.BedSettings{Seed: 7}},
		{design.Scatter, layout.BedSettings{Density: 0.5}},
		{design.Scatter, layout.BedSettings{Density: 1, DensityTo: 0.1, Towards: 2.1}},
	}
}

// set gives a region of a shape to be set with SS10.
func set(shape geom.Shape, w wish, treatment ...design.Treatment) layout.Region {
	return layout.Region{
		ID: "it", Shape: shape, Bed: w.bed, BedAs: w.as, Treatment: treatment,
		Size: "SS10", Diameter: 2.9, Gap: 0.9,
	}
}

// rectangle gives an area with a corner on the origin.
func rectangle(w, h float64) geom.Shape {
	return geom.Fill([]geom.Ring{corners(1, 0, 0, w, 0, w, h, 0, h)}, geom.NonZero)
}

// Beds of every style break no rule of inspection and, unless they are asked to
// be sparse, leave no room for one more stone: on every shape, in both
// efforts, with and without a rim.
func TestBedsBreakNoRule(t *testing.T) {
	t.Parallel()
	for name, shape := range shapes() {
		for i, w := range wishes() {
			for k, treatment := range [][]design.Treatment{nil, {design.Rim, design.Bed}, {design.Bed}} {
				r := set(shape, w, treatment...)
				if k == 1 {
					r.Size, r.Diameter, r.Gap, r.Margin = "SS6", 2.1, 0.8, 0.2
				}
				// Every effort meets every bed and every treatment.
				req := layout.Request{Regions: []layout.Region{r}, Effort: layout.Effort((i + k) % 2)}
				judge(t, fmt.Sprint(name, w, treatment), req, run(t, req))
			}
		}
	}
}

// A bed keeps clear of what other regions hold, and comes out the same on any
// number of cores.
func TestBedsAmongOthers(t *testing.T) {
	all := shapes()
	for _, w := range wishes() {
		line := layout.Region{ID: "crossing", Lines: []geom.Line{{{X: -40, Y: -30}, {X: 40, Y: 30}}}, Size: "SS16", Diameter: 4, Gap: 1}
		disc := set(all["disc"], w)
		around := set(geom.Subtract(geom.Inset(all["disc"], -12, 0.01), all["disc"]), w)
		around.ID = "around"
		req := layout.Request{Regions: []layout.Region{line, disc, around}, Effort: layout.Live}
		before := runtime.GOMAXPROCS(1)
		one := run(t, req)
		runtime.GOMAXPROCS(4)
		four := run(t, req)
		runtime.GOMAXPROCS(before)
		judge(t, fmt.Sprint(w), req, one)
		if !reflect.DeepEqual(one, four) {
			t.Errorf("%v depends on the number of cores", w)
		}
	}
}

func TestBedsStopWhenCancelled(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	for _, w := range wishes() {
		if _, err := layout.Run(ctx, layout.Request{Regions: []layout.Region{set(shapes()["disc"], w)}}, nil); !errors.Is(err, context.Canceled) {
			t.Errorf("%v: a cancelled run says %v", w, err)
		}
	}
}

// beds gives the centres of the bed stones of a region.
func beds(t *testing.T, r layout.Region) []geom.Point {
	t.Helper()
	var out []geom.Point
	for _, s := range run(t, layout.Request{Regions: []layout.Region{r}, Effort: layout.Live}).Stones {
		if s.Role == design.RoleBed {
			out = append(out, geom.Point{X: s.X, Y: s.Y})
		}
	}
	return out
}

// A rectangle that n by m stones just fill holds them, whichever way it is
// turned: a square grid if the courses stand in line or run from wall to wall.
func TestCoursesFillARectangle(t *testing.T) {
	const pitch, n, m = 3.8, 12, 7
	for _, angle := range []float64{0, 17, 90, 144} {
		box := rectangle((n-1)*pitch+2.92, (m-1)*pitch+2.92).Transform(geom.Rotate(angle * math.Pi / 180))
		for _, columns := range []layout.Columns{layout.EvenSteps, layout.InLine} {
			w := wish{design.Courses, layout.BedSettings{Angle: angle * math.Pi / 180, Columns: columns}}
			if got := len(beds(t, set(box, w, design.Bed))); got != n*m {
				t.Errorf("at %v°, columns %d: %d stones, want %d", angle, columns, got, n*m)
			}
		}
	}
}

// Brick courses as close as can be are the rows of a honeycomb: √3/2 of a pitch
// apart, by turns n and n − 1 stones in a rectangle of n (common practice).
func TestBrickCoursesAreAHoneycomb(t *testing.T) {
	const pitch, n, m = 3.8, 12, 9
	box := rectangle((n-1)*pitch+2.92, (m-1)*pitch*math.Sqrt(3)/2+2.92)
	w := wish{design.Courses, layout.BedSettings{Columns: layout.Brick}}
	got := len(beds(t, set(box, w, design.Bed)))
	if most := n*(m+1)/2 + (n-1)*(m-1)/2; got != most {
		t.Errorf("%d stones, want %d", got, most)
	}
}

// Courses lie on lines at the angle asked for, evenly apart. A few stones
// may stand between: where a place between the courses and the rim is left.
func TestCoursesAreStraight(t *testing.T) {
	for _, name := range []string{"disc", "heart", "star", "ell"} {
		for _, angle := range []float64{0, 33, 90, -20} {
			for _, columns := range []layout.Columns{layout.EvenSteps, layout.InLine, layout.Brick} {
				w := wish{design.Courses, layout.BedSettings{Angle: angle * math.Pi / 180, Columns: columns}}
				stones := beds(t, set(shapes()[name].Transform(geom.Scale(2, 2)), w, design.Rim, design.Bed))
				rows := map[int]int{}
				for _, p := range stones {
					rows[int(math.Round(geom.Rotate(-angle*math.Pi/180).Apply(p).Y*1000))]++
				}
				lone := 0
				for y, n := range rows {
					if n+rows[y-1]+rows[y+1] == 1 {
						lone++
					}
				}
				if lone > 2+len(stones)/20 {
					t.Errorf("%s at %v°, columns %d: %d of %d stones stand in no course", name, angle, columns, lone, len(stones))
				}
			}
		}
	}
}

// A disc that k rings round a stone just fill holds 1 + 6 + 12 + … + 6k stones: the
// curved hexagonal packings of Lubachevsky and Graham (Discrete Comput. Geom. 18
// (1997) 179), of 3k(k + 1) + 1 discs.
func TestSpokesOnADisc(t *testing.T) {
	const pitch = 3.8
	for k := 1; k <= 6; k++ {
		radius := float64(k)*pitch + 1.46
		disc := geom.Fill([]geom.Ring{ring(720, func(a float64) (float64, float64) {
			return 40 + radius*math.Cos(a), 9 + radius*math.Sin(a)
		})}, geom.NonZero)
		stones := beds(t, set(disc, wish{bed: design.Spokes}, design.Bed))
		if want := 3*k*(k+1) + 1; len(stones) != want {
			t.Errorf("%d rings: %d stones, want %d", k, len(stones), want)
		}
		up := 0
		for _, p := range stones {
			if math.Abs(p.X-40) < 0.02 && p.Y < 9.01 {
				up++
			}
		}
		if up != k+1 {
			t.Errorf("%d rings: %d stones on the ray straight up", k, up)
		}
	}
}

// The bed of a star of n points turns on itself with the star, wherever its
// points are.
func TestSpokesKeepTheStarsSymmetry(t *testing.T) {
	for _, n := range []int{5, 6, 7, 8} {
		tips := ring(2*n, func(a float64) (float64, float64) {
			r := 30.0
			if int(math.Round(a*float64(n)/math.Pi))%2 == 1 {
				r = 17
			}
			return r * math.Cos(a+0.3), r * math.Sin(a+0.3)
		})
		stones := beds(t, set(geom.Fill([]geom.Ring{tips}, geom.NonZero), wish{bed: design.Spokes}, design.Bed))
		turn := geom.Rotate(2 * math.Pi / float64(n))
		off := 0
		for _, p := range stones {
			if q := turn.Apply(p); !slices.ContainsFunc(stones, func(o geom.Point) bool { return o.Dist(q) < 0.02 }) {
				off++
			}
		}
		if off > 0 || len(stones) < 70 {
			t.Errorf("%d points: %d of %d stones fall on none when it is turned", n, off, len(stones))
		}
	}
}

// A centre that is asked for holds a stone, and rings close around it.
func TestSpokesRoundACentre(t *testing.T) {
	w := wish{design.Spokes, layout.BedSettings{Centre: &geom.Point{X: 20, Y: 20}}}
	stones := beds(t, set(rectangle(80, 40), w, design.Bed))
	centre := geom.Point{X: 20, Y: 20}
	var rings [5]int
	var sum geom.Point
	for _, p := range stones {
		d := p.Dist(centre)
		if k := math.Round(d / 3.8); k < 5 {
			rings[int(k)]++
			sum = sum.Add(p.Sub(centre))
		}
	}
	if rings[0] != 1 || rings[1] != 6 || rings[2] != 12 || rings[3] != 18 || rings[4] != 24 || sum.Len() > 0.01 {
		t.Errorf("rings of %v stones, off the centre by %v", rings, sum)
	}
}
