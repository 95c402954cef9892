package layout_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/inspect"
	"brushfall/internal/layout"
)

// jewel is a larger stone that is set by hand.
var jewel = design.Kind{Size: "SS16", Colour: "siam", Diameter: 4, Smallest: 3.8, Hole: 4.5, Height: 1.5}

const jewelGap = 1.0

// edited is record for a layout with edits.
func edited(req layout.Request, res layout.Result) design.Document {
	doc := record(req, res)
	for i, left := range res.Left {
		doc.Regions[i].Left = left
		doc.Regions[i].Sizes = []design.SizeGap{{Size: jewel.Size, Gap: jewelGap}}
	}
	doc.Kinds = append(doc.Kinds, jewel)
	for _, s := range res.Stones {
		i := slices.IndexFunc(doc.Kinds, func(k design.Kind) bool { return k.Size == s.Size })
		k := doc.Kinds[i]
		if k.Colour = s.Colour; !slices.Contains(doc.Kinds, k) {
			doc.Kinds = append(doc.Kinds, k)
		}
	}
	return doc
}

func judgeEdited(t *testing.T, name string, req layout.Request, res layout.Result) {
	t.Helper()
	for _, f := range inspect.InspectStones(edited(req, res)) {
		t.Errorf("%s: %v", name, f)
	}
	told := 0
	for _, n := range res.Notes {
		if strings.HasPrefix(n.Code, "hand-") {
			told++
		}
	}
	if told+res.Edits != len(req.Hand) {
		t.Errorf("%s: %d edits, of which %d are applied and %d told", name, len(req.Hand), res.Edits, told)
	}
}

func place(s design.Stone) geom.Point { return geom.Point{X: s.X, Y: s.Y} }

// anyEdits gives edits at places of stones, beside them and anywhere.
func anyEdits(rnd *rand.Rand, n int, region string, stones []design.Stone) []layout.Edit {
	around := func() geom.Point {
		at := place(stones[rnd.IntN(len(stones))])
		far := []float64{0, 0.3, 2, 8}[rnd.IntN(4)]
		return at.Add(geom.Point{X: far * rnd.NormFloat64(), Y: far * rnd.NormFloat64()})
	}
	var out []layout.Edit
	for i := range n {
		e := layout.Edit{Act: layout.Acts()[rnd.IntN(5)], Region: region, At: around(), To: around(), Colour: "siam", Source: fmt.Sprintf("line %d", i+1)}
		if e.Act == layout.ActAdd && rnd.IntN(2) == 0 {
			e.Size, e.Diameter, e.Gap = jewel.Size, jewel.Diameter, jewelGap
		}
		out = append(out, e)
	}
	return out
}

// Whatever is asked for by hand, the layout breaks no rule, and every edit is
// applied or told.
func TestEditsBreakNoRule(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(7, 11))
	names := []string{}
	for name := range shapes() {
		names = append(names, name)
	}
	slices.Sort(names)
	styles := []design.BedStyle{design.Comb, design.Echo, design.Courses, design.Spokes, design.Scatter}
	for i, name := range names {
		for j, treatment := range [][]design.Treatment{nil, {design.Rim, design.Bed}, {design.Bed}, {design.Spine}, {design.Rim}} {
			for _, bed := range []design.BedStyle{styles[(i+j)%5], styles[(i+j+2)%5]} {
				req := layout.Request{Effort: layout.Live, Regions: []layout.Region{{
					ID: name, Shape: shapes()[name], Bed: bed, Treatment: treatment, Size: "SS10", Diameter: 2.9, Gap: 0.9,
				}}}
				stones := run(t, req).Stones
				if len(stones) == 0 {
					continue
				}
				req.Hand = anyEdits(rnd, 6, name, stones)
				judgeEdited(t, fmt.Sprint(name, " ", treatment, " ", bed), req, run(t, req))
			}
		}
	}
}

