// Package proof draws the picture of a finished transfer: every stone, faceted
// and lit, on a garment of the customer's colour. The same design and options
// give the same bytes.
package proof

import (
	"image"
	"image/png"
	"io"
	"math"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// Defaults of the picture. DefaultPixelsPerMM shows the facets of an SS6 stone
// when zoomed; DefaultMaxPixels keeps the picture at 32 MB in memory and half a
// second of work.
const (
	DefaultGarment     = "navy"
	DefaultPixelsPerMM = 10.0
	DefaultMaxPixels   = 8_000_000
	DefaultMargin      = 10.0 // mm of cloth around the stones
)

// maxPixelsPerMM bounds the sprites: above it an SS40 stone alone would fill a page.
const maxPixelsPerMM = 60.0

// minPixelsPerMM refuses designs so wide that a stone would be less than a speck.
const minPixelsPerMM = 0.25

// Options choose how the picture looks. The zero value is good.
type Options struct {
	Garment     string  // a name of Garments or "#rrggbb"; empty: DefaultGarment
	PixelsPerMM float64 // 0: DefaultPixelsPerMM; lowered where MaxPixels asks for it
	MaxPixels   int     // most pixels of the picture; 0: DefaultMaxPixels
	Margin      float64 // mm of cloth around the stones; 0: DefaultMargin
	Plain       bool    // an even ground without the knit of the cloth
	// Sprites are shared with the pictures of other designs; nil: none are.
	Sprites *Sprites
}

// Render writes the picture of the design as a PNG, cropped to its stones and a
// margin. A design without stones gives the bare cloth of its page. Faults:
// "proof-garment-unknown", "proof-kind-missing" (a stone whose kind the document
// does not list, or a kind without a diameter), "proof-place" (a stone that is
// nowhere), "proof-too-large", those of the colour look-up, and "proof-write" (w
// did not take the bytes).
func Render(w io.Writer, doc design.Document, opt Options) error {
	img, err := Draw(doc, opt)
	if err != nil {
		return err
	}
	return Encode(w, img)
}

// Encode writes a picture that Draw has given as a PNG. Fault "proof-write".
func Encode(w io.Writer, img *image.RGBA) error {
	enc := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := enc.Encode(w, img); err != nil {
		return fault.Wrap("proof-write", err)
	}
	return nil
}

// Draw gives the picture of the design; see Render.
func Draw(doc design.Document, opt Options) (*image.RGBA, error) {
	opt = opt.withDefaults()
	cloth, err := FindGarment(opt.Garment)
	if err != nil {
		return nil, err
	}
	kinds, err := findKinds(doc)
	if err != nil {
		return nil, err
	}
	stones, err := place(doc, kinds)
	if err != nil {
		return nil, err
	}
	v, err := fit(doc, stones, opt)
	if err != nil {
		return nil, err
	}
	img := image.NewRGBA(image.Rect(0, 0, v.width, v.height))
	drawCloth(img, cloth, v.scale, opt.Plain)
	drawStones(img, v, stones, opt.Sprites)
	return img, nil
}

func (o Options) withDefaults() Options {
	if o.Garment == "" {
		o.Garment = DefaultGarment
	}
	if !(o.PixelsPerMM > 0) {
		o.PixelsPerMM = DefaultPixelsPerMM
	}
	o.PixelsPerMM = math.Min(o.PixelsPerMM, maxPixelsPerMM)
	if o.MaxPixels <= 0 {
		o.MaxPixels = DefaultMaxPixels
	}
	if !(o.Margin > 0) {
		o.Margin = DefaultMargin
	}
	if o.Sprites == nil {
		o.Sprites = NewSprites()
	}
	return o
}

// look is how the stones of one kind are drawn; diameter in mm.
type look struct {
	diameter float64
	hex      string
	finish   catalogue.Finish
}

// placed is one stone to draw: centre in mm.
type placed struct {
	at   geom.Point
	kind *look
}

type kindKey struct{ size, colour string }

func findKinds(doc design.Document) (map[kindKey]*look, error) {
	kinds := make(map[kindKey]*look, len(doc.Kinds))
	for _, k := range doc.Kinds {
		c, err := k.Look()
		if err != nil {
			return nil, err
		}
		if !(k.Diameter > 0) || math.IsInf(k.Diameter, 0) {
			return nil, fault.New("proof-kind-missing", k.Size+" "+k.Colour, "the kind has no diameter; give one in mm")
		}
		kinds[kindKey{k.Size, k.Colour}] = &look{k.Diameter, c.Hex, c.Finish}
	}
	return kinds, nil
}

func place(doc design.Document, kinds map[kindKey]*look) ([]placed, error) {
	out := make([]placed, 0, len(doc.Stones))
	for i, s := range doc.Stones {
		kind := kinds[kindKey{s.Size, s.Colour}]
		if kind == nil {
			return nil, fault.New("proof-kind-missing", "", "stone %d is %s %s, which the design's kinds do not list", i+1, s.Size, s.Colour)
		}
		if off := math.Abs(s.X) + math.Abs(s.Y); math.IsNaN(off) || math.IsInf(off, 0) {
			return nil, fault.New("proof-place", "", "stone %d has no place: x and y must be numbers", i+1)
		}
		out = append(out, placed{geom.Point{X: s.X, Y: s.Y}, kind})
	}
	return out, nil
}

// view maps the design's mm to pixels.
type view struct {
	origin        geom.Point // mm at the picture's top-left corner
	scale         float64    // pixels per mm
	width, height int
}

// fit crops to the stones and the margin, and lowers the scale to hold MaxPixels.
func fit(doc design.Document, stones []placed, opt Options) (view, error) {
	box := geom.EmptyBox()
	for _, s := range stones {
		box = box.Join(geom.Bounds([]geom.Point{s.at}).Grow(s.kind.diameter / 2))
	}
	if len(stones) == 0 {
		box = geom.Box{MaxX: math.Max(1, doc.Width), MaxY: math.Max(1, doc.Height)}
	}
	box = box.Grow(opt.Margin)
	scale := math.Min(opt.PixelsPerMM, math.Sqrt(float64(opt.MaxPixels)/(box.Width()*box.Height())))
	wide, high := math.Floor(box.Width()*scale), math.Floor(box.Height()*scale)
	if !(scale >= minPixelsPerMM) || wide < 1 || high < 1 {
		return view{}, fault.New("proof-too-large", "", "the design is %.0f × %.0f mm: too large for a picture of %d pixels; make it smaller", box.Width(), box.Height(), opt.MaxPixels)
	}
	return view{geom.Point{X: box.MinX, Y: box.MinY}, scale, int(wide), int(high)}, nil
}
