package layout_test

import (
	"testing"

	"brushfall/internal/geom"
	"brushfall/internal/inspect"
	"brushfall/internal/layout"
)

// An accent may be far larger than the stones of its row: it keeps clear of a stone
// that is set by hand beside its region, though the row's own stones would not reach it.
func TestAccentsKeepClearOfStonesByHandBesideThem(t *testing.T) {
	wide := layout.Extra{Size: "SS30", Colour: "jet", Diameter: 6.5, Gap: 1.2}
	line := layout.Region{
		ID: "line", Lines: []geom.Line{{{X: 0, Y: 0}, {X: 40, Y: 0}}},
		Size: ss6.Size, Colour: ss6.Colour, Diameter: ss6.Diameter, Gap: ss6.Gap,
		Accents: &layout.Accents{Extra: wide, Every: 5, Corners: true},
	}
	beside := regionOf("beside", geom.Fill([]geom.Ring{corners(1, 42, -20, 80, -20, 80, 20, 42, 20)}, geom.NonZero), nil)
	at := geom.Point{X: 44.6, Y: 0}
	req := layout.Request{
		Effort: layout.Live, Regions: []layout.Region{line, beside},
		Hand: []layout.Edit{{Act: layout.ActAdd, Region: "beside", At: at, Source: "line 1"}},
	}
	res := run(t, req)
	if res.Edits != 1 {
		t.Fatalf("the edit is not applied: %v", res.Notes)
	}
	for _, f := range inspect.InspectStones(mixedRecord(req, res)) {
		t.Error(f)
	}
	for _, s := range res.Stones {
		if s.Size == wide.Size && place(s).Dist(at) < (wide.Diameter+ss10.Diameter)/2+wide.Gap {
			t.Errorf("an accent stands %.2f mm from the stone set by hand", place(s).Dist(at))
		}
	}
}
