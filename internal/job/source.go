package job

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
)

// Bounds of a job file: a long one has a few hundred lines and nests three deep.
// The YAML library takes time with the square of some malformed texts, half a
// second at this size.
const (
	maxBytes   = 64 << 10
	maxNesting = 32
)

// source is a job file being read; it puts the place into every fault. noted, which
// may be nil, hears of a fault of one key, and says whether to read on.
type source struct {
	name   string
	stones catalogue.Stones // what sizes and colours there are to name
	noted  func(error) bool
}

// entry is one "key: value" of a mapping.
type entry struct {
	key   string
	at    ast.Node // the key, for faults about it
	value ast.Node
}

// fail makes a fault at a node: "heron.yaml:12:5".
func (s source) fail(n ast.Node, code, format string, args ...any) error {
	return fault.New(code, s.place(n), format, args...)
}

func (s source) place(n ast.Node) string {
	line, column := position(n)
	return fmt.Sprintf("%s:%d:%d", s.name, line, column)
}

// position gives where a node starts, from 1. The library's token of a mapping
// in block style is its first colon; its first key is what a person looks for.
func position(n ast.Node) (line, column int) {
	switch m := n.(type) {
	case nil:
		return 1, 1
	case *ast.MappingNode:
		if !m.IsFlowStyle && len(m.Values) > 0 {
			n = m.Values[0].Key
		}
	case *ast.MappingValueNode:
		n = m.Key
	}
	t := n.GetToken()
	if t == nil || t.Position == nil {
		return 1, 1
	}
	return t.Position.Line, t.Position.Column
}

// within puts the place before a fault of a stage that knows no file.
func (s source) within(n ast.Node, err error) error {
	return fault.Placed(err, func(string) string { return s.place(n) })
}

// root reads the text as one YAML document and gives its body. Bounded in bytes
// and nesting. Faults: "job-size", "job-text", "job-yaml", "job-empty".
func (s source) root(text []byte) (ast.Node, error) {
	if len(text) > maxBytes {
		return nil, fault.New("job-size", s.name, "the job file has %d bytes; at most %d are read", len(text), maxBytes)
	}
	if !utf8.Valid(text) || slices.Contains(text, 0) {
		return nil, fault.New("job-text", s.name, "the job file is not plain text in UTF-8; save it again from a text editor")
	}
	// The library miscounts lines that end as on Windows.
	body := strings.ReplaceAll(strings.TrimPrefix(string(text), "\ufeff"), "\r\n", "\n")
	if nestsDeeper(body, maxNesting) {
		return nil, fault.New("job-yaml", s.name, "the job file nests lists deeper than %d", maxNesting)
	}
	file, err := parseYAML(body)
	if err != nil {
		return nil, s.syntax(err, body)
	}
	var docs []*ast.DocumentNode
	for _, d := range file.Docs {
		if d != nil && d.Body != nil && d.Body.Type() != ast.CommentType && d.Body.Type() != ast.CommentGroupType {
			docs = append(docs, d)
		}
	}
	switch len(docs) {
	case 0:
		return nil, fault.New("job-empty", s.name, "the job file is empty; it needs at least artwork and width")
	case 1:
		return docs[0].Body, nil
	}
	return nil, s.fail(docs[1].Body, "job-yaml", "a second document starts here; put each job in its own file")
}

// parseYAML turns a panic of the YAML library, which some malformed texts have
// set off, into an error: what a person typed must never stop the program.
func parseYAML(body string) (file *ast.File, err error) {
	defer func() {
		if p := recover(); p != nil {
			file, err = nil, errors.New("the text is not YAML")
		}
	}()
	return parser.ParseBytes([]byte(body), 0, parser.AllowDuplicateMapKey()) // entries refuses them in our words
}

// nestsDeeper says whether brackets or the "- - -" and "? ?" of one line nest
// beyond the limit, which would let a short text use up the parser's stack.
func nestsDeeper(body string, limit int) bool {
	open := 0
	for line := range strings.Lines(body) {
		marks := 0
		for _, c := range line {
			switch c {
			case '[', '{':
				open++
			case ']', '}':
				open = max(0, open-1)
			case '-', '?', ':':
				marks++
			}
			if open > limit || marks > 8*limit {
				return true
			}
		}
		indent := len(line) - len(strings.TrimLeft(line, " "))
		if indent > 8*limit {
			return true
		}
	}
	return false
}

