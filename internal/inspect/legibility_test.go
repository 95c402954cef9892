package inspect

import (
	"testing"

	"brushfall/internal/design"
)

// M10 alone is the M10 of Measure, but for a region that has no stone: half of
// what is drawn is not there, so half of it reads.
func TestMeasureReads(t *testing.T) {
	square := func(id string, x float64) design.Region {
		return design.Region{
			ID: id, Rings: [][][2]float64{{{x, 0}, {x + 38, 0}, {x + 38, 38}, {x, 38}}},
			Treatment: []design.Treatment{design.Bed}, Bed: design.Comb, Size: "SS10", Colour: "crystal", Gap: 0.9, Pitch: 3.8,
		}
	}
	doc := design.Document{
		Version: design.Version, Unit: "mm", Width: 138, Height: 38,
		Kinds:   []design.Kind{{Size: "SS10", Colour: "crystal", Diameter: 2.9, Smallest: 2.7, Hole: 3.3, Height: 1.2}},
		Regions: []design.Region{square("set", 0)},
	}
	for x := 1.9; x < 38; x += 3.8 {
		for y := 1.9; y < 38; y += 3.8 {
			doc.Stones = append(doc.Stones, design.Stone{X: x, Y: y, Size: "SS10", Colour: "crystal", Region: "set", Role: design.RoleBed})
		}
	}
	whole := *Measure(doc).Total.Reads
	if got := MeasureReads(doc); *got.Total.Reads != whole || *got.Rows[0].Reads != whole || got.Total.Stones != 100 {
		t.Errorf("%+v, want %g", got.Total, whole)
	}
	doc.Regions = append(doc.Regions, square("bare", 100))
	got := MeasureReads(doc)
	want(t, "bare region", got.Rows[1].Reads, 0, 0)
	want(t, "whole", got.Total.Reads, whole/2, 0.02)
}
