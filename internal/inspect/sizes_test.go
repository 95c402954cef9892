package inspect

import (
	"math"
	"testing"

	"brushfall/internal/design"
)

// mixed is an open line of SS10 with an SS16 in the middle and an SS6 behind it,
// all the given clear spaces apart. The catalogue's gaps are 0.9, 1.0 and 0.8.
func mixed(t *testing.T, between float64) design.Document {
	ss10, ss16, ss6 := kind(t, "SS10", "crystal"), kind(t, "SS16", "jet"), kind(t, "SS6", "jet")
	doc := design.Document{Version: 1, Unit: "mm", Design: "test", Width: 60, Height: 40, Web: 0.5, Border: 6, Kinds: []design.Kind{ss16, ss10, ss6}}
	line := regionOf("line", ss10, []design.Treatment{design.Spine}, ring(0, 0, 60, 0))
	line.Open, line.Colour = true, "sapphire" // a colour that a pattern left no stone of
	line.Sizes = []design.SizeGap{{Size: "SS16", Gap: 1}, {Size: "SS6", Gap: 0.8}}
	doc.Regions = []design.Region{line}
	x := 3.0
	var last design.Kind
	for _, k := range []design.Kind{ss10, ss10, ss16, ss6, ss10, ss10} {
		if last.Diameter > 0 {
			x += (last.Diameter+k.Diameter)/2 + between
		}
		doc.Stones = append(doc.Stones, design.Stone{X: x, Size: k.Size, Colour: k.Colour, Region: "line", Role: design.RoleSpine, Plate: 1})
		last = k
	}
	return doc
}

// Between two stones the larger of their gaps counts: 1.0 beside the SS16, of
// which there are two pairs, else 0.9, in three.
func TestGapsOfOtherSizes(t *testing.T) {
	for _, c := range []struct {
		between float64
		want    int
	}{{1.0, 0}, {0.998, 2}, {0.9, 2}, {0.898, 5}} {
		found := InspectStones(mixed(t, c.between))
		if len(found) != c.want {
			t.Errorf("%v mm between gives %v, want %d", c.between, found, c.want)
		}
		for _, f := range found {
			if f.ID != Gap {
				t.Error(f)
			}
		}
	}
	doc := mixed(t, 0.95)
	doc.Regions[0].Sizes = nil // as files were written before: the region's gap for all
	for _, f := range InspectStones(doc) {
		t.Errorf("without a list of sizes: %s", f)
	}
	doc.Regions[0].Sizes = []design.SizeGap{{Size: "SS16", Gap: math.NaN()}}
	if found := InspectStones(doc); len(found) != 1 || found[0].ID != Value {
		t.Errorf("a gap that is no number gives %v", found)
	}
}

// The evenness of a row of several sizes is that of its clear spaces.
func TestEvennessOfMixedSizes(t *testing.T) {
	row := Measure(mixed(t, 1)).Rows[0]
	if row.Evenness == nil || math.Abs(*row.Evenness-1) > 1e-9 {
		t.Errorf("a row of equal spaces has evenness %v", row.Evenness)
	}
	if want := 3.9 / 3.8; row.Spacing == nil || math.Abs(*row.Spacing-want) > 1e-9 {
		t.Errorf("spaces of 1 mm are %v, want %v pitches", row.Spacing, want)
	}
	doc := mixed(t, 1)
	doc.Stones[3].X += 0.38
	if row := Measure(doc).Rows[0]; math.Abs(*row.Evenness-(3.9+0.38)/(3.9-0.38)) > 1e-9 {
		t.Errorf("a shifted stone gives %v", *row.Evenness)
	}
}