// bareColour is a colour without quotes, which YAML takes for a remark.
var bareColour = regexp.MustCompile(`[:,\[{]\s*(#[0-9a-fA-F]{3,6})\b`)

// syntax gives the YAML library's error with its place, without its drawing, and
// what most often leads to it.
func (s source) syntax(err error, body string) error {
	where, message, advice := s.name, err.Error(), "check the indents, the colons and the quotes around here"
	if e, ok := errors.AsType[yaml.Error](err); ok {
		message = e.GetMessage()
		if t := e.GetToken(); t != nil && t.Position != nil {
			where = fmt.Sprintf("%s:%d:%d", s.name, t.Position.Line, t.Position.Column)
			if colour := bareColour.FindStringSubmatch(lineOf(body, t.Position.Line)); colour != nil {
				advice = fmt.Sprintf("a # starts a comment: put the colour in quotes, %q", colour[1])
			}
		}
	}
	if first, _, cut := strings.Cut(message, "\n"); cut {
		message = first
	}
	return fault.New("job-yaml", where, "%s; %s", message, advice)
}

// lineOf gives a line of a text, counted from 1; "" for one that is not there.
func lineOf(text string, number int) string {
	for line := range strings.Lines(text) {
		if number--; number == 0 {
			return line
		}
	}
	return ""
}

// entries gives the pairs of a mapping whose keys are all known. what names the
// mapping in faults ("a job file", "stone").
func (s source) entries(n ast.Node, what string, known []string) ([]entry, error) {
	values, ok := mappingValues(n)
	if !ok {
		return nil, s.fail(n, "job-value", "%s takes keys and values: %s", what, strings.Join(known, ", "))
	}
	var out []entry
	for _, v := range values {
		e := entry{at: v.Key, value: v.Value}
		key, err := s.text(v.Key, "a key")
		if err != nil {
			return nil, err
		}
		if !slices.Contains(known, key) {
			return nil, s.fail(v.Key, "job-key", "%s has no key %q; %s", what, key, suggest(key, known))
		}
		if slices.ContainsFunc(out, func(o entry) bool { return o.key == key }) {
			return nil, s.fail(v.Key, "job-key", "%q stands twice; keep one of them", key)
		}
		e.key = key
		out = append(out, e)
	}
	return out, nil
}

func mappingValues(n ast.Node) ([]*ast.MappingValueNode, bool) {
	switch m := n.(type) {
	case *ast.MappingNode:
		return m.Values, true
	case *ast.MappingValueNode:
		return []*ast.MappingValueNode{m}, true
	}
	return nil, false
}

// suggest names the nearest known word, or all of them when none is near.
func suggest(word string, known []string) string {
	best, least := "", len(word)/2+1
	for _, k := range known {
		if d := levenshtein.ComputeDistance(strings.ToLower(word), k); d < least {
			best, least = k, d
		}
	}
	if best != "" {
		return fmt.Sprintf("did you mean %q?", best)
	}
	return "the keys are " + strings.Join(known, ", ")
}

// text gives a scalar as it was written. A value that is missing, a list or an
// alias is a fault.
func (s source) text(n ast.Node, what string) (string, error) {
	switch v := n.(type) {
	case *ast.StringNode:
		return v.Value, nil
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode:
		return v.GetToken().Value, nil
	case *ast.LiteralNode:
		if v.Value != nil {
			return strings.TrimSpace(v.Value.Value), nil
		}
	case *ast.AnchorNode, *ast.AliasNode, *ast.MergeKeyNode, *ast.TagNode:
		return "", s.fail(n, "job-value", "anchors, aliases, merges and tags are not read here; write the value out")
	case *ast.NullNode, nil:
		return "", s.fail(n, "job-value", "%s has no value (a # starts a comment: put a colour in quotes, \"#1f4e79\")", what)
	}
	return "", s.fail(n, "job-value", "%s takes one value, not a list", what)
}

// items gives the elements of a list; a single value is a list of one.
func items(n ast.Node) []ast.Node {
	if list, ok := n.(*ast.SequenceNode); ok {
		return list.Values
	}
	return []ast.Node{n}
}
