package advise

import (
	"context"
	"fmt"
	"slices"

	"brushfall/internal/artwork"
	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/inspect"
	"brushfall/internal/layout"
)

// Kind says in which way a detail is lost.
type Kind string

// The kinds of loss.
const (
	NoStone  Kind = "no stone"      // a region gets none
	Blurred  Kind = "does not read" // a region reads less than ReadsRegion
	GapShuts Kind = "gap shuts"     // a gap is no wider than the holes between stones
)

// Loss is a detail that does not read. Width is that of the region at its widest
// or of the gap at its narrowest; Other is set for a gap. Reads is for Blurred.
type Loss struct {
	Kind   Kind    `json:"kind"`
	Region string  `json:"region"`
	Other  string  `json:"other,omitempty"`
	Width  float64 `json:"width_mm"`
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Reads  float64 `json:"reads,omitempty"`
}

// attempt is the drawing laid out once, scaled from the width asked for. What
// reads is known once it was measured.
type attempt struct {
	scale   float64
	doc     design.Document
	stones  int
	whole   *float64
	regions []RegionReads
	lost    []Loss
}

// reads says whether the whole reads; lines alone do if they have stones.
func (t attempt) reads() bool {
	return t.stones > 0 && (t.whole == nil || *t.whole >= ReadsWhole)
}

// holds says whether every region has stones and every gap stays open.
func (t attempt) holds() bool {
	for _, l := range t.lost {
		if l.Kind != Blurred {
			return false
		}
	}
	return t.stones > 0
}

func (t attempt) grade() Grade {
	switch {
	case !t.reads():
		return Unreadable
	case len(t.lost) > 0:
		return LosesDetail
	}
	return Reads
}

// try lays the drawing out at a width with one size throughout, by the local
// width of its shapes, in effort live, and says what has no stone and which gaps
// are shut. What reads is asked for by measure.
func (a *adviser) try(ctx context.Context, size catalogue.Size, width float64) (attempt, error) {
	fit, err := a.raw.FitWidth(width)
	if err != nil {
		return attempt{}, err
	}
	d := artwork.Visible(fit)
	req := layout.Request{Effort: layout.Live}
	for _, r := range d.Regions {
		req.Regions = append(req.Regions, layout.Region{
			ID: r.ID, Shape: r.Shape, Lines: r.Lines, Bed: design.Comb,
			Size: size.Name, Colour: anyColour, Diameter: size.Largest, Gap: size.Gap(a.opt.Web),
		})
	}
	laid, err := layout.Run(ctx, req, nil)
	if err != nil {
		return attempt{}, err
	}
	t := attempt{scale: width / a.width, doc: record(d, req, laid, size), stones: len(laid.Stones)}
	stones := map[string]int{}
	for _, s := range laid.Stones {
		stones[s.Region]++
	}
	for _, r := range d.Regions {
		if l, known := a.loss(r.ID, t.scale); known && stones[r.ID] == 0 {
			l.Kind = NoStone
			t.lost = append(t.lost, l)
		}
	}
	t.lost = append(t.lost, a.shutGaps(laid.Stones, size, t.scale)...)
	return t, ctx.Err()
}

// measure finds what reads: of the whole and of each region.
func (a *adviser) measure(t *attempt) {
	report := inspect.MeasureReads(t.doc)
	t.whole, t.regions = report.Total.Reads, nil
	for _, row := range report.Rows {
		t.regions = append(t.regions, RegionReads{row.Region, row.Stones, row.Reads})
		if row.Stones > 0 && row.Reads != nil && *row.Reads < ReadsRegion {
			if l, known := a.loss(row.Region, t.scale); known {
				l.Kind, l.Reads = Blurred, *row.Reads
				t.lost = append(t.lost, l)
			}
		}
	}
}

// anyColour is the colour of the stones that are tried: no answer depends on it.
const anyColour = "crystal"

