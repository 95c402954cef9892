package job

import (
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/fault"
)

// Plain gives the job as it is looked at before there is a list: with what each field
// says for an empty cell. Words of lettering and the design's name are those of
// PlainWords. Faults: those of a job file, and "job-field" for a field that stands for
// anything else, such as a size or a colour, and says nothing for an empty cell.
func (t Template) Plain() (Job, error) {
	root, err := t.source.root(t.text)
	if err != nil {
		return Job{}, err
	}
	worded := wordedIn(root)
	var missing error
	root, err = t.each(root, func(n ast.Node, spans []span) string {
		if worded[worded.place(n)] {
			return plainWords(spans)
		}
		return plainOf(spans, func(name string) string {
			if missing == nil {
				missing = fault.New("job-field", t.source.place(n), "without a list it is not known what {%s} is; say what it is where a cell is empty: {%s|…}", name, name)
			}
			return ""
		})
	})
	if err == nil {
		err = missing
	}
	if err != nil {
		return Job{}, err
	}
	return t.source.job(root)
}

// PlainWords gives words as they are looked at before there is a list: "{name|Crew}" is
// Crew and "{name}", which says nothing for an empty cell, name. So is "{name|}" where
// no other words stand beside it. Words without a field, or with a brace that is not
// closed, stay as they are.
func PlainWords(text string) string {
	parts, why := spans(text)
	if why != "" || !slices.ContainsFunc(parts, func(p span) bool { return p.field }) {
		return text
	}
	return plainWords(parts)
}

func plainWords(parts []span) string {
	if text := plainOf(parts, func(name string) string { return name }); strings.TrimSpace(text) != "" {
		return text
	}
	return parts[slices.IndexFunc(parts, func(p span) bool { return p.field })].text
}

// plainOf puts for each field what it says for an empty cell, and for one that says
// nothing what unsaid gives for its name.
func plainOf(parts []span, unsaid func(name string) string) string {
	var b strings.Builder
	for _, p := range parts {
		switch {
		case !p.field:
			b.WriteString(p.text)
		case p.otherwise:
			b.WriteString(p.or)
		default:
			b.WriteString(unsaid(p.text))
		}
	}
	return b.String()
}

// words finds where in a job file values are words: of lettering, and its name.
type words map[[2]int]bool

func wordedIn(root ast.Node) words {
	w := words{}
	ast.Walk(w, root)
	return w
}

// Visit is of ast.Visitor.
func (w words) Visit(n ast.Node) ast.Visitor {
	if pair, ok := n.(*ast.MappingValueNode); ok {
		if key := pair.Key.String(); key == "text" || key == "design" {
			w[w.place(pair.Value)] = true
		}
	}
	return w
}

func (words) place(n ast.Node) [2]int {
	line, column := position(n)
	return [2]int{line, column}
}
