package layout_test

import (
	"fmt"
	"math/rand/v2"
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
	rnd := rand.New(rand.NewPCG(7, 11))
	names := []string{}
	for name := range shapes() {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		for _, treatment := range [][]design.Treatment{nil, {design.Rim, design.Bed}, {design.Bed}, {design.Spine}, {design.Rim}} {
			for _, bed := range []design.BedStyle{design.Comb, design.Echo} {
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
