package layout_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/layout"
)

// disc gives a region of a disc that holds about n SS10 stones.
func disc(n int, bed design.BedStyle) layout.Region {
	r := layout.Region{ID: "disc", Bed: bed, Size: "SS10", Diameter: 2.9, Gap: 0.9}
	p := r.Pitch()
	radius := math.Sqrt(float64(n)*p*p*math.Sqrt(3)/2/math.Pi) + r.Diameter/2
	var ring geom.Ring
	for i := range 720 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 720)
		ring = append(ring, geom.Point{X: radius * cos, Y: radius * sin})
	}
	r.Shape = geom.Fill([]geom.Ring{ring}, geom.NonZero)
	return r
}

func BenchmarkRun(b *testing.B) {
	for _, n := range []int{1000, 10_000, 100_000} {
		for _, e := range []struct {
			name   string
			effort layout.Effort
		}{{"live", layout.Live}, {"final", layout.Final}} {
			b.Run(fmt.Sprintf("%s/%d", e.name, n), func(b *testing.B) {
				req := layout.Request{Regions: []layout.Region{disc(n, design.Comb)}, Effort: e.effort}
				for b.Loop() {
					res, err := layout.Run(context.Background(), req, nil)
					if err != nil {
						b.Fatal(err)
					}
					b.ReportMetric(float64(len(res.Stones)), "stones")
				}
			})
		}
	}
}
