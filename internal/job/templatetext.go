package job

import (
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// span is a stretch of a value: plain text, or a field with what stands for an
// empty cell, if the field says so.
type span struct {
	text      string
	field     bool
	or        string
	otherwise bool
}

// spans parts a value at its fields. why says what is wrong with it, "" if nothing
// is.
func spans(text string) (out []span, why string) {
	var plain strings.Builder
	flush := func() {
		if plain.Len() > 0 {
			out = append(out, span{text: plain.String()})
			plain.Reset()
		}
	}
	for i := 0; i < len(text); i++ {
		c := text[i]
		if (c == '{' || c == '}') && strings.HasPrefix(text[i+1:], string(c)) {
			plain.WriteByte(c)
			i++
			continue
		}
		if c != '{' {
			plain.WriteByte(c)
			continue
		}
		end := strings.IndexAny(text[i+1:], "{}")
		if end < 0 || text[i+1+end] == '{' {
			return nil, "a field is opened with { and not closed; write {name}, or {{ for a brace"
		}
		name, or, otherwise := strings.Cut(text[i+1:i+1+end], "|")
		if name = strings.TrimSpace(name); name == "" {
			return nil, "a field has no name; write the name of a column, such as {name}, or {{ for a brace"
		}
		flush()
		out = append(out, span{name, true, strings.TrimSpace(or), otherwise})
		i += 1 + end
	}
	flush()
	return out, ""
}

// each gives the tree with every value that has fields or escaped braces in it
// replaced by what fill makes of it. A value that is a field without quotes, which
// YAML takes for a mapping, is one too. Values of keys that say how many are read
// as they stand.
func (t Template) each(n ast.Node, fill func(n ast.Node, spans []span) string) (ast.Node, error) {
	switch v := n.(type) {
	case *ast.MappingNode:
		if name, ok := bareField(v); ok {
			return t.replaced(n, "{"+name+"}", fill)
		}
		for _, pair := range v.Values {
			if err := t.pair(pair, fill); err != nil {
				return nil, err
			}
		}
	case *ast.MappingValueNode:
		return v, t.pair(v, fill)
	case *ast.SequenceNode:
		for i := range v.Values {
			var err error
			if v.Values[i], err = t.each(v.Values[i], fill); err != nil {
				return nil, err
			}
		}
	case *ast.StringNode:
		return t.replaced(n, v.Value, fill)
	case *ast.LiteralNode:
		if v.Value != nil {
			return t.replaced(n, strings.TrimSpace(v.Value.Value), fill)
		}
	}
	return n, nil
}

func (t Template) pair(p *ast.MappingValueNode, fill func(ast.Node, []span) string) (err error) {
	p.Value, err = t.each(p.Value, fill)
	return err
}

// replaced gives a value of text at the place of a node.
func (t Template) replaced(n ast.Node, text string, fill func(ast.Node, []span) string) (ast.Node, error) {
	if !strings.ContainsAny(text, "{}") {
		return n, nil
	}
	parts, why := spans(text)
	if why != "" {
		return nil, t.source.fail(n, "job-field", "%s", why)
	}
	line, column := position(n)
	at := &token.Token{Type: token.StringType, Position: &token.Position{Line: line, Column: column}}
	value := ""
	plain := true
	for _, p := range parts {
		plain = plain && !p.field
		value += p.text
	}
	out := &ast.StringNode{BaseNode: &ast.BaseNode{}, Token: at}
	if out.Value = value; !plain {
		out.Value = fill(out, parts)
	}
	at.Value, at.Origin = out.Value, out.Value
	return out, nil
}

// bareField gives the name in {name}, where it stands as a value without quotes.
func bareField(m *ast.MappingNode) (string, bool) {
	if !m.IsFlowStyle || len(m.Values) != 1 {
		return "", false
	}
	pair := m.Values[0]
	name := pair.Key.GetToken()
	if name == nil || name.Value == "" {
		return "", false
	}
	if null, ok := pair.Value.(*ast.NullNode); pair.Value != nil && (!ok || null.Token.Type != token.ImplicitNullType) {
		return "", false
	}
	return name.Value, true
}
