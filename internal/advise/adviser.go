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
	bodies        []body
	byID          map[string]int // the place in bodies of a region
	figures       []figure
	gaps          []gap // of areas
	lineGaps      []gap // of open lines
	tips          []Tip
	thinnest      *Stroke // nil if the drawing has no area
}

// body is a region with its size: dot says that its centre line is one place.
type body struct {
	region artwork.Region
	widest float64
	dot    bool
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
			x := newAxis(r.Shape, geom.CentreOptions{})
			b.widest, b.dot = 2*x.widest, x.dot
		}
		a.byID[r.ID] = len(a.bodies)
		a.bodies = append(a.bodies, b)
	}
	sides := newSides(seen)
	a.figures = figuresOf(seen)
	for _, f := range a.figures {
		a.tips = append(a.tips, f.tips(sides)...)
		if s := f.thinnest(sides); s != nil && (a.thinnest == nil || s.Width < a.thinnest.Width) {
			a.thinnest = s
		}
	}
	a.gaps, a.lineGaps = gapsOf(seen, sides), lineGaps(seen)
	return a, ctx.Err()
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
	for _, f := range a.figures {
		for _, s := range f.axis.strokes {
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
	for _, b := range a.bodies {
		if b.dot && k*b.widest < size.Largest-dotEase {
			return true
		}
	}
	return false
}

// dotEase is by how much a dot may seem too small, in mm: the flattening of curves.
const dotEase = 0.05
