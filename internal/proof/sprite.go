package proof

import (
	"image"
	"image/color"
	"math"

	"github.com/lucasb-eyer/go-colorful"

	"brushfall/internal/geom"
)

// samples is how many samples each way a pixel of a stone takes: 4 × 4 keep
// facet edges smooth at the size of a screen. A sprite is moved by whole samples,
// so that one grid of samples serves every phase.
const samples = 4

// grid holds the samples of one stone around its centre: side × side of them,
// the centre on the corner between the middle four. A sample off the stone has
// no light.
type grid struct {
	side  int
	light []light
	hit   []bool
}

// sampleStone lights the stone of the radius (px) at every sample.
func sampleStone(paint glass, radius float64) grid {
	half := int(math.Ceil(radius * samples))
	g := grid{side: 2 * half, light: make([]light, 4*half*half), hit: make([]bool, 4*half*half)}
	for j := range g.side {
		for i := range g.side {
			p := geom.Point{X: float64(i-half) + 0.5, Y: float64(j-half) + 0.5}.Mul(1 / (samples * radius))
			if p.Len2() <= 1 {
				g.light[j*g.side+i], g.hit[j*g.side+i] = paint.shade(p), true
			}
		}
	}
	return g
}

// stoneSprite averages the samples to pixels, the centre moved by px, py
// samples from the sprite's origin. Colours are premultiplied.
func stoneSprite(g grid, px, py int) *image.RGBA {
	reach := g.side/2/samples + 2
	img := image.NewRGBA(image.Rect(-reach, -reach, reach, reach))
	for y := -reach; y < reach; y++ {
		for x := -reach; x < reach; x++ {
			img.SetRGBA(x, y, g.pixel(x*samples-px+g.side/2, y*samples-py+g.side/2))
		}
	}
	return img
}

// pixel averages the samples × samples block that starts at i, j.
func (g grid) pixel(i0, j0 int) color.RGBA {
	var sum light
	hits := 0
	for j := max(0, j0); j < min(g.side, j0+samples); j++ {
		for i := max(0, i0); i < min(g.side, i0+samples); i++ {
			if g.hit[j*g.side+i] {
				sum = sum.add(g.light[j*g.side+i])
				hits++
			}
		}
	}
	if hits == 0 {
		return color.RGBA{}
	}
	mean := sum.mul(1 / float64(hits))
	alpha := float64(hits) / (samples * samples)
	c := colorful.LinearRgb(clip(mean[0]), clip(mean[1]), clip(mean[2]))
	return color.RGBA{byteOf(c.R * alpha), byteOf(c.G * alpha), byteOf(c.B * alpha), byteOf(alpha)}
}

// The shadow on the cloth: moved from the light by a share of the radius, and soft.
const (
	shadowShift = 0.16
	shadowSoft  = 0.34
	shadowDark  = 0.62
)

// shadowSprite draws the shadow of a stone of the radius (px), moved by px, py samples.
func shadowSprite(radius float64, px, py int) *image.RGBA {
	centre := geom.Point{X: float64(px), Y: float64(py)}.Mul(1.0 / samples).Add(geom.Point{X: shadowShift * radius * 0.6, Y: shadowShift * radius})
	reach := int(math.Ceil(radius*(1+shadowShift+shadowSoft))) + 1
	img := image.NewRGBA(image.Rect(-reach, -reach, reach+1, reach+1))
	for y := -reach; y <= reach; y++ {
		for x := -reach; x <= reach; x++ {
			r := geom.Point{X: float64(x) + 0.5, Y: float64(y) + 0.5}.Dist(centre) / radius
			a := shadowDark * smooth((1+shadowSoft-r)/(2*shadowSoft))
			img.SetRGBA(x, y, color.RGBA{A: byteOf(a)})
		}
	}
	return img
}

// smooth rises from 0 to 1 over [0, 1] with level ends (the Hermite step).
func smooth(t float64) float64 {
	t = clip(t)
	return t * t * (3 - 2*t)
}

func clip(v float64) float64 { return math.Max(0, math.Min(1, v)) }

func byteOf(v float64) uint8 { return uint8(math.Round(255 * clip(v))) }
