package geom

import (
	"math/rand/v2"
	"strconv"
	"testing"
)

func BenchmarkFillStar2000(b *testing.B) {
	rnd := rand.New(rand.NewPCG(1, 2))
	rings := []Ring{star(rnd, Point{50, 50}, 1000, 20, 50), star(rnd, Point{60, 50}, 1000, 20, 50)}
	for b.Loop() {
		Fill(rings, NonZero)
	}
}

func BenchmarkFill50000(b *testing.B) {
	rnd := rand.New(rand.NewPCG(1, 2))
	var rings []Ring
	for i := range 100 {
		rings = append(rings, star(rnd, Point{float64(i%10) * 50, float64(i/10) * 50}, 500, 20, 30))
	}
	for b.Loop() {
		Fill(rings, EvenOdd)
	}
}

func BenchmarkFillIcon(b *testing.B) {
	all := icons(b)
	for i := 0; b.Loop(); i++ {
		c := all[i%len(all)]
		Fill(c.paths[0], c.rules[0])
	}
}

func BenchmarkInsetIcon(b *testing.B) {
	all := icons(b)
	for i := 0; b.Loop(); i++ {
		Inset(all[i%len(all)].shape, 1.45, 0.002)
	}
}

func BenchmarkBoundaryIcon(b *testing.B) {
	all := icons(b)
	rnd := rand.New(rand.NewPCG(1, 2))
	bound := NewBoundary(all[40].shape)
	points := make([]Point, 1024)
	for i := range points {
		points[i] = Point{60 * rnd.Float64(), 60 * rnd.Float64()}
	}
	for i := 0; b.Loop(); i++ {
		bound.Nearest(points[i%len(points)])
	}
}

// BenchmarkInsetRagged is an outline like a traced picture: 0.1 mm of noise every 0.04 mm.
func BenchmarkInsetRagged(b *testing.B) {
	rnd := rand.New(rand.NewPCG(1, 2))
	s := Fill([]Ring{star(rnd, Point{50, 50}, 5000, 29.9, 30)}, NonZero)
	for b.Loop() {
		Inset(s, 1.45, 0.002)
	}
}

// BenchmarkInsetNearInradius insets smooth outlines until next to nothing is left.
func BenchmarkInsetNearInradius(b *testing.B) {
	for _, points := range []int{400, 6000} {
		s := heart(points)
		b.Run(strconv.Itoa(points), func(b *testing.B) {
			for b.Loop() {
				Inset(s, 13, 0.002)
			}
		})
	}
}
