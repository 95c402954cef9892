package job

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"github.com/agnivade/levenshtein"
	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/roster"
)

// Template is a job file with fields: {name} in any of its values stands for the
// cell of the column of that name, {name|Crew} for that or, where the cell is
// empty, for Crew, and {{ for a brace.
type Template struct {
	source source
	text   []byte
	fields []Field
}

// Field is a column that a job file names, as it was first written; Line is where.
type Field struct {
	Name string
	Line int
}

// ParseTemplate reads a job file with fields, as far as it can be read without a
// list. Faults: those of a job file's form, and "job-field" for a brace that is
// not closed, a field without a name, and a job file without fields.
func ParseTemplate(name string, text []byte) (Template, error) {
	return ParseTemplateWith(catalogue.Stones{}, name, text)
}

// ParseTemplateWith is ParseTemplate for a shop with stones of its own.
func ParseTemplateWith(stones catalogue.Stones, name string, text []byte) (Template, error) {
	t := Template{source: source{name: name, stones: stones}, text: text}
	root, err := t.source.root(text)
	if err != nil {
		return t, t.advise(err)
	}
	_, err = t.each(root, func(n ast.Node, spans []span) string {
		for _, p := range spans {
			if p.field && !slices.ContainsFunc(t.fields, func(f Field) bool { return roster.Key(f.Name) == roster.Key(p.text) }) {
				line, _ := position(n)
				t.fields = append(t.fields, Field{p.text, line})
			}
		}
		return ""
	})
	if err == nil && len(t.fields) == 0 {
		err = fault.New("job-field", name, "the job file has no field such as {name} for the columns of the list, so every row would be the same; write one into a value, in quotes: \"{name}\"")
	}
	return t, err
}

// advise adds to a fault of the YAML what a field without quotes leads to.
func (t Template) advise(err error) error {
	e, ok := errors.AsType[*fault.Error](err)
	if !ok || e.Code != "job-yaml" {
		return err
	}
	for i, line := range strings.Split(string(t.text), "\n") {
		_, value, ok := strings.Cut(line, ": ")
		value = strings.TrimSpace(value)
		if ok && strings.HasPrefix(value, "{") && strings.Index(value, "}") < len(value)-1 && strings.HasPrefix(e.Where, fmt.Sprintf("%s:%d:", t.source.name, i+1)) {
			return fault.New("job-yaml", e.Where, "%s; put a value that begins with a field in quotes: \"{name} …\"", e.Message)
		}
	}
	return err
}

// Fields gives the columns that the job file names, each once, in its order.
func (t Template) Fields() []Field { return slices.Clone(t.fields) }

// CheckFields refuses a field that no column of the list has, "job-field".
func (t Template) CheckFields(columns []string) error {
	for _, f := range t.fields {
		if !slices.ContainsFunc(columns, func(c string) bool { return roster.Key(c) == roster.Key(f.Name) }) {
			return fault.New("job-field", fmt.Sprintf("%s:%d", t.source.name, f.Line), "the list has no column %q; %s", f.Name, nearestColumn(f.Name, columns))
		}
	}
	return nil
}

func nearestColumn(word string, columns []string) string {
	best, least := "", len(word)/2+1
	for _, c := range columns {
		if d := levenshtein.ComputeDistance(roster.Key(word), roster.Key(c)); d < least {
			best, least = c, d
		}
	}
	if best != "" {
		return fmt.Sprintf("did you mean %q?", best)
	}
	return "its columns are " + strings.Join(columns, ", ")
}

// Filled is the job of one row. Values are what its fields came to, text by text;
// rows with the same values have the same job.
type Filled struct {
	Job    Job
	Values []string
	faults []roster.Fault
	at     map[string][]string // "crew.yaml:4:12" -> the fields written there
	keys   map[string][]string // "width" -> the fields in its value
}

// Fill reads the job file with a row's cells in the place of its fields. All that
// is wrong with the row is told; the error is for what has nothing to do with it.
func (t Template) Fill(l roster.List, r roster.Row) (Filled, []roster.Fault, error) {
	out := Filled{at: map[string][]string{}, keys: map[string][]string{}}
	s := t.source
	root, err := s.root(t.text)
	if err != nil {
		return out, nil, err
	}
	root, err = t.each(root, func(n ast.Node, spans []span) string {
		text := out.substitute(s.place(n), spans, l, r)
		out.Values = append(out.Values, text)
		return text
	})
	if err != nil {
		return out, nil, err
	}
	out.remember(s, root)
	s.noted = func(err error) bool {
		f, ok := out.faultOf(err, l, r)
		if f.Code != "" {
			out.faults = append(out.faults, f)
		}
		return ok
	}
	out.Job, err = s.job(root)
	if len(out.faults) > 0 { // what follows from them is not worth telling
		return out, out.faults, nil
	}
	if err != nil && !s.noted(err) {
		return out, nil, err
	}
	return out, out.faults, nil
}

