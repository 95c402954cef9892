package job

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/artwork"
	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
	"brushfall/internal/layout"
)

// maxEdits bounds the edits by hand of a job: whoever makes more wants another
// drawing.
const maxEdits = 1000

// Spot is a place as shares of the drawn width and height, from the top-left
// corner, so that it stays the same place at every width.
type Spot [2]float64

// On gives the place in mm on a drawing.
func (s Spot) On(d artwork.Drawing) geom.Point {
	return geom.Point{X: s[0] * d.Width, Y: s[1] * d.Height}
}

// SpotOf gives the place of mm in a document, as finely as a job file holds it.
// A document without width or height has 0 for that share.
func SpotOf(x, y float64, doc design.Document) Spot {
	share := func(v, of float64) float64 {
		if !(of > 0) {
			return 0
		}
		return min(max(rounded(v/of), 0), 1)
	}
	return Spot{share(x, doc.Width), share(y, doc.Height)}
}

// rounded gives a share as it is written.
func rounded(v float64) float64 {
	v, _ = strconv.ParseFloat(shareText(v), 64)
	return v
}

// HandEdit is one change by hand of a single stone. To is of a move. Stone is of an
// added one; what it leaves empty is as the region's. Colour is of a recolouring.
// Line is the edit's line in the job file.
type HandEdit struct {
	Act    layout.Act
	Region string
	At, To Spot
	Stone  StoneWish
	Colour catalogue.Colour
	Line   int
}

// handKeys gives the fields of each act.
func handKeys(act layout.Act) []field[HandEdit] {
	fields := []field[HandEdit]{
		set("region", parseWord, func(e *HandEdit) *string { return &e.Region }),
		whole("at", source.spot, func(e *HandEdit) *Spot { return &e.At }),
	}
	switch act {
	case layout.ActAdd:
		fields = append(fields, part("stone", stoneFields, func(e *HandEdit) *StoneWish { return &e.Stone }))
	case layout.ActMove:
		fields = append(fields, whole("to", source.spot, func(e *HandEdit) *Spot { return &e.To }))
	case layout.ActRecolour:
		fields = append(fields, known("colour", catalogue.Stones.FindColour, func(e *HandEdit) *catalogue.Colour { return &e.Colour }))
	}
	return fields
}

// readHand reads the list of edits.
func readHand(s source, n ast.Node, j *Job) error {
	list, ok := n.(*ast.SequenceNode)
	if !ok {
		return s.fail(n, "job-value", "hand takes a list; start each edit with a dash: - remove: {region: eye, at: [0.42, 0.31]}")
	}
	if len(list.Values) > maxEdits {
		return s.fail(n, "job-value", "there are %d edits by hand; at most %d are read", len(list.Values), maxEdits)
	}
	for _, node := range list.Values {
		e, err := s.handEdit(node)
		if err != nil {
			return err
		}
		j.Hand = append(j.Hand, e)
	}
	return nil
}

// handEdit reads one edit: the act as the only key, with what belongs to it.
func (s source) handEdit(n ast.Node) (HandEdit, error) {
	var acts []string
	for _, a := range layout.Acts() {
		acts = append(acts, string(a))
	}
	found, err := s.entries(n, "an edit by hand", acts)
	if err != nil {
		return HandEdit{}, err
	}
	if len(found) != 1 {
		return HandEdit{}, s.fail(n, "job-value", "an edit by hand does one thing; give each of %s a dash of its own", either(acts))
	}
	e := HandEdit{Act: layout.Act(found[0].key)}
	e.Line, _ = position(n)
	fields := handKeys(e.Act)
	if err := fill(s, found[0].value, found[0].key, &e, fields); err != nil {
		return e, err
	}
	values, _ := mappingValues(found[0].value)
	for _, f := range fields {
		has := slices.ContainsFunc(values, func(v *ast.MappingValueNode) bool { return v.Key.GetToken().Value == f.key })
		if !has && f.key != "stone" { // an added stone may be as the region's
			return e, s.fail(n, "job-value", "%s has no %s; write it like %s", e.Act, f.key, handExample(e.Act))
		}
	}
	return e, nil
}

// handExample shows an edit as it is written.
func handExample(act layout.Act) string {
	more := map[layout.Act]string{layout.ActMove: ", to: [0.44, 0.3]", layout.ActRecolour: ", colour: jet"}[act]
	return fmt.Sprintf("%s: {region: eye, at: [0.42, 0.31]%s}", act, more)
}

// spot reads a place: two shares.
func (s source) spot(n ast.Node) (Spot, error) {
	list, ok := n.(*ast.SequenceNode)
	if !ok || len(list.Values) != 2 {
		return Spot{}, s.fail(n, "job-value", "a place is two shares of the drawn width and height in square brackets: [0.42, 0.31]")
	}
	var out Spot
	for i, node := range list.Values {
		v, err := read(s, node, "the place", parseShare)
		if err != nil {
			return Spot{}, err
		}
		out[i] = v
	}
	return out, nil
}

// parseShare reads a number from 0 to 1. Fault "share".
func parseShare(text string) (float64, error) {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(v >= 0 && v <= 1) {
		return 0, fault.New("share", "", "%q is no share of the drawing; it goes from 0 (left, top) to 1 (right, bottom), such as 0.42", text)
	}
	return v, nil
}

// edits turns the edits by hand into the layout's, in mm.
func (j Job) edits(d artwork.Drawing, picked []pick) []layout.Edit {
	gaps := map[string]Gap{}
	for _, p := range picked {
		gaps[p.region.ID] = p.setting.Gap
	}
	var out []layout.Edit
	for _, e := range j.Hand {
		edit := layout.Edit{
			Act: e.Act, Region: e.Region, At: e.At.On(d), To: e.To.On(d),
			Colour: e.Colour.Name, Source: fmt.Sprintf("line %d", e.Line),
		}
		if e.Act == layout.ActAdd {
			edit.Colour = e.Stone.Colour.Name
		}
		if size := e.Stone.Size; size.Name != "" {
			edit.Size, edit.Diameter, edit.Gap = size.Name, size.Largest, gaps[e.Region].Of(size, j.Web)
		}
		out = append(out, edit)
	}
	return out
}

// recordHand records what edits by hand bring into a document's regions: the
// places left free, and the gaps of sizes that the region has not of itself.
func (j Job) recordHand(doc *design.Document, picked []pick, left [][]design.Left) {
	if len(j.Hand) == 0 {
		return
	}
	regions := map[string]int{}
	for i := range doc.Regions {
		regions[doc.Regions[i].ID] = i
		if len(left) > 0 {
			doc.Regions[i].Left = left[i]
		}
	}
	for _, e := range j.Hand {
		i, known := regions[e.Region]
		if size := e.Stone.Size; known && size.Name != "" {
			r := &doc.Regions[i]
			r.Sizes = withSize(r.Sizes, r.Size, size.Name, picked[i].setting.Gap.Of(size, j.Web))
		}
	}
}

// withSize adds a size that stands in a region, and its gap, to those listed.
func withSize(sizes []design.SizeGap, own, size string, gap float64) []design.SizeGap {
	if size == own || slices.ContainsFunc(sizes, func(s design.SizeGap) bool { return s.Size == size }) {
		return sizes
	}
	return append(sizes, design.SizeGap{Size: size, Gap: gap})
}
