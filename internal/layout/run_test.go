package layout_test

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"os"
	"reflect"
	"runtime"
	"slices"
	"strconv"
	"sync"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/inspect"
	"brushfall/internal/layout"
)

// ring samples a closed curve.
func ring(n int, f func(t float64) (x, y float64)) geom.Ring {
	out := make(geom.Ring, n)
	for i := range out {
		x, y := f(2 * math.Pi * float64(i) / float64(n))
		out[i] = geom.Point{X: x, Y: y}
	}
	return out
}

// corners makes a ring of a list of coordinates, scaled by k.
func corners(k float64, v ...float64) geom.Ring {
	var out geom.Ring
	for i := 0; i < len(v); i += 2 {
		out = append(out, geom.Point{X: k * v[i], Y: k * v[i+1]})
	}
	return out
}

// shapes are areas of the kinds that artwork is made of, made once for all tests.
var shapes = sync.OnceValue(func() map[string]geom.Shape {
	circle := func(r, x float64) geom.Ring {
		return ring(360, func(t float64) (float64, float64) { return x + r*math.Cos(t), r * math.Sin(t) })
	}
	fill := func(r ...geom.Ring) geom.Shape { return geom.Fill(r, geom.EvenOdd) }
	star := ring(10, func(t float64) (float64, float64) {
		r := 30.0
		if int(math.Round(t/(math.Pi/5)))%2 == 1 {
			r = 12
		}
		return r * math.Sin(t), -r * math.Cos(t)
	})
	heart := ring(400, func(t float64) (float64, float64) {
		s := math.Sin(t)
		return 25 * s * s * s, -25.0 / 16 * (13*math.Cos(t) - 5*math.Cos(2*t) - 2*math.Cos(3*t) - math.Cos(4*t))
	})
	return map[string]geom.Shape{
		"disc":     fill(circle(25, 0)),
		"ring":     fill(circle(25, 0), circle(15, 0)),
		"thinring": fill(circle(25, 0), circle(21, 0)),
		"crescent": geom.Subtract(fill(circle(25, 0)), fill(circle(20, 8))),
		"star":     fill(star),
		"heart":    fill(heart),
		"wedge":    fill(corners(25, -1, -.3, 1.2, 0, -1, .3)),
		"cross":    fill(corners(25, -1, -.8, -.8, -1, 0, -.2, .8, -1, 1, -.8, .2, 0, 1, .8, .8, 1, 0, .2, -.8, 1, -1, .8, -.2, 0)),
		"tee":      fill(corners(25, -1, -1, 1, -1, 1, -.82, .09, -.82, .09, 1, -.09, 1, -.09, -.82, -1, -.82)),
		"ell":      fill(corners(25, -1, -1, -.2, -1, -.2, .2, 1, .2, 1, 1, -1, 1)),
		"weave":    fill(corners(25, -1.2, -.115, 1.2, -.115, 1.2, .115, -1.2, .115)),
		"hairbar":  fill(corners(25, -1, -.02, 1, -.02, 1, .02, -1, .02)),
		"crumb":    fill(circle(1.8, 0)),
		"two":      fill(circle(9, -12), circle(9, 12)),
	}
})

// record puts a layout into the form that is inspected, without plates.
func record(req layout.Request, res layout.Result) design.Document {
	doc := design.Document{Version: design.Version, Unit: "mm", Stones: res.Stones}
	for i, r := range req.Regions {
		reg := design.Region{
			ID: r.ID, Open: len(r.Lines) > 0, Treatment: res.Treatments[i], Bed: r.Bed, Density: r.Sparse(),
			Size: r.Size, Colour: r.Colour, Gap: r.Gap, Pitch: r.Pitch(), Margin: r.Margin,
		}
		add := func(points []geom.Point) {
			var pairs [][2]float64
			for _, p := range points {
				pairs = append(pairs, [2]float64{p.X, p.Y})
			}
			reg.Rings = append(reg.Rings, pairs)
		}
		for _, g := range r.Shape.Rings {
			add(g)
		}
		for _, l := range r.Lines {
			add(l)
		}
		doc.Regions = append(doc.Regions, reg)
		kind := design.Kind{Size: r.Size, Colour: r.Colour, Diameter: r.Diameter, Smallest: r.Diameter - 0.2, Hole: r.Diameter + 0.4, Height: 1}
		if !slices.Contains(doc.Kinds, kind) {
			doc.Kinds = append(doc.Kinds, kind)
		}
	}
	return doc
}

