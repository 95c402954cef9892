package layout_test

import (
	"fmt"
	"math"
	"reflect"
	"runtime"
	"slices"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/inspect"
	"brushfall/internal/layout"
)

// The kinds of the trials, with the fits and webs of the catalogue.
var (
	ss6  = layout.Extra{Size: "SS6", Colour: "jet", Diameter: 2.1, Gap: 0.8}
	ss10 = layout.Extra{Size: "SS10", Colour: "crystal", Diameter: 2.9, Gap: 0.9}
	ss16 = layout.Extra{Size: "SS16", Colour: "jet", Diameter: 4, Gap: 1}
)

// regionOf gives a region of SS10 with what else it is to hold.
func regionOf(name string, shape geom.Shape, accents *layout.Accents, fills ...layout.Extra) layout.Region {
	return layout.Region{
		ID: name, Shape: shape, Size: ss10.Size, Colour: ss10.Colour, Diameter: ss10.Diameter, Gap: ss10.Gap,
		Accents: accents, Fills: fills,
	}
}

// mixedRecord is record with the other sizes of each region.
func mixedRecord(req layout.Request, res layout.Result) design.Document {
	doc := record(req, res)
	for i, r := range req.Regions {
		for _, e := range r.Extras() {
			doc.Regions[i].Sizes = append(doc.Regions[i].Sizes, design.SizeGap{Size: e.Size, Gap: e.Gap})
			kind := design.Kind{Size: e.Size, Colour: e.Colour, Diameter: e.Diameter, Smallest: e.Diameter - 0.2, Hole: e.Diameter + 0.4, Height: 1}
			if !slices.Contains(doc.Kinds, kind) {
				doc.Kinds = append(doc.Kinds, kind)
			}
		}
	}
	return doc
}

func count(stones []design.Stone, is func(s design.Stone) bool) int {
	n := 0
	for _, s := range stones {
		if is(s) {
			n++
		}
	}
	return n
}

// Whatever is asked for, no rule is broken, beds are full of the region's own
// size, and the outer edges of all rim stones lie on the outline (M3).
func TestMixedSizesBreakNoRule(t *testing.T) {
	t.Parallel()
	recoloured := ss10
	recoloured.Colour = "jet"
	for name, shape := range shapes() {
		for k, a := range []layout.Accents{
			{Extra: ss16, Every: 5}, {Extra: ss16, Every: 3, Corners: true}, {Extra: ss6, Every: 4, Corners: true}, {Extra: recoloured, Every: 2},
		} {
			r := regionOf(name, shape, &a, ss6)
			if k%2 == 1 {
				r.Bed = design.Echo
			}
			req := layout.Request{Effort: layout.Live, Regions: []layout.Region{r}}
			doc := mixedRecord(req, run(t, req))
			for _, f := range inspect.InspectStones(doc) {
				t.Errorf("%s %+v: %v", name, a, f)
			}
			outline := geom.NewBoundary(shape)
			for _, s := range doc.Stones {
				i := slices.IndexFunc(doc.Kinds, func(k design.Kind) bool { return k.Size == s.Size })
				off := outline.Depth(place(s)) - doc.Kinds[i].Diameter/2
				if s.Role == design.RoleRim && math.Abs(off) > 0.02 {
					t.Errorf("%s %+v: a rim stone lies %.4f mm off", name, a, off)
				}
			}
		}
	}
}

// At full effort, with a margin, beside another region with accents.
func TestFinalMixedSizesBreakNoRule(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"heart", "star", "ring"} {
		a := regionOf("a", shapes()[name], &layout.Accents{Extra: ss16, Every: 5, Corners: true}, ss6)
		b := regionOf("b", geom.Subtract(geom.Inset(a.Shape, -12, 0.01), a.Shape), &layout.Accents{Extra: ss16, Every: 4}, ss6)
		b.Margin = 0.2
		req := layout.Request{Regions: []layout.Region{a, b}}
		for _, f := range inspect.InspectStones(mixedRecord(req, run(t, req))) {
			t.Errorf("%s: %v", name, f)
		}
	}
}

