package job

import (
	"slices"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/layout"
	"brushfall/internal/ticket"
	"brushfall/internal/unit"
	"brushfall/internal/wording"
)

// field reads one key of a mapping into a T.
type field[T any] struct {
	key  string
	read func(s source, n ast.Node, into *T) error
}

func jobFields() []field[Job] {
	return slices.Concat(
		[]field[Job]{
			set("design", parseName, func(j *Job) *string { return &j.Design }),
			set("artwork", parseFile, func(j *Job) *string { return &j.ArtworkName }),
			{"drawings", readDrawings},
			set("width", unit.ParseLength, func(j *Job) *unit.Length { return &j.Width }),
			set("height", unit.ParseLength, func(j *Job) *unit.Length { return &j.Height }),
			{"lettering", readLettering},
			whole("widths", source.widths, func(j *Job) *[]NamedWidth { return &j.Widths }),
		},
		settingFields(func(j *Job) *Setting { return &j.Setting }),
		[]field[Job]{
			set("plates", parsePlates, func(j *Job) *Plates { return &j.Plates }),
			bounded("web", leastWeb, mostWeb, func(j *Job) *unit.Length { return &j.Web }),
			bounded("border", leastBorder, mostBorder, func(j *Job) *unit.Length { return &j.Border }),
			part("frame", frameFields, func(j *Job) *Frame { return &j.Frame }),
			part("tape", tapeFields, func(j *Job) *Job { return j }),
			set("mirror", parseYes, func(j *Job) *bool { return &j.Mirror }),
			{"sheet", readSheet},
			set("flock", ParseFitName, func(j *Job) *string { return &j.Flock }),
			{"cutter", readCutter},
			set("garment", ParsePaint, func(j *Job) *string { return &j.Garment }),
			set("effort", ParseEffort, func(j *Job) *layout.Effort { return &j.Effort }),
			set("paper", ParsePaper, func(j *Job) *Paper { return &j.Paper }),
			set("language", wording.Find, func(j *Job) *wording.Language { return &j.Language }),
			set("press", ParsePress, func(j *Job) *ticket.Material { return &j.Press }),
			{"regions", readRules}, // after the job's own setting, which a rule starts from
			{"hand", readHand},
		},
	)
}

// settingFields are the keys that a job and its rules share. Accents and fillings
// come last: what they may be depends on stone and treatment.
func settingFields[T any](of func(*T) *Setting) []field[T] {
	return []field[T]{
		part("stone", stoneFields, func(t *T) *StoneWish { return &of(t).Stone }),
		set("gap", ParseGap, func(t *T) *Gap { return &of(t).Gap }),
		bounded("margin", 0, mostClearance, func(t *T) *unit.Length { return &of(t).Margin }),
		whole("treatment", source.treatments, func(t *T) *[]design.Treatment { return &of(t).Treatment }),
		{"bed", func(s source, n ast.Node, t *T) error { return readBed(s, n, of(t)) }},
		{"colours", func(s source, n ast.Node, t *T) error { return readColours(s, n, of(t)) }},
		{"accents", func(s source, n ast.Node, t *T) error { return readAccents(s, n, of(t)) }},
		{"fill", func(s source, n ast.Node, t *T) error { return readFill(s, n, of(t)) }},
	}
}

func stoneFields() []field[StoneWish] {
	return []field[StoneWish]{
		known("size", catalogue.Stones.FindSize, func(w *StoneWish) *catalogue.Size { return &w.Size }),
		known("colour", catalogue.Stones.FindColour, func(w *StoneWish) *catalogue.Colour { return &w.Colour }),
	}
}

func ruleFields() []field[Rule] {
	return slices.Concat(
		[]field[Rule]{part("match", matchFields, func(r *Rule) *Match { return &r.Match })},
		settingFields(func(r *Rule) *Setting { return &r.Setting }),
		[]field[Rule]{set("skip", parseYes, func(r *Rule) *bool { return &r.Skip })},
	)
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
	found, err := s.entries(n, what, keys(fields))
	if err != nil {
		return err
	}
	for _, f := range fields {
		i := slices.IndexFunc(found, func(e entry) bool { return e.key == f.key })
		if i < 0 {
			continue
		}
		if err := f.read(s, found[i].value, into); err != nil && (s.noted == nil || !s.noted(err)) {
			return err
		}
	}
	return nil
}

// keys lists the keys of a table.
func keys[T any](fields []field[T]) []string {
	var out []string
	for _, f := range fields {
		out = append(out, f.key)
	}
	return out
}

// set makes a field that reads a scalar with a parser and stores it.
func set[T, V any](key string, parse func(string) (V, error), at func(*T) *V) field[T] {
	return field[T]{key, func(s source, n ast.Node, into *T) (err error) {
		*at(into), err = read(s, n, key, parse)
		return err
	}}
}

// known makes a field that looks a name up among the stones there are.
func known[T, V any](key string, find func(catalogue.Stones, string) (V, error), at func(*T) *V) field[T] {
	return field[T]{key, func(s source, n ast.Node, into *T) (err error) {
		*at(into), err = read(s, n, key, func(name string) (V, error) { return find(s.stones, name) })
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
