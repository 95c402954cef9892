package layout

import (
	"testing"

	"brushfall/internal/geom"
)

func slab(x0, y0, x1, y1 float64) geom.Shape {
	return geom.Shape{Rings: []geom.Ring{{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}}}
}

// What lies nearer than the distance must be told; what lies beyond a quarter
// more must not. The places are worked by hand.
func TestComesNear(t *testing.T) {
	path := slab(0, 0, 100, 10)
	ring := geom.Subtract(slab(-50, -50, 150, 60), slab(-20, -20, 120, 30))
	cases := []struct {
		name string
		r    Region
		want bool
	}{
		{"beside, 1.9 mm off", Region{Shape: slab(0, 11.9, 100, 20)}, true},
		{"beside, 2.6 mm off", Region{Shape: slab(0, 12.6, 100, 20)}, false},
		{"corner to corner, 1.9 mm off", Region{Shape: slab(101.3, 11.3, 110, 20)}, true},
		{"corner to corner, 2.6 mm off", Region{Shape: slab(101.9, 11.9, 110, 20)}, false},
		{"a bar across, no corner near", Region{Shape: slab(48, -80, 52, 90)}, true},
		{"covers it", Region{Shape: slab(-50, -50, 150, 60)}, true},
		{"lies in it", Region{Shape: slab(45, 4.5, 46, 5.5)}, true},
		{"all around, far off", Region{Shape: ring}, false},
		{"a corner at the middle of a side", Region{Shape: slab(50, 11.9, 51, 20)}, true},
		{"a line along, 1.9 mm off", Region{Lines: []geom.Line{{{X: 0, Y: -1.9}, {X: 100, Y: -1.9}}}}, true},
		{"a line along, 2.6 mm off", Region{Lines: []geom.Line{{{X: 0, Y: -2.6}, {X: 100, Y: -2.6}}}}, false},
		{"a line in it", Region{Lines: []geom.Line{{{X: 40, Y: 5}, {X: 60, Y: 5}}}}, true},
	}
	for _, c := range cases {
		if got := c.r.comesNear(path, 2); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
	if (Region{Shape: path}).comesNear(geom.Shape{}, 2) {
		t.Error("an empty path has something near it")
	}
}