// A ring of n stones of which a are accents, whose centres lie on circles of
// radius R−d/2 and R−D/2, closes when the angles between neighbours add up to a
// full turn; each follows from the law of cosines. So many stones stand on a disc
// with equal gaps no less than the larger gap, and one more does not.
func TestAccentsRoundADisc(t *testing.T) {
	const every, radius = 5, 25.0
	a := &layout.Accents{Extra: ss16, Every: every}
	r := regionOf("disc", shapes()["disc"], a)
	r.Treatment = []design.Treatment{design.Rim}
	res := run(t, layout.Request{Regions: []layout.Region{r}})
	accents := count(res.Stones, func(s design.Stone) bool { return s.Size == "SS16" })
	n := len(res.Stones)
	angle := func(d1, d2, gap float64) float64 {
		r1, r2, c := radius-d1/2, radius-d2/2, (d1+d2)/2+gap
		return math.Acos((r1*r1 + r2*r2 - c*c) / (2 * r1 * r2))
	}
	turn := func(n, accents int, gap float64) float64 {
		return 2*float64(accents)*angle(2.9, 4, gap) + float64(n-2*accents)*angle(2.9, 2.9, gap)
	}
	if most := int(math.Round(float64(n+1) / every)); turn(n, accents, 1) > 2*math.Pi || turn(n+1, most, 1) < 2*math.Pi {
		t.Errorf("%d stones take %.4f of a turn, one more %.4f", n, turn(n, accents, 1)/(2*math.Pi), turn(n+1, most, 1)/(2*math.Pi))
	}
	if want := int(math.Round(float64(n) / every)); accents != want {
		t.Errorf("%d accents among %d stones, want %d", accents, n, want)
	}
	gaps := func(i int) float64 {
		s, o := res.Stones[i], res.Stones[(i+1)%n]
		wide := map[string]float64{"SS10": 2.9, "SS16": 4}
		return math.Hypot(s.X-o.X, s.Y-o.Y) - (wide[s.Size]+wide[o.Size])/2
	}
	for i := range n {
		if g := gaps(i); math.Abs(g-gaps(0)) > 1e-4 || g < 1 {
			t.Errorf("gap %d is %.6f, the first %.6f", i, g, gaps(0))
		}
	}
	last := -1
	for i, s := range append(slices.Clone(res.Stones), res.Stones[0]) {
		if s.Size == "SS16" {
			if last >= 0 && (i-last < every-1 || i-last > every+1) {
				t.Errorf("%d stones from one accent to the next", i-last)
			}
			last = i
		}
	}
}

// With corners asked for, each corner of a star holds an accent, and each end
// and corner of an open line.
func TestAccentsOnCorners(t *testing.T) {
	a := &layout.Accents{Extra: ss16, Every: math.MaxInt32, Corners: true}
	corner := func(stones []design.Stone, at geom.Point, reach float64) bool {
		return count(stones, func(s design.Stone) bool { return s.Size == "SS16" && at.Dist(geom.Point{X: s.X, Y: s.Y}) < reach }) == 1
	}
	ell := run(t, layout.Request{Effort: layout.Live, Regions: []layout.Region{regionOf("ell", shapes()["ell"], a)}})
	for _, at := range []geom.Point{{X: -23, Y: -23}, {X: -23, Y: 23}, {X: 23, Y: 23}, {X: 23, Y: 7}, {X: -7, Y: -23}} {
		if !corner(ell.Stones, at, 0.01) {
			t.Errorf("no accent in the corner at %v", at)
		}
	}
	if n := count(ell.Stones, func(s design.Stone) bool { return s.Size == "SS16" }); n != 6 {
		t.Errorf("%d accents in an L with six corners", n)
	}
	line := layout.Region{
		ID: "line", Lines: []geom.Line{{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 30}}},
		Size: ss10.Size, Colour: ss10.Colour, Diameter: ss10.Diameter, Gap: ss10.Gap, Accents: a,
	}
	req := layout.Request{Regions: []layout.Region{line}}
	res := run(t, req)
	for _, f := range inspect.InspectStones(mixedRecord(req, res)) {
		t.Error(f)
	}
	for _, at := range line.Lines[0] {
		if !corner(res.Stones, at, 0.001) {
			t.Errorf("no accent at %v", at)
		}
	}
	if row := inspect.Measure(mixedRecord(req, res)).Rows[0]; row.Evenness == nil || *row.Evenness > 1.001 {
		t.Errorf("the line's evenness is %v", row.Evenness)
	}
}

