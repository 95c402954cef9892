// Package sheet nests plates on sheets of flock: as few sheets as a good simple
// method finds, every frame apart from the next and from the sheet's edges.
package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/unit"
)

// Defaults, in mm (from memory): the margin is what pinch rollers and a mat's
// worn edge ask for, the spacing keeps two frame cuts from tearing into each other.
const (
	DefaultMargin  = 6.0
	DefaultSpacing = 3.0
)

// LeastSpacing is the least distance between two frames, in mm: nearer, the
// strip of flock between the two cuts is too weak to peel (from memory).
const LeastSpacing = 2.0

// fitSlack is by how much a frame may seem too large, in mm: the rounding of
// sums of lengths, far below what any cutter can show.
const fitSlack = 1e-6

// Item is one plate to be nested: the design's name, the plate's number and its
// frame's sides in mm. ArtWidth and ArtHeight are the design's own sides; they
// serve the advice when the frame is too large, and 0 means the frame's.
type Item struct {
	Design              string
	Plate               int
	W, H                float64
	ArtWidth, ArtHeight float64
}

// Options are the sheet's sides, the margin kept free along its edges and the
// least distance between two frames, in mm; Turn lets a plate be turned by a quarter.
type Options struct {
	Width, Height   float64
	Margin, Spacing float64
	Turn            bool
}

// Defaults gives the options for a sheet of the trade's flock.
func Defaults() Options {
	return Options{
		Width: catalogue.FlockWidth, Height: catalogue.FlockHeight,
		Margin: DefaultMargin, Spacing: DefaultSpacing, Turn: true,
	}
}

// Nest sets the items onto sheets. The sheets are numbered from 1; what lies on
// one is listed from its top, then from its left. No items give no sheets.
// Faults: "sheet-options", "plate-size" (a side that is not a length above 0)
// and "design-too-large", whose message says the largest width that fits.
func Nest(items []Item, opt Options) ([]design.Sheet, error) {
	if err := opt.check(); err != nil {
		return nil, err
	}
	for _, it := range items {
		if err := opt.checkItem(it); err != nil {
			return nil, err
		}
	}
	bins := best(items, opt)
	sheets := make([]design.Sheet, len(bins))
	for b, bin := range bins {
		sheets[b] = design.Sheet{Number: b + 1, Width: opt.Width, Height: opt.Height}
		slices.SortFunc(bin.set, func(a, c spot) int {
			return cmp.Or(cmp.Compare(a.y, c.y), cmp.Compare(a.x, c.x), cmp.Compare(a.item, c.item))
		})
		for _, s := range bin.set {
			sheets[b].Placed = append(sheets[b].Placed, design.Placed{
				Design: items[s.item].Design, Plate: items[s.item].Plate,
				X: opt.Margin + s.x, Y: opt.Margin + s.y, Turned: s.turned,
			})
		}
	}
	return sheets, nil
}

func (o Options) check() error {
	for _, v := range []float64{o.Width, o.Height, o.Margin, o.Spacing} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fault.New("sheet-options", "", "a sheet of %g × %g mm with margins of %g mm and %g mm between frames cannot be; give lengths of 0 mm or more", o.Width, o.Height, o.Margin, o.Spacing)
		}
	}
	if o.Spacing < LeastSpacing {
		return fault.New("sheet-options", "", "%g mm between two frames tears when peeled; give %g mm or more", o.Spacing, LeastSpacing)
	}
	if w, h := o.room(); w <= 0 || h <= 0 {
		return fault.New("sheet-options", "", "a sheet of %g × %g mm has no room inside margins of %g mm; give a larger sheet or smaller margins", o.Width, o.Height, o.Margin)
	}
	return nil
}

// room gives the sides of the part of a sheet inside its margins.
func (o Options) room() (w, h float64) { return o.Width - 2*o.Margin, o.Height - 2*o.Margin }

// takes says whether a frame fits a sheet as it stands.
func (o Options) takes(w, h float64) bool {
	rw, rh := o.room()
	return w <= rw+fitSlack && h <= rh+fitSlack
}

func (o Options) checkItem(it Item) error {
	where := fmt.Sprintf("%s, plate %d", it.Design, it.Plate)
	for _, v := range []float64{it.W, it.H} {
		if !(v > 0) || math.IsInf(v, 0) {
			return fault.New("plate-size", where, "its frame is %g × %g mm; both sides must be above 0", it.W, it.H)
		}
	}
	if o.takes(it.W, it.H) || o.Turn && o.takes(it.H, it.W) {
		return nil
	}
	rw, rh := o.room()
	advice := "no width of it fits: take a larger sheet"
	if w := LargestFit(it.W, it.H, cmp.Or(it.ArtWidth, it.W), cmp.Or(it.ArtHeight, it.H), o); w > 0 {
		advice = fmt.Sprintf("the largest width of the design that fits is %.1f mm (%.2f in): give that or less, or a larger sheet", w, math.Floor(unit.Length(w).Inches()*100)/100)
	}
	return fault.New("design-too-large", where, "its frame is %.1f × %.1f mm and a sheet of %.1f × %.1f mm has room for %.1f × %.1f mm inside its margins; %s",
		it.W, it.H, o.Width, o.Height, rw, rh, advice)
}

// LargestFit gives the largest width of a design, in mm, rounded down to a
// tenth, whose frame fits a sheet; 0 if none does. designW and designH are its
// sides now, frameW and frameH its frame's. What the frame adds to the design
// (border, marks) stays as it is when the design is scaled.
func LargestFit(frameW, frameH, designW, designH float64, opt Options) float64 {
	if !(designW > 0 && designH > 0) {
		return 0
	}
	rw, rh := opt.room()
	moreW, moreH := frameW-designW, frameH-designH
	scale := min((rw-moreW)/designW, (rh-moreH)/designH)
	if opt.Turn {
		scale = max(scale, min((rh-moreW)/designW, (rw-moreH)/designH))
	}
	if !(scale > 0) || math.IsInf(scale, 0) {
		return 0
	}
	return math.Floor(scale*designW*10+fitSlack) / 10
}