// At full effort too, in regions beside each other, and on open lines; and the
// same on any number of cores.
func TestEditsBesideOtherRegions(t *testing.T) {
	all := shapes()
	req := layout.Request{Regions: []layout.Region{
		{ID: "heart", Shape: all["heart"], Size: "SS10", Diameter: 2.9, Gap: 0.9},
		{ID: "ring", Shape: geom.Subtract(geom.Inset(all["heart"], -9, 0.01), all["heart"]), Bed: design.Echo, Size: "SS6", Diameter: 2.1, Gap: 0.8},
		{ID: "line", Lines: []geom.Line{{{X: -45, Y: -30}, {X: 45, Y: 30}}, geom.Line(ring(90, func(t float64) (float64, float64) { return 36 * math.Cos(t), 36 * math.Sin(t) }))}, Size: "SS6", Diameter: 2.1, Gap: 0.8},
	}}
	stones := run(t, req).Stones
	rnd := rand.New(rand.NewPCG(3, 5))
	for _, effort := range []layout.Effort{layout.Live, layout.Live, layout.Final} {
		req.Effort, req.Hand = effort, nil
		for _, r := range req.Regions {
			req.Hand = append(req.Hand, anyEdits(rnd, 9, r.ID, stones)...)
		}
		rnd.Shuffle(len(req.Hand), func(i, j int) { req.Hand[i], req.Hand[j] = req.Hand[j], req.Hand[i] })
		one := run(t, req)
		judgeEdited(t, "three regions", req, one)
		if effort == layout.Final {
			continue
		}
		before := runtime.GOMAXPROCS(1)
		other := run(t, req)
		runtime.GOMAXPROCS(before)
		if !reflect.DeepEqual(one, other) {
			t.Error("the edits' outcome depends on the number of cores")
		}
	}
}

// heart is a request for one heart, with edits, at effort live.
func heart(edits ...layout.Edit) layout.Request {
	for i := range edits {
		edits[i].Region, edits[i].Source = "heart", fmt.Sprintf("line %d", i+1)
	}
	return layout.Request{Effort: layout.Live, Regions: []layout.Region{{ID: "heart", Shape: shapes()["heart"], Size: "SS10", Colour: "crystal", Diameter: 2.9, Gap: 0.9}}, Hand: edits}
}

// What stands already is pinned, recoloured or taken away without moving anything,
// wherever it stands.
func TestEditsThatMoveNothing(t *testing.T) {
	plain := run(t, heart()).Stones
	for _, i := range []int{0, 3, len(plain) / 2, len(plain) - 1} {
		near := place(plain[i]).Add(geom.Point{X: 0.1, Y: -0.05})
		pinned := run(t, heart(layout.Edit{Act: layout.ActPin, At: near}))
		recoloured := run(t, heart(layout.Edit{Act: layout.ActRecolour, At: near, Colour: "jet"}))
		removed := run(t, heart(layout.Edit{Act: layout.ActRemove, At: near}))
		want := slices.Clone(plain)
		want[i].Colour = "jet"
		if !reflect.DeepEqual(recoloured.Stones, want) {
			t.Errorf("stone %d: a new colour changes more", i)
		}
		want = slices.Delete(slices.Clone(plain), i, i+1)
		if !reflect.DeepEqual(removed.Stones, want) {
			t.Errorf("stone %d: taking it away changes more", i)
		}
		if left := [][]design.Left{{{X: plain[i].X, Y: plain[i].Y, Size: "SS10"}}}; !reflect.DeepEqual(removed.Left, left) {
			t.Errorf("stone %d: left free is %v, want %v", i, removed.Left, left)
		}
		held := plain[i]
		held.Role = design.RoleHand
		if want = append(want, held); !reflect.DeepEqual(pinned.Stones, want) {
			t.Errorf("stone %d: pinning it changes more", i)
		}
	}
}

// A stone added in the bed, off every place of a stone, stands exactly there; only
// the bed around it makes way. A place between stones overlaps three or four of a
// bed that has no room left; none beyond those is lost.
func TestAddedInTheBed(t *testing.T) {
	at := geom.Point{X: 1.3, Y: 2.1}
	before, req := heart(), heart(layout.Edit{Act: layout.ActAdd, At: at})
	before.Effort, req.Effort = layout.Final, layout.Final
	plain, res := run(t, before).Stones, run(t, req)
	judgeEdited(t, "heart", req, res)
	if i := slices.IndexFunc(res.Stones, func(s design.Stone) bool { return s.Role == design.RoleHand && place(s) == at }); i < 0 {
		t.Error("the stone does not stand there")
	}
	if len(res.Stones) < len(plain)-3 {
		t.Errorf("%d stones, %d before", len(res.Stones), len(plain))
	}
	for _, s := range plain {
		if place(s).Dist(at) > 6.5*3.8 && !slices.Contains(res.Stones, s) {
			t.Errorf("a stone %.1f mm away has moved", place(s).Dist(at))
		}
	}
}