// What is filled is full: no further stone of the filling's size fits, judged as
// the room of a region of that size. A bed may be so full that it leaves none, but
// not the most of these.
func TestFillsAreFull(t *testing.T) {
	filled := 0
	for _, name := range []string{"heart", "star", "cross", "ell", "two"} {
		r := regionOf(name, shapes()[name], &layout.Accents{Extra: ss16, Every: 5}, ss6)
		r.Treatment = []design.Treatment{design.Rim, design.Bed}
		req := layout.Request{Effort: layout.Live, Regions: []layout.Region{r}}
		res := run(t, req)
		doc := mixedRecord(req, res)
		doc.Regions[0].Size, doc.Regions[0].Colour, doc.Regions[0].Gap, doc.Regions[0].Pitch = "SS6", "jet", ss6.Gap, ss6.Diameter+ss6.Gap
		doc.Regions[0].Sizes = []design.SizeGap{{Size: "SS10", Gap: ss10.Gap}, {Size: "SS16", Gap: ss16.Gap}}
		for _, f := range inspect.InspectStones(doc) {
			t.Errorf("%s: %v", name, f)
		}
		if count(res.Stones, func(s design.Stone) bool { return s.Size == "SS6" }) > 0 {
			filled++
		}
	}
	if filled < 3 {
		t.Errorf("only %d of five shapes have stones in their gaps", filled)
	}
}

// A pattern moves no stone, and repeated outlines take the colours in turn: the
// k-th row lies k pitches further in.
func TestPatternsMoveNoStone(t *testing.T) {
	square := geom.Fill([]geom.Ring{corners(20, -1, -1, 1, -1, 1, 1, -1, 1)}, geom.NonZero)
	r := regionOf("square", square, nil)
	r.Bed = design.Echo
	plain := run(t, layout.Request{Regions: []layout.Region{r}})
	colours := []string{"a", "b", "c"}
	r.Coats = []layout.Coat{{Pattern: layout.ByRow, Colours: colours}}
	painted := run(t, layout.Request{Regions: []layout.Region{r}})
	b := geom.NewBoundary(square)
	rowed := 0
	for i, s := range painted.Stones {
		p := plain.Stones[i]
		if p.Colour = s.Colour; p != s {
			t.Fatalf("stone %d is %+v, without colours %+v", i, s, p)
		}
		level := (b.Depth(geom.Point{X: s.X, Y: s.Y}) - r.Diameter/2) / r.Pitch()
		if k := math.Round(level); math.Abs(level-k) < 0.005 {
			rowed++
			if s.Colour != colours[int(k)%3] {
				t.Errorf("a stone of row %v is %s", k, s.Colour)
			}
		}
	}
	if rowed < len(painted.Stones)*9/10 {
		t.Errorf("only %d of %d stones stand in rows", rowed, len(painted.Stones))
	}
}

// The same stones in the same colours on one core and on several.
func TestMixedSizesOnAnyNumberOfCores(t *testing.T) {
	req := layout.Request{Effort: layout.Live}
	for i, name := range []string{"heart", "star", "ring", "tee"} {
		r := regionOf(fmt.Sprint(name, i), shapes()[name].Transform(geom.Translate(float64(i)*30, 0)), &layout.Accents{Extra: ss16, Every: 4, Corners: i%2 == 0}, ss6)
		r.Coats = []layout.Coat{
			{Roles: []design.Role{design.RoleRim}, Pattern: layout.Along, Colours: []string{"a", "b"}},
			{Pattern: layout.Gradient, Outward: i%2 == 1, Colours: []string{"a", "b", "c"}},
		}
		req.Regions = append(req.Regions, r)
	}
	before := runtime.GOMAXPROCS(1)
	one := run(t, req)
	runtime.GOMAXPROCS(4)
	four := run(t, req)
	runtime.GOMAXPROCS(before)
	if !reflect.DeepEqual(one, four) {
		t.Error("the layout depends on the number of cores")
	}
}
