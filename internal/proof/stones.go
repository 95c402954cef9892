package proof

import (
	"image"
	"image/draw"
	"math"
	"sync"

	"brushfall/internal/geom"
)

// The stones lie turned at random and catch the light each in its own way:
// turns is how many ways a kind is drawn.
const turns = 9

// coarse is the radius in px from which a stone is set to the whole pixel: its
// edge is then too small a share of it to tell, and its sprites are large.
const coarse = 40.0

// gridKey names the samples of one kind in one turn, at a scale.
type gridKey struct {
	kind  look
	scale float64
	turn  int
}

// spriteKey names a sprite: what it is of, and the samples it is moved by.
type spriteKey struct {
	gridKey
	px, py int
}

// mostSprites bounds what Sprites keep: a few kinds in all turns and phases, a dozen
// megabytes.
const mostSprites = 2000

// Sprites are stones as they were drawn, for the pictures of many designs that have
// kinds in common. They change no picture. They serve several goroutines.
type Sprites struct {
	mutex   sync.Mutex
	grids   map[gridKey]grid
	stones  map[spriteKey]*image.RGBA
	shadows map[spriteKey]*image.RGBA
}

// NewSprites gives an empty collection.
func NewSprites() *Sprites {
	return &Sprites{grids: map[gridKey]grid{}, stones: map[spriteKey]*image.RGBA{}, shadows: map[spriteKey]*image.RGBA{}}
}

// kept gives what a map has under a key, or makes it. What two make at once is the
// same.
func kept[K comparable, V any](s *Sprites, in map[K]V, key K, create func() V) V {
	s.mutex.Lock()
	v, ok := in[key]
	s.mutex.Unlock()
	if ok {
		return v
	}
	v = create()
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if len(in) >= mostSprites {
		clear(in)
	}
	in[key] = v
	return v
}

// painter puts stones on a picture, each sprite drawn once.
type painter struct {
	img *image.RGBA
	v   view
	*Sprites
}

// drawStones draws all shadows, then all stones: no shadow falls on a stone.
func drawStones(img *image.RGBA, v view, stones []placed, sprites *Sprites) {
	p := painter{img, v, sprites}
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
	img := sprite(s, spriteKey{gridKey{kind: *s.kind, scale: p.v.scale}, px, py})
	draw.Draw(p.img, img.Bounds().Add(image.Pt(x, y)), img, img.Bounds().Min, draw.Over)
}

// radius gives the stone's radius in px.
func (p painter) radius(s placed) float64 { return s.kind.diameter / 2 * p.v.scale }

func (p painter) shadow(s placed, key spriteKey) *image.RGBA {
	return kept(p.Sprites, p.shadows, key, func() *image.RGBA { return shadowSprite(p.radius(s), key.px, key.py) })
}

func (p painter) stone(s placed, key spriteKey) *image.RGBA {
	key.turn = turnOf(s.at)
	return kept(p.Sprites, p.stones, key, func() *image.RGBA {
		g := kept(p.Sprites, p.grids, key.gridKey, func() grid { return sampleStone(newGlass(*s.kind, key.turn), p.radius(s)) })
		return stoneSprite(g, key.px, key.py)
	})
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