// record gives the layout as the measures read it.
func record(d artwork.Drawing, req layout.Request, laid layout.Result, size catalogue.Size) design.Document {
	doc := design.Document{Version: design.Version, Unit: "mm", Width: d.Width, Height: d.Height, Stones: laid.Stones}
	doc.Kinds = []design.Kind{{
		Size: size.Name, Colour: anyColour, Diameter: size.Largest, Smallest: size.Smallest, Hole: size.Hole, Height: size.Height,
	}}
	for i, r := range req.Regions {
		out := design.Region{
			ID: r.ID, Open: len(r.Lines) > 0, Treatment: laid.Treatments[i], Bed: r.Bed,
			Size: r.Size, Colour: r.Colour, Gap: r.Gap, Pitch: r.Pitch(),
		}
		for _, ring := range r.Shape.Rings {
			out.Rings = append(out.Rings, pairs(ring))
		}
		for _, l := range r.Lines {
			out.Rings = append(out.Rings, pairs(l))
		}
		doc.Regions = append(doc.Regions, out)
	}
	return doc
}

func pairs(points []geom.Point) [][2]float64 {
	out := make([][2]float64, len(points))
	for i, p := range points {
		out[i] = [2]float64{p.X, p.Y}
	}
	return out
}

// loss gives the place and width of a region in the drawing scaled k times. A
// sliver that the width asked for does not have is not known.
func (a *adviser) loss(region string, k float64) (Loss, bool) {
	i, known := a.byID[region]
	if !known {
		return Loss{}, false
	}
	b := a.bodies[i]
	box := b.region.Bounds()
	return Loss{
		Region: region, Width: k * b.widest,
		X: k * (box.MinX + box.MaxX) / 2, Y: k * (box.MinY + box.MaxY) / 2,
	}, true
}

// shutGaps lists the gaps that the stones close over more than a pitch: what is
// clear there is no wider than the holes between the stones of a bed. A change
// of paint shows without a gap.
func (a *adviser) shutGaps(stones []design.Stone, size catalogue.Size, k float64) []Loss {
	pitch, void := size.Largest+size.Gap(a.opt.Web), voidIn(size, a.opt.Web)
	widest := void + size.Largest // stones on both sides stand over their outlines by half
	index := geom.NewIndex(geom.Box{MaxX: k * a.width, MaxY: k * a.height}, pitch)
	for i, s := range stones {
		index.Insert(i, geom.Point{X: s.X, Y: s.Y})
	}
	shut := func(v sample) bool {
		_, _, near := index.Nearest(v.Mul(k), (size.Largest+void)/2, -1)
		return near
	}
	var out []Loss
	for _, g := range slices.Concat(a.gaps, a.lineGaps) {
		if !g.sameInk || k*g.Width > widest {
			continue
		}
		long, hole := 0.0, len(g.places) == 1
		for _, v := range g.places {
			if shut(v) {
				long += k * v.length
				if hole {
					long = pitch + 1
				}
			}
		}
		if long > pitch {
			out = append(out, Loss{Kind: GapShuts, Region: g.Region, Other: g.Other, Width: k * g.Width, X: k * g.X, Y: k * g.Y})
		}
	}
	return out
}

// String says the loss in words: "eye, 3.1 mm wide, gets no stone".
func (l Loss) String() string {
	switch l.Kind {
	case NoStone:
		if l.Width == 0 {
			return fmt.Sprintf("%s, a line, gets no stone", l.Region)
		}
		return fmt.Sprintf("%s, %.1f mm wide, gets no stone", l.Region, l.Width)
	case Blurred:
		return fmt.Sprintf("%s, %.1f mm wide, comes out unclear (read %s)", l.Region, l.Width, shown(l.Reads))
	}
	if l.Region == l.Other {
		return fmt.Sprintf("the gap of %.1f mm in %s closes up", l.Width, l.Region)
	}
	return fmt.Sprintf("the gap of %.1f mm between %s and %s closes up", l.Width, l.Region, l.Other)
}
