package layout_test

import (
	"math"
	"testing"

	"brushfall/internal/geom"
	"brushfall/internal/layout"
)

// In a square the nearest legal places can be told by hand: half a stone and the
// margin from a side, and a stone and the gap from another stone.
func TestSnapToWhereAStoneMayStand(t *testing.T) {
	square := layout.Region{ID: "square", Shape: geom.Fill([]geom.Ring{{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 40}, {X: 0, Y: 40}}}, geom.NonZero), Size: "SS10", Diameter: 2.9, Gap: 0.9, Margin: 0.5}
	line := layout.Region{ID: "line", Lines: []geom.Line{{{X: 0, Y: 0}, {X: 40, Y: 0}}}, Size: "SS10", Diameter: 2.9, Gap: 0.9}
	one := []layout.Taken{{At: geom.Point{X: 20, Y: 20}, Reach: 3.8}}
	for _, c := range []struct {
		name     string
		region   layout.Region
		at, want geom.Point
		taken    []layout.Taken
		ok       bool
	}{
		{"where it may stand", square, geom.Point{X: 10, Y: 10}, geom.Point{X: 10, Y: 10}, one, true},
		{"too near to a side", square, geom.Point{X: 1, Y: 30}, geom.Point{X: 1.95, Y: 30}, one, true},
		{"outside a corner", square, geom.Point{X: -1, Y: -1}, geom.Point{X: 1.95, Y: 1.95}, one, true},
		{"too near to a stone", square, geom.Point{X: 21, Y: 20}, geom.Point{X: 23.8, Y: 20}, one, true},
		{"far outside", square, geom.Point{X: -20, Y: 20}, geom.Point{}, one, false},
		{"beside a line", line, geom.Point{X: 10, Y: 2}, geom.Point{X: 10, Y: 0}, nil, true},
		{"beside a line, too near to a stone", line, geom.Point{X: 21, Y: 0.5}, geom.Point{X: 23.8, Y: 0}, []layout.Taken{{At: geom.Point{X: 20, Y: 0}, Reach: 3.8}}, true},
	} {
		got, ok := layout.Snap(c.region, c.at, 2.9, 8, c.taken)
		if ok != c.ok || ok && math.Abs(got.Dist(c.at)-c.want.Dist(c.at)) > 0.06 || ok && got.Dist(c.want) > 0.4 {
			t.Errorf("%s: %v %v, want %v", c.name, got, ok, c.want)
		}
		for _, o := range c.taken {
			if ok && got.Dist(o.At) < o.Reach-1e-3 {
				t.Errorf("%s: %v is %.3f mm from a stone", c.name, got, got.Dist(o.At))
			}
		}
	}
}
