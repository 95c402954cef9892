package job

import (
	"fmt"
	"slices"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/layout"
	"brushfall/internal/sheet"
	"brushfall/internal/unit"
)

// Place is where a person laid a plate: X and Y of the top-left corner of its frame,
// turned or not, on a sheet, numbered from 1.
type Place struct {
	Plate, Sheet int
	X, Y         unit.Length
	Turned       bool
}

// Bounds of what a list of places can hold: more plates or sheets than any design.
const mostPlaces, mostPlaceSheets = 200, 200

// slack is what two frames may lack to their spacing: the last digit of a place
// that was written with three decimals, and some more.
const slack = 0.002

// places reads a list of places. Fault "sheet-places".
func (s source) places(n ast.Node) ([]Place, error) {
	list, ok := n.(*ast.SequenceNode)
	if !ok || len(list.Values) > mostPlaces {
		return nil, s.fail(n, "sheet-places", "places takes a list of at most %d, such as - {plate: 1, sheet: 1, right: 6 mm, down: 6 mm}", mostPlaces)
	}
	var out []Place
	for _, node := range list.Values {
		p := Place{Sheet: 1}
		if err := fill(s, node, "a place", &p, []field[Place]{
			set("plate", countTo("plate", mostPlaces), func(p *Place) *int { return &p.Plate }),
			set("sheet", countTo("sheet", mostPlaceSheets), func(p *Place) *int { return &p.Sheet }),
			set("right", unit.ParseLength, func(p *Place) *unit.Length { return &p.X }),
			set("down", unit.ParseLength, func(p *Place) *unit.Length { return &p.Y }),
			set("turned", parseYes, func(p *Place) *bool { return &p.Turned }),
		}); err != nil {
			return nil, err
		}
		if p.Plate == 0 || slices.ContainsFunc(out, func(q Place) bool { return q.Plate == p.Plate }) {
			return nil, s.fail(node, "sheet-places", "every place names a plate, and no plate has two")
		}
		out = append(out, p)
	}
	return out, nil
}

// nest places the plates of a design: where a person laid them, if that holds, or
// as few sheets as can be. The note, nil for none, says why it does not hold.
func (j Job) nest(doc design.Document) ([]design.Sheet, *layout.Note, error) {
	var note *layout.Note
	if len(j.Places) > 0 {
		sheets, err := j.laid(doc)
		if err == nil {
			return sheets, nil, nil
		}
		note = &layout.Note{Code: "sheet-places", Message: fmt.Sprintf("the plates are placed anew, as their places by hand do not hold any more: %v", err)}
	}
	sheets, err := sheet.Nest(itemsOf(doc), j.Sheet.options())
	return sheets, note, err
}

// laid gives the sheets with the plates where the job has them. The fault, code
// "sheet-places", says which place cannot be.
func (j Job) laid(doc design.Document) ([]design.Sheet, error) {
	var sheets []design.Sheet
	for _, p := range doc.Plates {
		i := slices.IndexFunc(j.Places, func(q Place) bool { return q.Plate == p.Number })
		if i < 0 {
			return nil, fault.New("sheet-places", "", "plate %d has no place", p.Number)
		}
		at := j.Places[i]
		for len(sheets) < at.Sheet {
			sheets = append(sheets, design.Sheet{Number: len(sheets) + 1, Width: j.Sheet.Width.MM(), Height: j.Sheet.Height.MM()})
		}
		s := &sheets[at.Sheet-1]
		s.Placed = append(s.Placed, design.Placed{Design: doc.Design, Plate: p.Number, X: at.X.MM(), Y: at.Y.MM(), Turned: at.Turned})
	}
	if len(j.Places) != len(doc.Plates) {
		return nil, fault.New("sheet-places", "", "there are %d places for %d plates", len(j.Places), len(doc.Plates))
	}
	for i := range sheets {
		if err := j.holds(doc, &sheets[i]); err != nil {
			return nil, err
		}
	}
	return sheets, nil
}

// holds looks whether the plates lie free of each other and inside the margins; a
// piece of a roll is then cut off behind the last one.
func (j Job) holds(doc design.Document, s *design.Sheet) error {
	opt := j.Sheet.options()
	if len(s.Placed) == 0 {
		return fault.New("sheet-places", "", "sheet %d is empty", s.Number)
	}
	apart := opt.Spacing
	if opt.Touch {
		apart = 0
	}
	var boxes [][4]float64
	longest := 0.0
	for i, p := range s.Placed {
		if p.Turned && !opt.Turn {
			return fault.New("sheet-places", "", "plate %d is turned, and the flock has a grain", p.Plate)
		}
		b := placedBox(doc, p)
		if b[0] < opt.Margin-slack || b[1] < opt.Margin-slack || b[2] > opt.Width-opt.Margin+slack || b[3] > opt.Height-opt.Margin+slack {
			return fault.New("sheet-places", "", "plate %d reaches over the edge of sheet %d or its margin", p.Plate, s.Number)
		}
		for k, o := range boxes {
			if b[0] < o[2]+apart-slack && o[0] < b[2]+apart-slack && b[1] < o[3]+apart-slack && o[1] < b[3]+apart-slack {
				return fault.New("sheet-places", "", "plates %d and %d are nearer than %s on sheet %d", s.Placed[k].Plate, s.Placed[i].Plate, unit.Length(apart), s.Number)
			}
		}
		boxes = append(boxes, b)
		longest = max(longest, b[3])
	}
	if opt.Roll {
		s.Height = longest + opt.Margin
	}
	return nil
}

// placedBox gives what a placed plate covers of its sheet: x0, y0, x1, y1.
func placedBox(doc design.Document, p design.Placed) [4]float64 {
	f := doc.Plates[0].Frame // the same for all plates of a design
	w, h := f[2]-f[0], f[3]-f[1]
	if p.Turned {
		w, h = h, w
	}
	return [4]float64{p.X, p.Y, p.X + w, p.Y + h}
}
