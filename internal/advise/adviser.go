package advise

import (
	"context"
	"math"

	"brushfall/internal/artwork"
	"brushfall/internal/catalogue"
	"brushfall/internal/geom"
)

// adviser is a drawing at the width asked for, with what was measured of it once:
// it scales with the drawing.
type adviser struct {
	raw           artwork.Drawing
	opt           Options
	width, height float64
	shapes        []body
	byID          map[string]int
	gaps          []gap
	tips          []Tip
}

// body is a region with its strokes.
type body struct {
	region artwork.Region
	axis   axis
	thin   *Stroke // nil for open lines
}

func newAdviser(ctx context.Context, d artwork.Drawing, opt Options) (*adviser, error) {
	fit, err := d.FitWidth(opt.Width)
	if err != nil {
		return nil, err
	}
	seen := artwork.Visible(fit)
	a := &adviser{raw: d, opt: opt, width: fit.Width, height: fit.Height, byID: map[string]int{}}
	for _, r := range seen.Regions {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		b := body{region: r}
		if !r.Open() {
			b.axis = newAxis(r.Shape, geom.CentreOptions{})
			b.thin = b.thinnest()
			a.addTips(b)
		}
		a.byID[r.ID] = len(a.shapes)
		a.shapes = append(a.shapes, b)
	}
	a.gaps = gapsOf(seen)
	return a, ctx.Err()
}

// addTips lists the pointed ends that are longer than they are wide; the others
// are corners.
func (a *adviser) addTips(b body) {
	for _, t := range b.axis.tapers {
		long, base := lengthOf(t), 2*t[len(t)-1].radius
		if long > base {
			a.tips = append(a.tips, Tip{Region: b.region.ID, Length: long, Base: base, X: t[0].X, Y: t[0].Y})
		}
	}
}

// thinnest gives the thinnest stroke of a closed region, the first of several.
func (b body) thinnest() *Stroke {
	outline := geom.NewBoundary(b.region.Shape)
	var out *Stroke
	for _, s := range b.axis.strokes {
		if out != nil && 2*s[s.narrowest()].radius > out.Width*nearlyAsThin {
			continue
		}
		if w, at := s.width(outline); out == nil || w < out.Width {
			out = &Stroke{Region: b.region.ID, Width: w, X: at.X, Y: at.Y}
		}
	}
	return out
}

// nearlyAsThin is how much wider than the thinnest stroke so far one may seem by
// its samples and still be looked at closely.
const nearlyAsThin = 1.2

// thinnest gives the thinnest stroke of the drawing, the first of several, nil if
// it has no area.
func (a *adviser) thinnest() *Stroke {
	var out *Stroke
	for _, b := range a.shapes {
		if b.thin != nil && (out == nil || b.thin.Width < out.Width) {
			out = b.thin
		}
	}
	return out
}

// finest gives the finest gap of the drawing, nil if it has none.
func (a *adviser) finest() *Gap {
	if len(a.gaps) == 0 {
		return nil
	}
	g := a.gaps[0].Gap
	return &g
}

// voidIn gives the clear width of the holes between the stones of a full bed: a
// honeycomb of pitch p has its holes p/√3 from three centres.
func voidIn(size catalogue.Size, web float64) float64 {
	return 2*(size.Largest+size.Gap(web))/math.Sqrt(3) - size.Largest
}

// rowsIn gives how many rows of stones lie side by side in a stroke.
func rowsIn(width float64, size catalogue.Size, web float64) int {
	if width < fills(size) {
		return 0
	}
	return 1 + int(math.Max(0, (width-size.Largest)/(size.Largest+size.Gap(web))))
}

// fills gives the thinnest stroke that stones of a size do not stand over: as
// wide as most of them are, for few are as wide as the largest.
func fills(size catalogue.Size) float64 { return (size.Smallest + size.Largest) / 2 }

// rowShares gives the shares of all strokes by length that hold no whole row,
// one, two, and three or more.
func (a *adviser) rowShares(size catalogue.Size) [4]float64 {
	var out [4]float64
	sum := 0.0
	for _, b := range a.shapes {
		for _, s := range b.axis.strokes {
			for _, v := range s {
				out[min(rowsIn(2*v.radius, size, a.opt.Web), 3)] += v.length
				sum += v.length
			}
		}
	}
	for i := range out {
		if sum > 0 {
			out[i] /= sum
		}
	}
	return out
}

// losesDot says without a layout whether a dot gets no stone in the drawing
// scaled k times: a region whose centre line is one place, narrower than a stone.
// A stone lies wholly in its region, or on its line, and a dot has none.
func (a *adviser) losesDot(size catalogue.Size, k float64) bool {
	for _, b := range a.shapes {
		if b.axis.dot && 2*k*b.axis.widest < size.Largest-dotEase {
			return true
		}
	}
	return false
}

// dotEase is by how much a dot may seem too small, in mm: the flattening of curves.
const dotEase = 0.05
