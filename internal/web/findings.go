package web

import (
	"cmp"

	"brushfall/internal/job"
)

// finding is something to look at, with its place on the design, in mm.
type finding struct {
	ID     string   `json:"id" doc:"code of a note, or of a broken rule"`
	Text   string   `json:"text"`
	Broken bool     `json:"broken" doc:"a rule is broken: the design must not be cut"`
	X      *float64 `json:"x,omitempty"`
	Y      *float64 `json:"y,omitempty"`
	Region string   `json:"region,omitempty"`
	Stone  *int     `json:"stone,omitempty" doc:"number of the stone, from 0"`
	Rule   *int     `json:"rule,omitempty" doc:"the rule that it is about, from 0"`
	Edit   *int     `json:"edit,omitempty" doc:"the edit by hand that it is about, from 0"`
	Mend   *mend    `json:"mend,omitempty" doc:"with effort final"`
}

// remark is a note of the layout or a warning of the artwork.
type remark struct {
	Code    string `json:"code"`
	Where   string `json:"where,omitempty"`
	Region  string `json:"region,omitempty"`
	Message string `json:"message"`
}

// tell gathers what there is to say of a layout.
func (b *layoutBody) tell(j job.Job, d job.Draft, judge bool) {
	b.Findings, b.Notes, b.Warnings = []finding{}, []remark{}, []remark{}
	for _, n := range d.Notes {
		text := cmp.Or(n.Page, n.Message)
		b.Notes = append(b.Notes, remark{Code: n.Code, Region: n.Region, Message: text})
		f := finding{ID: n.Code, Text: text, Region: n.Region}
		f.X, f.Y = middle(d, n.Region)
		f.source(j)
		if f.Edit != nil { // shares of the drawing so far
			*f.X, *f.Y = micrometre(*f.X*d.Document.Width), micrometre(*f.Y*d.Document.Height)
		}
		if f.Rule != nil {
			b.Unused = append(b.Unused, *f.Rule)
		}
		b.Findings = append(b.Findings, f)
	}
	for _, w := range d.Warnings {
		b.Warnings = append(b.Warnings, remark{Code: w.Code, Where: w.Where, Message: w.Message})
	}
	if !judge {
		return
	}
	for _, f := range d.Inspect() {
		x, y := micrometre(f.X), micrometre(f.Y)
		out := finding{ID: string(f.ID), Text: f.Message, Broken: true, Region: f.Region, X: &x, Y: &y}
		if f.Stone >= 0 {
			out.Stone = &f.Stone
		}
		b.Findings = append(b.Findings, out)
	}
}

// middle gives the middle of a region's box, nothing for one that has no stones.
func middle(d job.Draft, region string) (x, y *float64) {
	for _, r := range d.Document.Regions {
		if r.ID != region || region == "" {
			continue
		}
		box := boxOf(r.Rings)
		cx, cy := micrometre((box[0]+box[2])/2), micrometre((box[1]+box[3])/2)
		return &cx, &cy
	}
	return nil, nil
}

func boxOf(rings [][][2]float64) [4]float64 {
	var box [4]float64
	first := true
	for _, ring := range rings {
		for _, p := range ring {
			if first {
				box, first = [4]float64{p[0], p[1], p[0], p[1]}, false
			}
			box = [4]float64{min(box[0], p[0]), min(box[1], p[1]), max(box[2], p[0]), max(box[3], p[1])}
		}
	}
	return box
}
