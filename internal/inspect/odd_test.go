package inspect

import (
	"encoding/json"
	"testing"

	"brushfall/internal/design"
)

// A record that comes from outside can hold any numbers: whatever they are, it is
// judged and measured without a panic, in figures that JSON has words for.
func FuzzOddNumbers(f *testing.F) {
	for _, v := range [][7]float64{
		{2.9, 0.9, 0, 20, 20, 10, 0},
		{1e-300, 0, 0, 20, 20, 10, 0}, // a picture of it would have more pixels than an int counts
		{1e-9, 0, 0, 20, 20, 10, 0},
		{5e-324, 5e-324, 5e-324, 5e-324, 5e-324, 5e-324, 0.5},
		{9e5, 9e5, -9e5, -9e5, 9e5, 0, 0},
		{2.9, -1, 1e300, 0, 0, 1e6, 2},
	} {
		f.Add(v[0], v[1], v[2], v[3], v[4], v[5], v[6])
	}
	f.Fuzz(func(t *testing.T, diameter, gap, margin, width, height, x, density float64) {
		doc, r := bed(t, ring(0, 0, width, 0, width, height, 0, height))
		doc.Kinds[0].Diameter, doc.Kinds[0].Smallest, doc.Kinds[0].Hole = diameter, diameter, diameter
		own := &doc.Regions[0]
		own.Treatment = []design.Treatment{design.Rim, design.Bed}
		own.Gap, own.Pitch, own.Margin, own.Density = gap, diameter+gap, margin, density
		own.Left = []design.Left{{X: x, Y: gap, Size: r.Size}, {X: gap, Y: x, Size: r.Size}}
		for i, role := range []design.Role{design.RoleRim, design.RoleRim, design.RoleBed, design.RoleBed} {
			put(&doc, r, role, 1, x+float64(i)*r.Pitch, x)
		}
		if _, err := json.Marshal(Inspect(doc)); err != nil {
			t.Error(err)
		}
		if _, err := json.Marshal(Measure(doc)); err != nil {
			t.Error(err)
		}
	})
}
