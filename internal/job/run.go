package job

import (
	"context"
	"slices"

	"brushfall/internal/artwork"
	"brushfall/internal/design"
	"brushfall/internal/layout"
	"brushfall/internal/plate"
	"brushfall/internal/sheet"
)

// Run is the whole main job: artwork in; the design's document, its findings and
// every file out. The same job gives the same bytes on any number of cores.
// progress may be nil. Faults are the user's (artwork that cannot be read, no
// width, nothing that holds a stone, a design larger than a sheet, a colour that does
// not come in its size), or the
// context's error when it was cancelled.
func Run(ctx context.Context, j Job, progress Progress) (Result, error) {
	if progress == nil {
		progress = func(string, int, int) {}
	}
	d, err := layToMake(ctx, j, nil, progress)
	if err != nil {
		return Result{}, err
	}
	res := d.result()
	progress("inspecting", 0, 0)
	res.Findings = d.Inspect()
	if err := ctx.Err(); err != nil {
		return Result{}, err
	}
	progress("writing the files", 0, 0)
	res.files, err = j.render(ctx, &res)
	return res, err
}

// drawing reads the artwork, brings it to size and sets the lettering: what is visible
// of each region, in mm, the top-left corner of the drawn extent at the origin.
func (j Job) drawing() (drawn, error) {
	d, err := j.composed()
	if err != nil || len(d.Regions) == 0 {
		return d, err
	}
	d.Drawing = artwork.Visible(d.Drawing)
	return d, nil
}

// pick is a region of the drawing that gets stones, with its setting.
type pick struct {
	region  artwork.Region
	setting Setting
	rule    int
}

// request turns the drawing into what is to be laid out: the regions that rules
// pick in the order of the rules, then the rest, each in the drawing's order.
// Where two regions want one place the earlier wins.
func (j Job) request(d artwork.Drawing) ([]pick, layout.Request) {
	var picked []pick
	for _, r := range d.Regions {
		setting, rule := j.SettingFor(r)
		if setting.Skip {
			continue
		}
		if rule < 0 {
			rule = len(j.Regions)
		}
		picked = append(picked, pick{r, setting, rule})
	}
	slices.SortStableFunc(picked, func(a, b pick) int { return a.rule - b.rule })
	req := layout.Request{Effort: j.Effort}
	for _, p := range picked {
		size := p.setting.Stone.Size
		req.Regions = append(req.Regions, layout.Region{
			ID: p.region.ID, Shape: p.region.Shape, Lines: p.region.Lines,
			Treatment: p.setting.Treatment, Bed: p.setting.Bed, BedAs: p.setting.BedAs.On(d),
			Size: size.Name, Colour: p.setting.Stone.Colour.Name, Diameter: size.Largest,
			Gap: p.setting.Gap.Of(size, j.Web), Margin: p.setting.Margin.MM(),
			Coats: p.setting.Colours, Accents: p.setting.accents(j.Web), Fills: p.setting.fills(j.Web),
		})
	}
	req.Hand = j.edits(d, picked)
	return picked, req
}

// platesAndSheets shares the stones out over plates and the plates over sheets.
func (j Job) platesAndSheets(res *Draft) error {
	doc := &res.Document
	plan, err := plate.Plan(doc.Stones, doc.Kinds, j.plateOptions())
	if err != nil {
		return err
	}
	doc.Stones, doc.Plates = plan.Stones, plan.Plates
	doc.Least = &design.Least{Plates: plan.Bound.Plates, Why: plan.Bound.Why}
	for _, n := range plan.Notes {
		res.Notes = append(res.Notes, layout.Note{Code: n.Code, Message: n.Message})
	}
	var note *layout.Note
	if doc.Sheets, note, err = j.nest(*doc); note != nil {
		res.Notes = append(res.Notes, *note)
	}
	return err
}

// itemsOf gives the plates of a design to be nested, each once.
func itemsOf(doc design.Document) []sheet.Item {
	var items []sheet.Item
	for _, p := range doc.Plates {
		f := p.Frame
		items = append(items, sheet.Item{
			Design: doc.Design, Plate: p.Number, W: f[2] - f[0], H: f[3] - f[1],
			ArtWidth: doc.Width, ArtHeight: doc.Height,
		})
	}
	return items
}

// document records the layout as a design without plates yet.
func (j Job) document(d artwork.Drawing, picked []pick, req layout.Request, laid layout.Result) design.Document {
	doc := design.Document{
		Version: design.Version, Unit: "mm", Design: j.Design, Width: d.Width, Height: d.Height,
		Web: j.Web.MM(), Border: j.Border.MM(), Mirrored: j.Mirror, Kinds: j.kindsOf(laid.Stones), Stones: laid.Stones,
	}
	for i, p := range picked {
		r := req.Regions[i]
		doc.Regions = append(doc.Regions, design.Region{
			ID: r.ID, Rings: rings(p.region), Open: p.region.Open(), Treatment: laid.Treatments[i],
			Bed: r.Bed, Density: r.Sparse(), Size: r.Size, Colour: r.Colour, Gap: r.Gap, Pitch: r.Pitch(), Margin: r.Margin,
			Sizes: otherSizes(r, laid.Stones),
		})
	}
	j.recordHand(&doc, picked, laid.Left)
	return doc
}

// rings gives the outlines or lines of a region as the document holds them.
func rings(r artwork.Region) [][][2]float64 {
	var out [][][2]float64
	for _, ring := range r.Shape.Rings {
		out = append(out, pairs(ring))
	}
	for _, l := range r.Lines {
		out = append(out, pairs(l))
	}
	return out
}