// A stone added on the rim between two of its stones: the row is laid from it with
// equal steps up to the next corners.
func TestAddedInARow(t *testing.T) {
	plain := run(t, heart()).Stones
	a, b := place(plain[4]), place(plain[5])
	req := heart(layout.Edit{Act: layout.ActAdd, At: a.Lerp(b, 0.4)})
	res := run(t, req)
	judgeEdited(t, "heart", req, res)
	outline := geom.NewBoundary(shapes()["heart"])
	var rim []geom.Point
	var hand geom.Point
	for _, s := range res.Stones {
		if s.Role == design.RoleHand {
			hand = place(s)
		}
		if s.Role == design.RoleRim || s.Role == design.RoleHand {
			rim = append(rim, place(s))
			if d := outline.Depth(place(s)); math.Abs(d-1.45) > 0.02 {
				t.Errorf("a stone of the rim lies %.3f mm deep", d)
			}
		}
	}
	if hand.Dist(a.Lerp(b, 0.4)) > 0.15*3.8 {
		t.Errorf("the stone stands %.2f mm off", hand.Dist(a.Lerp(b, 0.4)))
	}
	for _, p := range rim {
		least := math.Inf(1)
		for _, q := range rim {
			if p != q {
				least = math.Min(least, p.Dist(q))
			}
		}
		if least > 1.15*3.8 {
			t.Errorf("the rim has a gap: the stone next to %v is %.2f mm away", p, least)
		}
	}
}

// One after the other: what an edit has set, later ones may move, recolour or take
// away, and a place that was left free may be taken again.
func TestEditsInTheirOrder(t *testing.T) {
	a, b := geom.Point{X: 1.3, Y: 2.1}, geom.Point{X: -8, Y: -3}
	add := layout.Edit{Act: layout.ActAdd, At: a, Colour: "siam"}
	hands := func(edits ...layout.Edit) (out []design.Stone, res layout.Result) {
		req := heart(edits...)
		res = run(t, req)
		judgeEdited(t, fmt.Sprint(edits), req, res)
		for _, s := range res.Stones {
			if s.Role == design.RoleHand {
				out = append(out, s)
			}
		}
		return out, res
	}
	one := func(at geom.Point, colour string) []design.Stone {
		return []design.Stone{{X: at.X, Y: at.Y, Size: "SS10", Colour: colour, Region: "heart", Role: design.RoleHand}}
	}
	for _, c := range []struct {
		name  string
		edits []layout.Edit
		want  []design.Stone
		left  int
		done  int
	}{
		{"moved on", []layout.Edit{add, {Act: layout.ActMove, At: a, To: b}}, one(b, "siam"), 1, 2},
		{"recoloured", []layout.Edit{add, {Act: layout.ActRecolour, At: a, Colour: "jet"}}, one(a, "jet"), 0, 2},
		{"taken away", []layout.Edit{add, {Act: layout.ActRemove, At: a}}, nil, 1, 2},
		{"set again", []layout.Edit{add, {Act: layout.ActRemove, At: a}, {Act: layout.ActAdd, At: a}}, one(a, "crystal"), 0, 3},
		{"pinned too", []layout.Edit{add, {Act: layout.ActPin, At: a}}, one(a, "siam"), 0, 2},
		{"replaced", []layout.Edit{{Act: layout.ActRemove, At: a}, add}, one(a, "siam"), 0, 2},
		{"coloured, then replaced", []layout.Edit{{Act: layout.ActRecolour, At: a, Colour: "jet"}, add}, one(a, "siam"), 0, 1},
		{"twice", []layout.Edit{add, {Act: layout.ActAdd, At: a.Add(geom.Point{X: 2})}}, one(a, "siam"), 0, 1},
		{"outside", []layout.Edit{{Act: layout.ActAdd, At: geom.Point{X: 60}}, {Act: layout.ActMove, At: a, To: geom.Point{X: 60}}}, nil, 0, 0},
		{"from nowhere", []layout.Edit{{Act: layout.ActMove, At: geom.Point{X: 60}, To: a}}, nil, 0, 0},
	} {
		got, res := hands(c.edits...)
		if !reflect.DeepEqual(got, c.want) || len(res.Left[0]) != c.left || res.Edits != c.done {
			t.Errorf("%s: by hand stand %v, left free are %v, %d edits are done; want %v, %d and %d\n%v", c.name, got, res.Left, res.Edits, c.want, c.left, c.done, res.Notes)
		}
	}
	gone := heart(add)
	gone.Hand[0].Region = "moon"
	if res := run(t, gone); len(res.Notes) != 1 || res.Notes[0].Code != "hand-region" || res.Notes[0].Region != "moon" {
		t.Errorf("an edit in a region that is gone gives %v", res.Notes)
	}
}

func TestEditsCanBeCancelled(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := layout.Run(ctx, heart(layout.Edit{Act: layout.ActAdd}), nil); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled run says %v", err)
	}
}
