// Package sheet nests plates on sheets of flock, on pieces of a roll and on odd
// pieces that are left from earlier work: as few new sheets as a good search
// finds, and what is left over in rectangles that can be used again.
package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

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
// strip of flock between the two cuts is too weak to peel (from memory). Frames
// that share one cut have no strip between them: see Options.Touch.
const LeastSpacing = 2.0

// MostItems bounds the plates of one run.
const MostItems = 2000

// fitSlack is by how much a frame may seem too large, in mm: the rounding of
// sums of lengths, far below what any cutter can show.
const fitSlack = 1e-6

// Item is one plate to be nested: the design's name, the plate's number and its
// frame's sides in mm. A plate that is wanted several times is as many items.
// Upright forbids turning this one, for flock with a grain. ArtWidth and
// ArtHeight are the design's own sides; they serve the advice when the frame is
// too large, and 0 means the frame's.
type Item struct {
	Design              string
	Plate               int
	W, H                float64
	Upright             bool
	ArtWidth, ArtHeight float64
}

// Piece is an odd piece of flock, in mm.
type Piece struct{ Width, Height float64 }

// Options are the sheet's sides, the margin kept free along its edges and the
// least distance between two frames, in mm; Turn lets a plate be turned by a quarter.
//
// With Touch the spacing is not kept: frames may lie side against side, so that
// one cut parts both. The sides of two such frames agree to 0.000001 mm in the
// placements; whoever plans the cuts finds the shared parts by that.
//
// With Roll, Width is the roll's and Height the longest piece that is cut from
// it; each piece then is as short as its plates let it be.
//
// Pieces are offered before a new sheet is begun, the smallest first, with the
// same margins; those that take no plate are left out of the answer.
type Options struct {
	Width, Height   float64
	Margin, Spacing float64
	Turn            bool
	Touch           bool
	Roll            bool
	Pieces          []Piece
}

// Defaults gives the options for a sheet of the trade's flock.
func Defaults() Options {
	return Options{
		Width: catalogue.FlockWidth, Height: catalogue.FlockHeight,
		Margin: DefaultMargin, Spacing: DefaultSpacing, Turn: true,
	}
}

// Filled is a sheet with its plates, the index of the odd piece that it is
// (NoPiece for a new one), and what is left of it, the largest first.
type Filled struct {
	design.Sheet
	Piece   int
	Offcuts []Offcut
}

// NoPiece is the Piece of a new sheet.
const NoPiece = -1

// Nest sets the items onto sheets, as Fill does, and gives the sheets alone.
func Nest(items []Item, opt Options) ([]design.Sheet, error) {
	filled, err := Fill(items, opt)
	if err != nil {
		return nil, err
	}
	sheets := make([]design.Sheet, len(filled))
	for i, f := range filled {
		sheets[i] = f.Sheet
	}
	return sheets, nil
}

// Fill sets the items onto sheets. The sheets are numbered from 1, odd pieces
// first; what lies on one is listed from its top, then from its left. The answer
// is the same in whatever order the items come. No items give no sheets.
// Faults: "sheet-options", "sheet-items" (more than MostItems), "plate-size" (a
// side that is not a length above 0) and "design-too-large", whose message says
// the largest width that fits.
func Fill(items []Item, opt Options) ([]Filled, error) {
	if err := opt.check(); err != nil {
		return nil, err
	}
	if len(items) > MostItems {
		return nil, fault.New("sheet-items", "", "there are %d plates to set on sheets; at most %d go in one run: make it in several", len(items), MostItems)
	}
	for _, it := range items {
		if err := opt.checkItem(it); err != nil {
			return nil, err
		}
	}
	items = inOrder(items)
	bins := newSearch(items, opt).run()
	filled := make([]Filled, len(bins))
	for i, b := range bins {
		filled[i] = b.filled(i+1, items, opt)
	}
	return filled, nil
}

// inOrder sorts the items, the largest first, so that it does not matter in what
// order they come.
func inOrder(items []Item) []Item {
	out := slices.Clone(items)
	slices.SortStableFunc(out, func(a, b Item) int {
		return cmp.Or(cmp.Compare(b.W*b.H, a.W*a.H), cmp.Compare(b.W, a.W), cmp.Compare(a.Design, b.Design), cmp.Compare(a.Plate, b.Plate))
	})
	return out
}

