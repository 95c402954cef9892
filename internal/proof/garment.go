package proof

import (
	"image"
	"image/color"
	"math"
	"strings"

	"github.com/lucasb-eyer/go-colorful"

	"brushfall/internal/fault"
)

// Garment is a cloth to show stones on. Hex ("#rrggbb") is chosen by eye.
type Garment struct{ Name, Hex string }

// Garments gives the named cloths, darkest first.
func Garments() []Garment {
	return []Garment{
		{"black", "#16171a"},
		{"navy", "#161f38"},
		{"charcoal", "#34373c"},
		{"forest", "#173a2b"},
		{"burgundy", "#561726"},
		{"purple", "#3b2561"},
		{"royal", "#1f3fa0"},
		{"red", "#b01c28"},
		{"teal", "#0f6a70"},
		{"grey", "#9a9ea4"},
		{"sky", "#a9cbe8"},
		{"pink", "#eeb4c6"},
		{"sand", "#d9c9a8"},
		{"white", "#f4f4f1"},
	}
}

// FindGarment gives the colour of a cloth by its name in any case, or by
// "#rrggbb". The fault for an unknown one, code "proof-garment-unknown", lists the names.
func FindGarment(name string) (color.RGBA, error) {
	key := strings.ToLower(strings.TrimSpace(name))
	var names []string
	for _, g := range Garments() {
		if g.Name == key {
			key = g.Hex
		}
		names = append(names, g.Name)
	}
	c, err := colorful.Hex(key)
	if err != nil || len(key) != len("#rrggbb") {
		return color.RGBA{}, fault.New("proof-garment-unknown", "", "there is no garment colour %q; give #rrggbb or one of %s", name, strings.Join(names, ", "))
	}
	r, g, b := c.RGB255()
	return color.RGBA{r, g, b, 255}, nil
}

// The knit of the cloth, in mm: one stitch is a V. It is drawn as a tile of
// whole pixels, so that the cloth stays small in the PNG.
const (
	stitchWidth  = 1.1
	stitchHeight = 0.8
	stitchDepth  = 0.09 // share by which the valleys are darker
	stitchLeast  = 4    // px: below it the knit would only be noise
)

// drawCloth fills the picture with the cloth.
func drawCloth(img *image.RGBA, cloth color.RGBA, scale float64, plain bool) {
	tw, th := int(math.Round(stitchWidth*scale)), int(math.Round(stitchHeight*scale))
	if plain || tw < stitchLeast || th < stitchLeast {
		tw, th, plain = 1, 1, true
	}
	tile := make([]color.RGBA, tw*th)
	for y := range th {
		for x := range tw {
			tile[y*tw+x] = cloth
			if !plain {
				tile[y*tw+x] = stitch(cloth, (float64(x)+0.5)/float64(tw), (float64(y)+0.5)/float64(th))
			}
		}
	}
	for i := 0; i < len(img.Pix) && i < th*img.Stride; i += 4 {
		c := tile[i/img.Stride*tw+i%img.Stride/4%tw]
		img.Pix[i], img.Pix[i+1], img.Pix[i+2], img.Pix[i+3] = c.R, c.G, c.B, c.A
	}
	for done := th * img.Stride; done < len(img.Pix); done *= 2 {
		copy(img.Pix[done:], img.Pix[:done]) // whole tiles high, so they join
	}
}

// stitch shades the cloth at u, v in [0, 1) of one stitch: two slanted strands
// that meet in the middle.
func stitch(cloth color.RGBA, u, v float64) color.RGBA {
	strand := math.Abs(2*u - 1)         // 0 between the strands, 1 at the next wale
	along := math.Mod(v+0.55*strand, 1) // the strands rise outwards
	roll := math.Sin(math.Pi*along) * math.Sin(math.Pi*math.Min(1, 0.15+0.85*strand))
	k := 1 - stitchDepth + 1.5*stitchDepth*roll
	return color.RGBA{shadeByte(cloth.R, k), shadeByte(cloth.G, k), shadeByte(cloth.B, k), 255}
}

func shadeByte(v uint8, k float64) uint8 { return uint8(math.Min(255, math.Round(float64(v)*k))) }
