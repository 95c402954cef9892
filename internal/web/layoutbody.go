package web

import (
	"math"

	"brushfall/internal/catalogue"
	"brushfall/internal/count"
	"brushfall/internal/design"
	"brushfall/internal/job"
)

// layoutBody is a layout as the page draws it. Lengths are mm; places are rounded to
// 0.001 mm.
type layoutBody struct {
	Revision int         `json:"revision" doc:"the saved revision at the time; a job that came with the request may differ"`
	Width    float64     `json:"width"`
	Height   float64     `json:"height"`
	MS       float64     `json:"ms" doc:"how long the server took, in milliseconds"`
	Kinds    []kindBody  `json:"kinds"`
	Roles    []string    `json:"roles"`
	Stones   stones      `json:"stones"`
	Regions  []laidBody  `json:"regions" doc:"the regions that get stones, the one that wins first"`
	Counts   []countBody `json:"counts"`
	Total    countBody   `json:"total"`
	Plates   []plateBody `json:"plates"`
	Least    leastBody   `json:"least"`
	Sheets   []sheetBody `json:"sheets"`
	Minutes  *minutes    `json:"minutes,omitempty" doc:"with effort final"`
	Cost     *costBody   `json:"cost,omitempty" doc:"with effort final"`
	Fits     []fitBody   `json:"fits"`
	Findings []finding   `json:"findings"`
	Notes    []remark    `json:"notes"`
	Warnings []remark    `json:"warnings"`
	Unused   []int       `json:"unused" doc:"rules that pick no region, counted from 0"`
}

type kindBody struct {
	Size     string  `json:"size"`
	Colour   string  `json:"colour"`
	Diameter float64 `json:"diameter"`
	Hole     float64 `json:"hole"`
	Hex      string  `json:"hex"`
	AB       bool    `json:"ab"`
	Finish   string  `json:"finish"`
}

// stones are columns of one length: stone i is the i-th of each.
type stones struct {
	X      []float64 `json:"x"`
	Y      []float64 `json:"y"`
	Kind   []int     `json:"kind" doc:"place in kinds, from 0"`
	Region []int     `json:"region" doc:"place in regions, from 0"`
	Role   []int     `json:"role" doc:"place in roles, from 0"`
	Plate  []int     `json:"plate" doc:"number of the plate, from 1"`
}

type laidBody struct {
	ID        string             `json:"id"`
	Rule      int                `json:"rule" doc:"the rule that picks it, from 0; -1: the job's own setting"`
	Treatment []design.Treatment `json:"treatment"`
	Bed       string             `json:"bed,omitempty"`
	Size      string             `json:"size"`
	Colour    string             `json:"colour"`
	Gap       float64            `json:"gap"`
	Margin    float64            `json:"margin"`
	Open      bool               `json:"open"`
	Stones    int                `json:"stones"`
	Advice    string             `json:"advice,omitempty"`
}

type countBody struct {
	Size   string  `json:"size"`
	Colour string  `json:"colour"`
	Pieces int     `json:"pieces" doc:"stones in the design"`
	Spare  int     `json:"spare" doc:"stones to take beyond them"`
	Gross  int     `json:"gross"`
	Grams  float64 `json:"grams" doc:"of all, spare ones too"`
}

type plateBody struct {
	Number int          `json:"number"`
	Frame  [4]float64   `json:"frame" doc:"x0, y0, x1, y1"`
	Notch  [2]float64   `json:"notch"`
	Nicks  [][4]float64 `json:"nicks"`
	Order  []string     `json:"order"`
	Stones int          `json:"stones"`
}

type leastBody struct {
	Plates int    `json:"plates"`
	Why    string `json:"why"`
}

type sheetBody struct {
	Number int          `json:"number"`
	Width  float64      `json:"width"`
	Height float64      `json:"height"`
	Placed []placedBody `json:"placed"`
}

type placedBody struct {
	Plate  int     `json:"plate"`
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Turned bool    `json:"turned"`
}