// filled turns a bin into a sheet.
func (b bin) filled(number int, items []Item, opt Options) Filled {
	f := Filled{Piece: b.piece, Sheet: design.Sheet{Number: number, Width: b.width, Height: b.height}}
	slices.SortFunc(b.set, func(a, c spot) int {
		return cmp.Or(cmp.Compare(a.y, c.y), cmp.Compare(a.x, c.x), cmp.Compare(a.item, c.item))
	})
	for _, s := range b.set {
		f.Placed = append(f.Placed, design.Placed{
			Design: items[s.item].Design, Plate: items[s.item].Plate,
			X: opt.Margin + s.x, Y: opt.Margin + s.y, Turned: s.turned,
		})
	}
	f.Offcuts = b.offcuts(opt)
	return f
}

func (o Options) check() error {
	for _, v := range []float64{o.Width, o.Height, o.Margin, o.Spacing} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fault.New("sheet-options", "", "a sheet of %g × %g mm with margins of %g mm and %g mm between frames cannot be; give lengths of 0 mm or more", o.Width, o.Height, o.Margin, o.Spacing)
		}
	}
	if !o.Touch && o.Spacing < LeastSpacing {
		return fault.New("sheet-options", "", "%s between two frames tears when peeled; give %s or more, or let frames share their cuts", unit.Length(o.Spacing).Both(), unit.Length(LeastSpacing).Both())
	}
	if w, h := o.room(); w <= 0 || h <= 0 {
		return fault.New("sheet-options", "", "a sheet of %s has no room inside margins of %s; give a larger sheet or smaller margins", bothSides(o.Width, o.Height), unit.Length(o.Margin).Both())
	}
	for _, p := range o.Pieces {
		if !(p.Width > 0 && p.Height > 0) || math.IsInf(p.Width+p.Height, 0) {
			return fault.New("sheet-options", "", "an odd piece of %g × %g mm cannot be; both sides must be above 0", p.Width, p.Height)
		}
	}
	return nil
}

// room gives the sides of the part of a sheet inside its margins.
func (o Options) room() (w, h float64) { return o.Width - 2*o.Margin, o.Height - 2*o.Margin }

// apart gives the distance that is kept between two frames.
func (o Options) apart() float64 {
	if o.Touch {
		return 0
	}
	return o.Spacing
}

// takes says whether a frame fits a sheet as it stands.
func (o Options) takes(w, h float64) bool {
	rw, rh := o.room()
	return w <= rw+fitSlack && h <= rh+fitSlack
}

// turns says whether an item may be turned.
func (o Options) turns(it Item) bool { return o.Turn && !it.Upright }

func (o Options) checkItem(it Item) error {
	where := fmt.Sprintf("%s, plate %d", it.Design, it.Plate)
	for _, v := range []float64{it.W, it.H} {
		if !(v > 0) || math.IsInf(v, 0) {
			return fault.New("plate-size", where, "its frame is %g × %g mm; both sides must be above 0", it.W, it.H)
		}
	}
	if o.takes(it.W, it.H) || o.turns(it) && o.takes(it.H, it.W) {
		return nil
	}
	rw, rh := o.room()
	advice := "no width of it fits: take a larger sheet"
	o.Turn = o.turns(it)
	if w := LargestFit(it.W, it.H, cmp.Or(it.ArtWidth, it.W), cmp.Or(it.ArtHeight, it.H), o); w > 0 {
		advice = fmt.Sprintf("the largest width of the design that fits is %.1f mm (%.2f in): give that or less, or a larger sheet", w, math.Floor(unit.Length(w).Inches()*100)/100)
	}
	return fault.New("design-too-large", where, "its frame is %s and a sheet of %s has room for %s inside its margins; %s",
		bothSides(it.W, it.H), bothSides(o.Width, o.Height), bothSides(rw, rh), advice)
}

// bothSides prints two sides in mm, and in inches behind: "292.8 × 152.4 mm (11.53 × 6 in)".
func bothSides(w, h float64) string {
	side := func(mm, step float64, u unit.Unit) string {
		return unit.Length(math.Round(mm/step) * step).Format(u)
	}
	inch := unit.Inch.MM()
	return strings.TrimSuffix(side(w, 0.1, unit.Millimetre), " mm") + " × " + side(h, 0.1, unit.Millimetre) +
		" (" + strings.TrimSuffix(side(w, inch/100, unit.Inches), " in") + " × " + side(h, inch/100, unit.Inches) + ")"
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
