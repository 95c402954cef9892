package job

import (
	"slices"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/layout"
	"brushfall/internal/ticket"
	"brushfall/internal/unit"
)

// field reads one key of a mapping into a T.
type field[T any] struct {
	key  string
	read func(s source, n ast.Node, into *T) error
}

func jobFields() []field[Job] {
	return []field[Job]{
		set("design", parseName, func(j *Job) *string { return &j.Design }),
		set("artwork", parseFile, func(j *Job) *string { return &j.ArtworkName }),
		set("width", unit.ParseLength, func(j *Job) *unit.Length { return &j.Width }),
		set("height", unit.ParseLength, func(j *Job) *unit.Length { return &j.Height }),
		whole("widths", source.widths, func(j *Job) *[]NamedWidth { return &j.Widths }),
		part("stone", stoneFields, func(j *Job) *StoneWish { return &j.Stone }),
		set("gap", ParseGap, func(j *Job) *Gap { return &j.Gap }),
		bounded("margin", 0, mostClearance, func(j *Job) *unit.Length { return &j.Margin }),
		whole("treatment", source.treatments, func(j *Job) *[]design.Treatment { return &j.Treatment }),
		{"bed", func(s source, n ast.Node, j *Job) error { return readBed(s, n, &j.Setting) }},
		{"colours", func(s source, n ast.Node, j *Job) error { return readColours(s, n, &j.Setting) }},
		{"accents", func(s source, n ast.Node, j *Job) error { return readAccents(s, n, &j.Setting) }},
		{"fill", func(s source, n ast.Node, j *Job) error { return readFill(s, n, &j.Setting) }},
		set("plates", parsePlates, func(j *Job) *Plates { return &j.Plates }),
		bounded("web", leastWeb, mostWeb, func(j *Job) *unit.Length { return &j.Web }),
		bounded("border", leastBorder, mostBorder, func(j *Job) *unit.Length { return &j.Border }),
		{"sheet", readSheet},
		set("garment", ParsePaint, func(j *Job) *string { return &j.Garment }),
		set("effort", ParseEffort, func(j *Job) *layout.Effort { return &j.Effort }),
		set("paper", ParsePaper, func(j *Job) *Paper { return &j.Paper }),
		set("press", ParsePress, func(j *Job) *ticket.Material { return &j.Press }),
		{"regions", readRules}, // after the job's own setting, which a rule starts from
		{"hand", readHand},
	}
}

func stoneFields() []field[StoneWish] {
	return []field[StoneWish]{
		set("size", catalogue.FindSize, func(w *StoneWish) *catalogue.Size { return &w.Size }),
		set("colour", catalogue.FindColour, func(w *StoneWish) *catalogue.Colour { return &w.Colour }),
	}
}

func ruleFields() []field[Rule] {
	return []field[Rule]{
		part("match", matchFields, func(r *Rule) *Match { return &r.Match }),
		whole("treatment", source.treatments, func(r *Rule) *[]design.Treatment { return &r.Treatment }),
		{"bed", func(s source, n ast.Node, r *Rule) error { return readBed(s, n, &r.Setting) }},
		part("stone", stoneFields, func(r *Rule) *StoneWish { return &r.Stone }),
		set("gap", ParseGap, func(r *Rule) *Gap { return &r.Gap }),
		bounded("margin", 0, mostClearance, func(r *Rule) *unit.Length { return &r.Margin }),
		{"colours", func(s source, n ast.Node, r *Rule) error { return readColours(s, n, &r.Setting) }},
		{"accents", func(s source, n ast.Node, r *Rule) error { return readAccents(s, n, &r.Setting) }},
		{"fill", func(s source, n ast.Node, r *Rule) error { return readFill(s, n, &r.Setting) }},
		set("skip", parseYes, func(r *Rule) *bool { return &r.Skip }),
	}
}

func matchFields() []field[Match] {
	return []field[Match]{
		set("fill", ParsePaint, func(m *Match) *string { return &m.Fill }),
		set("stroke", ParsePaint, func(m *Match) *string { return &m.Stroke }),
		set("id", parseWord, func(m *Match) *string { return &m.ID }),
		set("class", parseWord, func(m *Match) *string { return &m.Class }),
		set("layer", parseWord, func(m *Match) *string { return &m.Layer }),
	}
}

// fill reads a mapping into a value. Unknown keys are refused first, then the
// fields are read in the table's order, so that later ones can build on earlier
// ones wherever they stand in the file.
func fill[T any](s source, n ast.Node, what string, into *T, fields []field[T]) error {
	var known []string
	for _, f := range fields {
		known = append(known, f.key)
	}
	found, err := s.entries(n, what, known)
	if err != nil {
		return err
	}
	for _, f := range fields {
		i := slices.IndexFunc(found, func(e entry) bool { return e.key == f.key })
		if i < 0 {
			continue
		}
		if err := f.read(s, found[i].value, into); err != nil {
			return err
		}
	}
	return nil
}

// set makes a field that reads a scalar with a parser and stores it.
func set[T, V any](key string, parse func(string) (V, error), at func(*T) *V) field[T] {
	return field[T]{key, func(s source, n ast.Node, into *T) (err error) {
		*at(into), err = read(s, n, key, parse)
		return err
	}}
}

// whole makes a field that reads any node.
func whole[T, V any](key string, read func(source, ast.Node) (V, error), at func(*T) *V) field[T] {
	return field[T]{key, func(s source, n ast.Node, into *T) (err error) {
		*at(into), err = read(s, n)
		return err
	}}
}

// bounded makes a field that reads a length inside bounds.
func bounded[T any](key string, least, most unit.Length, at func(*T) *unit.Length) field[T] {
	return whole(key, func(s source, n ast.Node) (unit.Length, error) {
		return s.between(n, key, least, most)
	}, at)
}

// part makes a field that reads a mapping of its own.
func part[T, V any](key string, fields func() []field[V], at func(*T) *V) field[T] {
	return field[T]{key, func(s source, n ast.Node, into *T) error {
		return fill(s, n, key, at(into), fields())
	}}
}