// substitute puts the cells of a row into a value. An empty cell is a fault,
// unless the field says what stands for it.
func (f *Filled) substitute(place string, spans []span, l roster.List, r roster.Row) string {
	var b strings.Builder
	for _, p := range spans {
		if !p.field {
			b.WriteString(p.text)
			continue
		}
		f.at[place] = append(f.at[place], p.text)
		i := l.Column(p.text)
		cell := ""
		if i >= 0 {
			cell = r.Cells[i]
		}
		switch {
		case cell != "":
			b.WriteString(cell)
		case p.otherwise:
			b.WriteString(p.or)
		case !slices.ContainsFunc(f.faults, func(o roster.Fault) bool { return roster.Key(o.Column) == roster.Key(p.text) }):
			f.faults = append(f.faults, roster.Fault{Row: r.Number, Column: p.text, Code: "cell-empty", Message: "the cell is empty"})
		}
	}
	return b.String()
}

// remember keeps which fields the size of a row's design and the text of its
// lettering come from: faults of later stages are about those.
func (f *Filled) remember(s source, root ast.Node) {
	values, _ := mappingValues(root)
	for _, v := range values {
		key := v.Key.GetToken().Value
		f.keys[key] = f.at[s.place(v.Value)]
		if key != "lettering" {
			continue
		}
		for i, piece := range items(v.Value) {
			parts, _ := mappingValues(piece)
			for _, p := range parts {
				if p.Key.GetToken().Value == "text" {
					f.keys[fmt.Sprintf("lettering %d", i)] = f.at[s.place(p.Value)]
				}
			}
		}
	}
}

// keyOf gives the key of the job file that a later stage's fault is about.
func (f Filled) keyOf(e *fault.Error) string {
	for i, p := range f.Job.Lettering {
		rest, ok := strings.CutPrefix(e.Where, "lettering "+p.ID)
		if ok && (rest == "" || !unicode.IsLetter(rune(rest[0])) && !unicode.IsDigit(rune(rest[0]))) {
			return fmt.Sprintf("lettering %d", i)
		}
	}
	if e.Code != "design-too-large" {
		return ""
	}
	for _, key := range []string{"width", "height"} {
		if len(f.keys[key]) > 0 {
			return key
		}
	}
	return "lettering 0"
}

// Blame gives a fault that a row's job met later on as one of its cells, where its
// place in the job file has fields, or of the row as a whole.
func (f Filled) Blame(err error, l roster.List, r roster.Row) roster.Fault {
	if out, ok := f.faultOf(err, l, r); ok {
		return out
	}
	code := fault.CodeOf(err)
	return roster.Fault{Row: r.Number, Code: code, Message: err.Error()}
}

// faultOf gives the cells that a fault of the job file is about: no fault, and
// true, for what follows from an empty cell.
func (f Filled) faultOf(err error, l roster.List, r roster.Row) (roster.Fault, bool) {
	e, ok := errors.AsType[*fault.Error](err)
	if !ok {
		return roster.Fault{}, false
	}
	fields := f.at[e.Where]
	if len(fields) == 0 {
		fields = f.keys[f.keyOf(e)]
	}
	if len(fields) == 0 {
		return roster.Fault{}, false
	}
	var names, cells []string
	for _, name := range fields {
		i := l.Column(name)
		if i < 0 || slices.Contains(names, l.Columns[i]) {
			continue
		}
		names, cells = append(names, l.Columns[i]), append(cells, r.Cells[i])
	}
	if slices.ContainsFunc(f.faults, func(o roster.Fault) bool { return o.Code == "cell-empty" && slices.Contains(names, o.Column) }) {
		return roster.Fault{}, true // told already
	}
	return roster.Fault{
		Row: r.Number, Column: strings.Join(names, ", "), Value: strings.Join(cells, ", "), Code: e.Code,
		Message: fmt.Sprintf("%s (%s)", e.Message, e.Where),
	}, true
}
