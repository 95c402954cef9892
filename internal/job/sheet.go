package job

import (
	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/fault"
	"brushfall/internal/sheet"
	"brushfall/internal/unit"
)

// asked is a sheet being read.
type asked struct {
	Sheet
	roll, longest unit.Length
	turn, common  bool
	places        []Place
}

// readSheet reads the sheet, or the roll, that plates are placed on.
func readSheet(s source, n ast.Node, j *Job) error {
	a := asked{Sheet: j.Sheet, turn: true}
	a.Width, a.Height = 0, 0
	fields := []field[asked]{
		set("width", unit.ParseLength, func(t *asked) *unit.Length { return &t.Width }),
		set("height", unit.ParseLength, func(t *asked) *unit.Length { return &t.Height }),
		set("roll", unit.ParseLength, func(t *asked) *unit.Length { return &t.roll }),
		set("longest", unit.ParseLength, func(t *asked) *unit.Length { return &t.longest }),
		bounded("margin", 0, mostClearance, func(t *asked) *unit.Length { return &t.Margin }),
		bounded("spacing", sheet.LeastSpacing, mostClearance, func(t *asked) *unit.Length { return &t.Spacing }),
		set("turn", parseYes, func(t *asked) *bool { return &t.turn }),
		set("common", parseYes, func(t *asked) *bool { return &t.common }),
		whole("places", source.places, func(t *asked) *[]Place { return &t.places }),
	}
	if err := fill(s, n, "sheet", &a, fields); err != nil {
		return err
	}
	switch {
	case a.roll > 0 && (a.Width > 0 || a.Height > 0):
		return s.fail(n, "sheet-size", "the sheet has a roll beside width or height; keep the roll, with longest for the longest piece, or the other two")
	case a.longest > 0 && a.roll == 0:
		return s.fail(n, "sheet-size", "longest goes with a roll; write {roll: 12 in, longest: 30 in}")
	}
	t := a.Sheet
	t.Upright, t.Common = !a.turn, a.common
	if a.roll > 0 {
		t = t.OffRoll(a.roll, a.longest)
	}
	if t.Width == 0 {
		t.Width = j.Sheet.Width
	}
	if t.Height == 0 {
		t.Height = j.Sheet.Height
	}
	if err := t.Check(); err != nil {
		return s.within(n, err)
	}
	j.Sheet, j.Places = t, a.places
	return nil
}

// OffRoll gives the sheet as a roll of a width; longest 0 is a length that every
// cut format holds.
func (t Sheet) OffRoll(width, longest unit.Length) Sheet {
	t.Width, t.Height, t.Roll = width, longest, true
	if longest == 0 {
		t.Height = longestPiece
	}
	return t
}

// Check refuses a sheet without room inside its margins, code "sheet-size".
func (t Sheet) Check() error {
	if 2*t.Margin >= min(t.Width, t.Height) {
		return fault.New("sheet-size", "", "a sheet of %s × %s with margins of %s has no room left", t.Width.Both(), t.Height.Both(), t.Margin.Both())
	}
	return nil
}
