package proof

import (
	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Place says where a picture lies on its design: Origin is the design's point at its
// top-left corner, in mm; the picture is Width × Height pixels of PixelsPerMM. Stones
// is the box of all stones, rims included.
type Place struct {
	Origin        geom.Point
	PixelsPerMM   float64
	Width, Height int
	Stones        geom.Box
}

// PlaceOf gives the place of the picture that Draw and Render make of the design with
// the same options, and their faults.
func PlaceOf(doc design.Document, opt Options) (Place, error) {
	opt = opt.withDefaults()
	kinds, err := findKinds(doc)
	if err != nil {
		return Place{}, err
	}
	stones, err := place(doc, kinds)
	if err != nil {
		return Place{}, err
	}
	v, err := fit(doc, stones, opt)
	if err != nil {
		return Place{}, err
	}
	box := geom.Box{MaxX: doc.Width, MaxY: doc.Height}
	if len(stones) > 0 {
		box = geom.EmptyBox()
		for _, s := range stones {
			box = box.Join(geom.Bounds([]geom.Point{s.at}).Grow(s.kind.diameter / 2))
		}
	}
	return Place{v.origin, v.scale, v.width, v.height, box}, nil
}