// judge inspects the stones of a layout by the rules that need no plates.
func judge(t *testing.T, name string, req layout.Request, res layout.Result) {
	t.Helper()
	for _, f := range inspect.InspectStones(record(req, res)) {
		t.Errorf("%s: %+v", name, f)
	}
}

func run(t *testing.T, req layout.Request) layout.Result {
	t.Helper()
	res, err := layout.Run(context.Background(), req, nil)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// Nothing illegal leaves the program: every shape, size, bed and effort is
// inspected by code that shares only the plane geometry.
func TestLayoutsBreakNoRule(t *testing.T) {
	t.Parallel()
	for name, shape := range shapes() {
		for _, size := range []struct {
			name          string
			diameter, gap float64
		}{{"SS6", 2.1, 0.8}, {"SS10", 2.9, 0.9}, {"SS16", 4, 1}} {
			for _, bed := range []design.BedStyle{design.Comb, design.Echo} {
				for _, treatment := range [][]design.Treatment{nil, {design.Rim, design.Bed}, {design.Bed}, {design.Spine}} {
					if bed == design.Echo && len(treatment) == 1 && treatment[0] == design.Spine {
						continue // a spine alone has no bed: it was laid with the first
					}
					req := layout.Request{Effort: layout.Live, Regions: []layout.Region{{
						ID: name, Shape: shape, Bed: bed, Treatment: treatment,
						Size: size.name, Diameter: size.diameter, Gap: size.gap,
					}}}
					judge(t, fmt.Sprint(name, " ", size.name, " ", bed, " ", treatment), req, run(t, req))
				}
			}
		}
	}
}

// At full effort too, and with a margin.
func TestFinalLayoutsBreakNoRule(t *testing.T) {
	t.Parallel()
	for name, shape := range shapes() {
		req := layout.Request{Regions: []layout.Region{{
			ID: name, Shape: shape, Bed: design.Comb, Size: "SS10", Diameter: 2.9, Gap: 0.9, Margin: 0.3,
		}}}
		judge(t, name, req, run(t, req))
	}
}

// Regions that touch, overlap or cross keep each other's gap, and what the first
// listed one got does not depend on the second.
func TestFirstListedWins(t *testing.T) {
	all := shapes()
	first := layout.Region{ID: "disc", Shape: all["disc"], Bed: design.Comb, Size: "SS10", Diameter: 2.9, Gap: 0.9}
	others := []layout.Region{
		{ID: "touching", Shape: geom.Fill([]geom.Ring{corners(25, 0, .2, 3, .2, 3, 1.2, 0, 1.2)}, geom.EvenOdd), Bed: design.Comb, Size: "SS6", Diameter: 2.1, Gap: 0.8},
		{ID: "crossing", Lines: []geom.Line{{{X: -40, Y: -30}, {X: 40, Y: 30}}}, Size: "SS16", Diameter: 4, Gap: 1},
		{ID: "around", Shape: geom.Subtract(geom.Inset(all["disc"], -12, 0.01), all["disc"]), Bed: design.Echo, Size: "SS10", Diameter: 2.9, Gap: 0.9},
	}
	alone := run(t, layout.Request{Regions: []layout.Region{first}, Effort: layout.Live})
	for _, o := range others {
		o.Shape = geom.Subtract(o.Shape, first.Shape)
		req := layout.Request{Regions: []layout.Region{first, o}, Effort: layout.Live}
		res := run(t, req)
		judge(t, o.ID, req, res)
		if !reflect.DeepEqual(res.Stones[:len(alone.Stones)], alone.Stones) {
			t.Errorf("%s changes the region before it", o.ID)
		}
		if len(res.Stones) == len(alone.Stones) {
			t.Errorf("%s got no stone", o.ID)
		}
	}
}

// The same stones on one core and on several.
func TestSameOnAnyNumberOfCores(t *testing.T) {
	req := layout.Request{}
	for i, name := range []string{"heart", "star", "ring", "tee", "ell"} {
		shift := geom.Translate(float64(i)*30, 0)
		req.Regions = append(req.Regions, layout.Region{
			ID: name, Shape: shapes()[name].Transform(shift), Size: "SS10", Diameter: 2.9, Gap: 0.9,
		})
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

func TestCancel(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	_, err := layout.Run(ctx, layout.Request{Regions: []layout.Region{disc(2000, design.Comb)}}, nil)
	if !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled run says %v", err)
	}
}

// Rim stones lie with their outer edge on the outline, and the rows of a letter
// have a stone on every end, joint and corner (common practice).
func TestRowsReachWhereTheyShould(t *testing.T) {
	tee := run(t, layout.Request{Regions: []layout.Region{{ID: "tee", Shape: shapes()["tee"], Size: "SS10", Diameter: 2.9, Gap: 0.9}}})
	for _, want := range []geom.Point{{X: -25 + 1.45, Y: -22.75}, {X: 25 - 1.45, Y: -22.75}, {X: 0, Y: 25 - 1.45}, {X: 0, Y: -22.4}} {
		if !slices.ContainsFunc(tee.Stones, func(s design.Stone) bool { return math.Hypot(s.X-want.X, s.Y-want.Y) < 0.4 }) {
			t.Errorf("no stone of the letter at %v", want)
		}
	}
	ell := run(t, layout.Request{Regions: []layout.Region{{ID: "ell", Shape: shapes()["ell"], Size: "SS10", Diameter: 2.9, Gap: 0.9}}})
	b := geom.NewBoundary(shapes()["ell"])
	for _, s := range ell.Stones {
		if d := b.Depth(geom.Point{X: s.X, Y: s.Y}); s.Role == design.RoleRim && math.Abs(d-1.45) > 0.005 {
			t.Errorf("a rim stone lies %.4f deep", d)
		}
	}
	for _, want := range []geom.Point{{X: -23.55, Y: -23.55}, {X: -23.55, Y: 23.55}, {X: 23.55, Y: 23.55}, {X: 23.55, Y: 6.45}, {X: -6.45, Y: -23.55}} {
		if !slices.ContainsFunc(ell.Stones, func(s design.Stone) bool { return math.Hypot(s.X-want.X, s.Y-want.Y) < 0.005 }) {
			t.Errorf("no stone on the corner %v", want)
		}
	}
}

// Discs of the radius in which N equal discs are known to fit (E. Specht,
// Packomania, as stored in jcmiller11/circlepacking, MIT) hold 7, 19 and
// 37 stones exactly and nearly all of the others; none holds more than is known.
func TestDiscsAgainstKnownPackings(t *testing.T) {
	t.Parallel()
	f, err := os.Open("testdata/discs.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rd := csv.NewReader(f)
	rd.Comment = '#'
	rows, err := rd.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	const sides = 360
	sum, n := 0.0, 0
	for _, row := range rows[1:] {
		want, _ := strconv.Atoi(row[0])
		ratio, _ := strconv.ParseFloat(row[1], 64)
		r := disc(1, design.Comb)
		// Our pitch is the known discs' diameter, and a stone's edge may lie half a
		// gap nearer to the outline than those discs' edge.
		// Chords of the outline lie inside of it; their middles are that far out.
		radius := (ratio*r.Pitch()/2 - r.Gap/2 + 0.004) / math.Cos(math.Pi/sides)
		r.Shape = geom.Fill([]geom.Ring{ring(sides, func(t float64) (float64, float64) {
			return 5.254 + radius*math.Cos(t), 0.7 + radius*math.Sin(t) // a disc may lie anywhere
		})}, geom.NonZero)
		r.Treatment = []design.Treatment{design.Bed}
		got := len(run(t, layout.Request{Regions: []layout.Region{r}}).Stones)
		if got > want || ((want == 7 || want == 19 || want == 37) && got != want) {
			t.Errorf("%d stones where %d are known to fit", got, want)
		}
		t.Logf("%d of %d", got, want)
		sum, n = sum+float64(got)/float64(want), n+1
	}
	t.Logf("mean share of the best known over %d discs: %.4f", n, sum/float64(n))
	if sum/float64(n) < 0.95 {
		t.Errorf("mean share %.4f of the best known numbers is below 0.95", sum/float64(n))
	}
}
