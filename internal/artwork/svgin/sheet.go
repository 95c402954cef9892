package svgin

import (
	"strings"

	"github.com/andybalholm/cascadia"
	parse2 "github.com/tdewolff/parse/v2"
	"github.com/tdewolff/parse/v2/css"
)

// declaration is one "name: value", its value in the file's spelling.
type declaration struct {
	name, value string
	important   bool
}

// rule is one selector with the declarations of its block.
type rule struct {
	text  string
	sel   cascadia.Sel
	spec  cascadia.Specificity
	order int
	block []declaration
}

// sheetReader gathers the rules of the style elements.
type sheetReader struct {
	rules []rule
	notes []note
	where string
	skip  int // depth of at-rules whose content does not apply
}

// readSheet adds the rules of one style sheet.
func (s *sheetReader) readSheet(text, where string) {
	s.where, s.skip = where, 0
	p := css.NewParser(parse2.NewInputString(text), false)
	var selectors []string
	var block []declaration
	depth := 0
	for {
		kind, _, data := p.Next()
		switch kind {
		case css.ErrorGrammar:
			if !p.HasParseError() {
				return
			}
			s.warn("css", "part of the style sheet cannot be read ("+firstLine(p.Err().Error())+"): mend it, or save the drawing with its styles as attributes")
		case css.AtRuleGrammar, css.BeginAtRuleGrammar:
			s.atRule(string(data), spell(p.Values()), kind == css.BeginAtRuleGrammar)
		case css.EndAtRuleGrammar:
			s.skip = max(0, s.skip-1)
		case css.QualifiedRuleGrammar:
			selectors = append(selectors, splitSelectors(spell(p.Values()))...)
		case css.BeginRulesetGrammar:
			selectors = append(selectors, splitSelectors(spell(p.Values()))...)
			depth++
		case css.DeclarationGrammar:
			if depth == 1 {
				block = append(block, newDeclaration(string(data), spell(p.Values())))
			}
		case css.EndRulesetGrammar:
			if depth--; depth == 0 {
				s.add(selectors, block)
				selectors, block = nil, nil
			}
		}
	}
}

func firstLine(s string) string {
	line, _, _ := strings.Cut(s, "\n")
	return line
}

func (s *sheetReader) warn(code, message string) {
	s.notes = append(s.notes, note{code, s.where, message})
}

// atRule takes @media for all and for screen; other blocks are skipped.
func (s *sheetReader) atRule(name, prelude string, block bool) {
	switch name {
	case "@import":
		s.warn("external-reference", "@import is not followed: save the drawing with its styles inside")
	case "@font-face", "@charset", "@namespace", "@keyframes":
	case "@media":
		if s.skip == 0 && !mediaApplies(prelude) {
			s.warn("css", "the styles under @media "+strings.TrimSpace(prelude)+" are not used: move those that should apply out of it")
		}
	default:
		s.warn("css", name+" is not understood and its styles are not used: save the drawing with its styles as attributes")
	}
	if !block {
		return
	}
	if s.skip > 0 || name != "@media" || !mediaApplies(prelude) {
		s.skip++
	}
}

func mediaApplies(prelude string) bool {
	switch strings.ToLower(strings.TrimSpace(prelude)) {
	case "", "all", "screen":
		return true
	}
	return false
}

func (s *sheetReader) add(selectors []string, block []declaration) {
	if s.skip > 0 || len(block) == 0 {
		return
	}
	for _, text := range selectors {
		sel, err := cascadia.Parse(text)
		if err != nil || unsafeSelector(text) {
			s.warn("css", "the selector "+text+" is not understood and its styles are not used: save the drawing with its styles as attributes")
			continue
		}
		s.rules = append(s.rules, rule{text, sel, sel.Specificity(), len(s.rules), block})
	}
}

// unsafeSelector holds off selectors that walk the whole tree for each element,
// and that the CSS of drawings does not have.
func unsafeSelector(text string) bool {
	for _, word := range []string{":has", ":contains", ":matches", ":haschild"} {
		if strings.Contains(strings.ToLower(text), word) {
			return true
		}
	}
	return false
}

// splitSelectors cuts a selector list at the commas outside brackets and quotes.
func splitSelectors(s string) []string {
	var list []string
	depth, from, quote := 0, 0, byte(0)
	for i := range len(s) {
		switch b := s[i]; {
		case quote != 0:
			if b == quote {
				quote = 0
			}
		case b == '"' || b == '\'':
			quote = b
		case b == '(' || b == '[':
			depth++
		case b == ')' || b == ']':
			depth--
		case b == ',' && depth == 0:
			list = append(list, s[from:i])
			from = i + 1
		}
	}
	list = append(list, s[from:])
	kept := list[:0]
	for _, one := range list {
		if one = strings.TrimSpace(one); one != "" {
			kept = append(kept, one)
		}
	}
	return kept
}

// spell joins tokens back into text.
func spell(tokens []css.Token) string {
	var b strings.Builder
	for _, t := range tokens {
		b.Write(t.Data)
	}
	return b.String()
}

func newDeclaration(name, value string) declaration {
	d := declaration{name: strings.ToLower(name), value: strings.TrimSpace(value)}
	if i := strings.LastIndexByte(d.value, '!'); i >= 0 && strings.EqualFold(strings.TrimSpace(d.value[i+1:]), "important") {
		d.value, d.important = strings.TrimSpace(d.value[:i]), true
	}
	return d
}

// readStyleAttribute reads the declarations of a style attribute.
func readStyleAttribute(text string) (list []declaration, whole bool) {
	p := css.NewParser(parse2.NewInputString(text), true)
	whole = true
	for {
		kind, _, data := p.Next()
		switch kind {
		case css.ErrorGrammar:
			if !p.HasParseError() {
				return list, whole
			}
			whole = false
		case css.DeclarationGrammar:
			list = append(list, newDeclaration(string(data), spell(p.Values())))
		}
	}
}
