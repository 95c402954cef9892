package inspect

import (
	"image"
	"math"

	"brushfall/internal/geom"

	"golang.org/x/image/vector"
)

// Pictures of M10 are wanted as if drawn at 20 pixels a mm. After a blur by a
// pitch nothing so fine is left: the same picture comes from the exact coverage
// of pixels of an eighth of a pitch (whose own blur adds 0.1 % to the width),
// cut at cutParts² places within each between its neighbours' values, which
// are then about 20 to the mm.
const (
	pixelsPerPitch = 8
	cutParts       = 8
	blurReach      = 4       // standard deviations that kernel and padding reach
	mostPixels     = 1 << 22 // with a pitch of 10 mm 2.5 m × 2.5 m; bounds memory at 50 MB
)

// overlap counts pixels of two pictures.
type overlap struct{ both, either float64 }

func (o overlap) plus(p overlap) overlap { return overlap{o.both + p.both, o.either + p.either} }
func (o overlap) share() *float64        { return ratio(o.both, o.either) }

// measureReads is M10 for a closed region: its area and its stones, drawn flat,
// blurred by a pitch, and each cut at half of its greatest value, for stones
// with their gaps cover about half of a full bed and never reach full tone.
func (m *model) measureReads(row *Row, region int) {
	r := &m.regions[region]
	if r.Open || r.shape.Empty() || r.diameter <= 0 {
		return
	}
	pitch := r.diameter + r.Gap
	scale := pixelsPerPitch / pitch
	box := r.shape.Bounds().Grow(blurReach * pitch)
	w, h := math.Ceil(box.Width()*scale), math.Ceil(box.Height()*scale)
	if !(w*h <= mostPixels) { // as floats: a pitch of next to nothing asks for more than an int holds
		return
	}
	c := canvas{box: box, scale: scale, w: int(w), h: int(h)}
	var discs []geom.Ring
	for _, s := range m.stones {
		if s.region == region {
			discs = append(discs, disc(s.at, s.diameter/2))
		}
	}
	if len(discs) == 0 {
		return
	}
	art, stones := c.draw(r.shape.Rings), c.draw(discs)
	for _, picture := range [][]float32{art, stones} {
		c.blur(picture, pixelsPerPitch)
	}
	row.common = c.common(art, stones)
	row.Reads = row.common.share()
}

// common measures the area where two pictures are above half of their greatest
// values, at places within the pixels, where values run evenly from pixel to pixel.
func (c canvas) common(a, b []float32) overlap {
	halfA, halfB := greatest(a)/2, greatest(b)/2
	var o overlap
	for y := range c.h - 1 {
		for x := range c.w - 1 {
			i := y*c.w + x
			in, cutA := c.side(a, i, halfA)
			too, cutB := c.side(b, i, halfB)
			parts := cutParts
			if !cutA && !cutB {
				parts = 1
			}
			share := 1 / float64(parts*parts)
			for k := range parts * parts {
				u, v := (float32(k%parts)+0.5)/float32(parts), (float32(k/parts)+0.5)/float32(parts)
				if cutA {
					in = c.between(a, i, u, v) > halfA
				}
				if cutB {
					too = c.between(b, i, u, v) > halfB
				}
				if in && too {
					o.both += share
				}
				if in || too {
					o.either += share
				}
			}
		}
	}
	area := 1 / (c.scale * c.scale)
	return overlap{o.both * area, o.either * area}
}

// side says whether a pixel and its next ones are all above a level, or that
// the level cuts between them.
func (c canvas) side(a []float32, i int, level float32) (above, cut bool) {
	n := 0
	for _, v := range [4]float32{a[i], a[i+1], a[i+c.w], a[i+c.w+1]} {
		if v > level {
			n++
		}
	}
	return n == 4, n > 0 && n < 4
}

// between gives the value at the share u, v of the way to the next pixels.
func (c canvas) between(a []float32, i int, u, v float32) float32 {
	top := a[i] + (a[i+1]-a[i])*u
	foot := a[i+c.w] + (a[i+c.w+1]-a[i+c.w])*u
	return top + (foot-top)*v
}

func greatest(a []float32) float32 {
	most := float32(0)
	for _, v := range a {
		most = max(most, v)
	}
	return most
}

// discSides is the number of sides a stone is drawn with: 0.5 % of its area short.
const discSides = 36

func disc(c geom.Point, r float64) geom.Ring {
	out := make(geom.Ring, discSides)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / discSides)
		out[i] = geom.Point{X: c.X + r*cos, Y: c.Y + r*sin}
	}
	return out
}

// canvas is a grid of pixels over a box.
type canvas struct {
	box   geom.Box
	scale float64
	w, h  int
}

// draw gives the coverage of each pixel, 0 to 255.
func (c canvas) draw(rings []geom.Ring) []float32 {
	z := vector.NewRasterizer(c.w, c.h)
	for _, r := range rings {
		for i, p := range r {
			x, y := float32((p.X-c.box.MinX)*c.scale), float32((p.Y-c.box.MinY)*c.scale)
			if i == 0 {
				z.MoveTo(x, y)
			} else {
				z.LineTo(x, y)
			}
		}
		z.ClosePath()
	}
	mask := image.NewAlpha(image.Rect(0, 0, c.w, c.h))
	z.Draw(mask, mask.Bounds(), image.Opaque, image.Point{})
	out := make([]float32, len(mask.Pix))
	for i, v := range mask.Pix {
		out[i] = float32(v)
	}
	return out
}

// blur smooths a picture by a Gaussian with the standard deviation sigma, in pixels.
func (c canvas) blur(a []float32, sigma float64) {
	reach := int(math.Ceil(blurReach * sigma))
	kernel := make([]float32, 2*reach+1)
	sum := float32(0)
	for i := range kernel {
		x := float64(i-reach) / sigma
		kernel[i] = float32(math.Exp(-x * x / 2))
		sum += kernel[i]
	}
	for i := range kernel {
		kernel[i] /= sum
	}
	line := make([]float32, max(c.w, c.h)+2*reach)
	for y := range c.h {
		convolve(a[y*c.w:], 1, c.w, kernel, line)
	}
	for x := range c.w {
		convolve(a[x:], c.w, c.h, kernel, line)
	}
}

// convolve replaces n values, step apart, by their means weighted by the
// kernel; beyond the ends all is 0.
func convolve(a []float32, step, n int, kernel, line []float32) {
	reach := len(kernel) / 2
	clear(line)
	for i := range n {
		line[reach+i] = a[i*step]
	}
	for i := range n {
		sum := float32(0)
		for k, v := range line[i : i+len(kernel)] {
			sum += v * kernel[k]
		}
		a[i*step] = sum
	}
}
