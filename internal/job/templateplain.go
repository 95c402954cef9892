package job

import (
	"strings"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/fault"
)

// Plain gives the job as it is looked at before there is a list: where a field stands
// for anything but words, such as a size or a colour, with what the field says for an
// empty cell. Words and the design's name keep their fields.
// Faults: those of a job file, and "job-field" for a field that says nothing for an
// empty cell.
func (t Template) Plain() (Job, error) {
	root, err := t.source.root(t.text)
	if err != nil {
		return Job{}, err
	}
	worded := wordedIn(root)
	var missing error
	root, err = t.each(root, func(n ast.Node, spans []span) string {
		var b strings.Builder
		for _, p := range spans {
			switch {
			case !p.field:
				b.WriteString(p.text)
			case worded[worded.place(n)]:
				b.WriteString("{" + p.text)
				if p.otherwise {
					b.WriteString("|" + p.or)
				}
				b.WriteString("}")
			case p.otherwise:
				b.WriteString(p.or)
			case missing == nil:
				missing = fault.New("job-field", t.source.place(n), "without a list it is not known what {%s} is; say what it is where a cell is empty: {%s|…}", p.text, p.text)
			}
		}
		return b.String()
	})
	if err == nil {
		err = missing
	}
	if err != nil {
		return Job{}, err
	}
	return t.source.job(root)
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
