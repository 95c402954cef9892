package artwork

import (
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// Bounds gives the smallest box around the region, in mm; empty for an empty one.
func (r Region) Bounds() geom.Box {
	b := r.Shape.Bounds()
	for _, l := range r.Lines {
		b = b.Join(geom.Bounds(l))
	}
	return b
}

// Transform gives the region with every point mapped; a map that collapses the
// plane leaves neither area nor lines.
func (r Region) Transform(m geom.Affine) Region {
	r.Shape = r.Shape.Transform(m)
	lines := r.Lines
	r.Lines = nil
	if m.Det() == 0 {
		return r
	}
	for _, l := range lines {
		mapped := make(geom.Line, len(l))
		for i, p := range l {
			mapped[i] = m.Apply(p)
		}
		r.Lines = append(r.Lines, mapped)
	}
	return r
}

// Extent gives the smallest box around all regions, in mm; empty if there is none.
func (d Drawing) Extent() geom.Box {
	b := geom.EmptyBox()
	for _, r := range d.Regions {
		b = b.Join(r.Bounds())
	}
	return b
}

// Scale gives the drawing enlarged k times and moved so that the top-left corner
// of its extent is the origin; width and height become those of the extent. A k
// that is not above zero, or a drawing without regions, is given back as it is.
func (d Drawing) Scale(k float64) Drawing {
	if !(k > 0) || len(d.Regions) == 0 {
		return d
	}
	b := d.Extent()
	m := geom.Scale(k, k).Mul(geom.Translate(-b.MinX, -b.MinY))
	regions := make([]Region, len(d.Regions))
	for i, r := range d.Regions {
		regions[i] = r.Transform(m)
	}
	d.Width, d.Height, d.Regions = b.Width()*k, b.Height()*k, regions
	return d
}

// FitWidth scales the drawing so that what is drawn, not the page, is mm wide. It
// refuses a drawing without regions, without width, and a width not above zero.
func (d Drawing) FitWidth(mm float64) (Drawing, error) {
	return d.fit(mm, d.Extent().Width(), "width")
}

// FitHeight does as FitWidth for the height.
func (d Drawing) FitHeight(mm float64) (Drawing, error) {
	return d.fit(mm, d.Extent().Height(), "height")
}

func (d Drawing) fit(mm, extent float64, side string) (Drawing, error) {
	switch {
	case len(d.Regions) == 0:
		return d, fault.New("artwork-empty", "", "the artwork draws nothing: see its warnings, and give it outlines with a fill or a stroke")
	case !(mm > 0 && mm <= largest):
		return d, fault.New("artwork-size", "", "a %s of %g mm is none: give one above 0 and up to %g mm", side, mm, float64(largest))
	case !(extent > 0):
		return d, fault.New("artwork-size", "", "the artwork has no %s to be scaled by: give the other side", side)
	}
	return d.Scale(mm / extent), nil
}

// largest is the widest design in mm that may be asked for, 100 m: far beyond any
// sheet, and near enough for the grid of the geometry.
const largest = 100_000
