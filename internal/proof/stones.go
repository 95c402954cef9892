package proof

import (
	"image"
	"image/draw"
	"math"

	"brushfall/internal/geom"
)

// The stones lie turned at random and catch the light each in its own way:
// turns is how many ways a kind is drawn.
const turns = 9

// coarse is the radius in px from which a stone is set to the whole pixel: its
// edge is then too small a share of it to tell, and its sprites are large.
const coarse = 40.0

// spriteKey names a sprite: kind, turn, and the samples it is moved by.
type spriteKey struct {
	kind   *look
	turn   int
	px, py int
}

// gridKey names the samples of one kind in one turn.
type gridKey struct {
	kind *look
	turn int
}

// painter puts stones on a picture, each sprite drawn once.
type painter struct {
	img     *image.RGBA
	v       view
	grids   map[gridKey]grid
	stones  map[spriteKey]*image.RGBA
	shadows map[spriteKey]*image.RGBA
}

// drawStones draws all shadows, then all stones: no shadow falls on a stone.
func drawStones(img *image.RGBA, v view, stones []placed) {
	p := painter{img, v, map[gridKey]grid{}, map[spriteKey]*image.RGBA{}, map[spriteKey]*image.RGBA{}}
	for _, s := range stones {
		p.put(s, p.shadow)
	}
	for _, s := range stones {
		p.put(s, p.stone)
	}
}

// put draws what sprite gives for the stone.
func (p painter) put(s placed, sprite func(placed, spriteKey) *image.RGBA) {
	c := s.at.Sub(p.v.origin).Mul(p.v.scale)
	step := 1
	if p.radius(s) >= coarse {
		step = samples
	}
	x, px := split(c.X, step)
	y, py := split(c.Y, step)
	img := sprite(s, spriteKey{kind: s.kind, px: px, py: py})
	draw.Draw(p.img, img.Bounds().Add(image.Pt(x, y)), img, img.Bounds().Min, draw.Over)
}

// radius gives the stone's radius in px.
func (p painter) radius(s placed) float64 { return s.kind.diameter / 2 * p.v.scale }

func (p painter) shadow(s placed, key spriteKey) *image.RGBA {
	img := p.shadows[key]
	if img == nil {
		img = shadowSprite(p.radius(s), key.px, key.py)
		p.shadows[key] = img
	}
	return img
}

func (p painter) stone(s placed, key spriteKey) *image.RGBA {
	key.turn = turnOf(s.at)
	img := p.stones[key]
	if img == nil {
		img = stoneSprite(p.grid(gridKey{s.kind, key.turn}, p.radius(s)), key.px, key.py)
		p.stones[key] = img
	}
	return img
}

func (p painter) grid(key gridKey, radius float64) grid {
	g, known := p.grids[key]
	if !known {
		g = sampleStone(newGlass(key.kind.colour, key.turn), radius)
		p.grids[key] = g
	}
	return g
}

// split gives the whole pixel at v and the samples beyond it, in whole steps.
func split(v float64, step int) (pixel, phase int) {
	q := int(math.Round(v*samples/float64(step))) * step
	pixel = int(math.Floor(float64(q) / samples))
	return pixel, q - pixel*samples
}

// turnOf gives the stone's turn, by its place alone: a stone keeps its look when
// others come or go. The mixing steps are those of SplitMix64 (Steele, Lea,
// Flood 2014).
func turnOf(at geom.Point) int {
	z := uint64(int64(math.Round(at.X*100)))*0x9e3779b97f4a7c15 ^ uint64(int64(math.Round(at.Y*100)))
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return int((z ^ z>>31) % turns)
}
