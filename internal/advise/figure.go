package advise

import (
	"brushfall/internal/artwork"
	"brushfall/internal/geom"
)

// figure is all that is seen in one paint: a person sees strokes that cross or
// meet as one, where the drawing has a region for each and cuts the lower ones.
// Its shape is grown by seam, so that no slit of rounding stays between them.
type figure struct {
	shape geom.Shape
	axis  axis
}

// seam is how far areas are grown before they are joined, in mm: far more than
// rounding leaves between areas that touch (1e-5), and too little to be seen.
const seam = 0.002

// seamError is the chord error of what is grown, in mm.
const seamError = 0.0005

// figuresOf joins the closed regions by their paint, in the order of the first of each.
func figuresOf(d artwork.Drawing) []figure {
	var paints []string
	rings := map[string][]geom.Ring{}
	for _, r := range d.Regions {
		if r.Open() {
			continue
		}
		if _, known := rings[r.Paint]; !known {
			paints = append(paints, r.Paint)
		}
		rings[r.Paint] = append(rings[r.Paint], grown(r.Shape)...)
	}
	var out []figure
	for _, p := range paints {
		f := figure{shape: geom.Fill(rings[p], geom.NonZero)}
		f.axis = newAxis(f.shape, geom.CentreOptions{})
		out = append(out, f)
	}
	return out
}

// grown gives the outlines of an area grown by seam.
func grown(s geom.Shape) []geom.Ring { return geom.Inset(s, -seam, seamError).Rings }

// tips lists the pointed ends that are longer than they are wide; the others are
// corners.
func (f figure) tips(sides sides) []Tip {
	var out []Tip
	for _, t := range f.axis.tapers {
		long, base := lengthOf(t), 2*(t[len(t)-1].radius-seam)
		if long > base {
			out = append(out, Tip{Region: sides.at(t[0].Point), Length: long, Base: base, X: t[0].X, Y: t[0].Y})
		}
	}
	return out
}

// thinnest gives the thinnest stroke, the first of several; nil if there is none.
func (f figure) thinnest(sides sides) *Stroke {
	outline := geom.NewBoundary(f.shape)
	var out *Stroke
	for _, s := range f.axis.strokes {
		if out != nil && 2*s[s.narrowest()].radius > out.Width*nearlyAsThin {
			continue
		}
		if w, at := s.width(outline); out == nil || w-2*seam < out.Width {
			out = &Stroke{Width: w - 2*seam, X: at.X, Y: at.Y}
		}
	}
	if out != nil {
		out.Region = sides.at(geom.Point{X: out.X, Y: out.Y})
	}
	return out
}

// nearlyAsThin is how much wider than the thinnest stroke so far one may seem by
// its samples and still be looked at closely.
const nearlyAsThin = 1.2