type minutes struct {
	Cut float64 `json:"cut" doc:"at the cutter, estimated"`
}

type fitBody struct {
	Size   string  `json:"size"`
	Fit    float64 `json:"fit"`
	Hole   float64 `json:"hole"`
	Own    bool    `json:"own" doc:"found by the shop's own trial holes"`
	Source string  `json:"source"`
}

// micrometre rounds to 0.001 mm.
func micrometre(v float64) float64 { return math.Round(v*1000) / 1000 }

// layoutOf puts a layout into the page's form. With judge it is inspected too.
func layoutOf(j job.Job, d job.Draft, judge bool) layoutBody {
	doc := d.Document
	b := layoutBody{
		Width: micrometre(doc.Width), Height: micrometre(doc.Height),
		Roles: []string{string(design.RoleRim), string(design.RoleSpine), string(design.RoleBed), string(design.RoleHand)},
		Fits:  []fitBody{}, Unused: []int{},
	}
	b.Kinds, b.Regions, b.Stones = columns(j, doc)
	for _, c := range d.Counts {
		b.Counts = append(b.Counts, countOf(c))
	}
	b.Total = countOf(count.Total(d.Counts))
	for _, p := range doc.Plates {
		b.Plates = append(b.Plates, plateBody{p.Number, p.Frame, p.Notch, p.Nicks, p.Order, len(p.Holes)})
	}
	if doc.Least != nil {
		b.Least = leastBody(*doc.Least)
	}
	for _, s := range doc.Sheets {
		row := sheetBody{s.Number, s.Width, s.Height, nil}
		for _, p := range s.Placed {
			row.Placed = append(row.Placed, placedBody{p.Plate, p.X, p.Y, p.Turned})
		}
		b.Sheets = append(b.Sheets, row)
	}
	for _, f := range d.Fits {
		b.Fits = append(b.Fits, fitBody(f))
	}
	b.tell(j, d, judge)
	return b
}

func countOf(c count.Line) countBody {
	return countBody{c.Size, c.Colour, c.Pieces, c.Take - c.Pieces, c.Gross, c.Grams}
}

// columns gives the stones with what their numbers stand for.
func columns(j job.Job, doc design.Document) ([]kindBody, []laidBody, stones) {
	kinds, kindAt := []kindBody{}, map[[2]string]int{}
	for _, k := range doc.Kinds {
		body := kindBody{Size: k.Size, Colour: k.Colour, Diameter: k.Diameter, Hole: k.Hole}
		if c, err := k.Look(); err == nil {
			body.Hex, body.AB, body.Finish = c.Hex, c.Finish == catalogue.AB, string(c.Finish)
		}
		kindAt[[2]string{k.Size, k.Colour}] = len(kinds)
		kinds = append(kinds, body)
	}
	regions, regionAt := []laidBody{}, map[string]int{}
	for _, r := range doc.Regions {
		regionAt[r.ID] = len(regions)
		regions = append(regions, laidBody{
			ID: r.ID, Rule: -1, Treatment: r.Treatment, Bed: string(r.Bed), Size: r.Size, Colour: r.Colour,
			Gap: micrometre(r.Gap), Margin: r.Margin, Open: r.Open,
		})
	}
	roleAt := map[design.Role]int{design.RoleRim: 0, design.RoleSpine: 1, design.RoleBed: 2, design.RoleHand: 3}
	n := len(doc.Stones)
	out := stones{make([]float64, n), make([]float64, n), make([]int, n), make([]int, n), make([]int, n), make([]int, n)}
	for i, s := range doc.Stones {
		out.X[i], out.Y[i] = micrometre(s.X), micrometre(s.Y)
		out.Kind[i], out.Region[i] = kindAt[[2]string{s.Size, s.Colour}], regionAt[s.Region]
		out.Role[i], out.Plate[i] = roleAt[s.Role], s.Plate
		regions[regionAt[s.Region]].Stones++
	}
	return kinds, regions, out
}
