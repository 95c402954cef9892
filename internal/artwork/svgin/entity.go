package svgin

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"brushfall/internal/fault"
)

// doctype takes the internal entities of a document type, which some drawing
// programs write for their name spaces. It refuses entities that hold each other
// in a ring, and those that would swell the file past the limit.
func (b *builder) doctype(text string, line int) error {
	if !strings.HasPrefix(text, "DOCTYPE") {
		return nil
	}
	where := fmt.Sprintf("line %d, <!DOCTYPE>", line)
	raw := b.declarations(text, where)
	e := &entities{raw: raw, done: map[string]string{}, open: map[string]bool{}, limit: b.opt.MaxEntityBytes, deepest: b.opt.MaxDepth, where: where}
	for _, name := range slices.Sorted(maps.Keys(raw)) {
		if _, err := e.expand(name); err != nil {
			return err
		}
	}
	if err := e.weigh(b.data); err != nil {
		return err
	}
	b.dec.Entity = e.done
	return nil
}

// declarations finds the <!ENTITY name "value"> of the internal subset.
func (b *builder) declarations(text, where string) map[string]string {
	raw := map[string]string{}
	warn := func(code, format string, args ...any) {
		b.doc.notes = append(b.doc.notes, note{code, where, fmt.Sprintf(format, args...)})
	}
	parts := strings.Split(text, "<!ENTITY")
	for _, part := range parts[1:] {
		part = strings.TrimSpace(part)
		if strings.HasPrefix(part, "%") {
			warn("entity", "parameter entities are not read: save the drawing without them")
			continue
		}
		name, rest, _ := strings.Cut(part, " ")
		rest = strings.TrimSpace(rest)
		if rest == "" || rest[0] != '"' && rest[0] != '\'' {
			warn("external-reference", "the entity %q lies outside the file and is not fetched: save the drawing with it inside", name)
			continue
		}
		value, _, closed := strings.Cut(rest[1:], rest[:1])
		if _, taken := raw[name]; taken || !closed {
			continue
		}
		if strings.Contains(value, "<") {
			warn("entity", "the entity %q holds elements, which are not read: save the drawing without entities", name)
		}
		raw[name] = value
	}
	return raw
}

// entities expands entity values into each other.
type entities struct {
	raw   map[string]string
	done  map[string]string
	open  map[string]bool
	limit int
	total int
	where string

	deepest int // how many may be open at once
}

func (e *entities) expand(name string) (string, error) {
	if v, ok := e.done[name]; ok {
		return v, nil
	}
	if e.open[name] {
		return "", fault.New("svg-entity-cycle", e.where, "the entity %q contains itself: save the drawing without entities", name)
	}
	if len(e.open) >= e.deepest {
		return "", fault.New("svg-too-deep", e.where, "more than %d entities lie inside each other: save the drawing without entities", e.deepest)
	}
	e.open[name] = true
	defer delete(e.open, name)
	var out strings.Builder
	rest := e.raw[name]
	for {
		before, after, found := strings.Cut(rest, "&")
		out.WriteString(before)
		if !found {
			break
		}
		ref, tail, ended := strings.Cut(after, ";")
		if !ended {
			out.WriteString("&" + after)
			break
		}
		v, err := e.reference(ref)
		if err != nil {
			return "", err
		}
		out.WriteString(v)
		if out.Len() > e.limit {
			return "", e.bomb()
		}
		rest = tail
	}
	e.total += out.Len()
	if e.total > e.limit {
		return "", e.bomb()
	}
	e.done[name] = out.String()
	return e.done[name], nil
}

func (e *entities) bomb() error {
	return fault.New("svg-entity-bomb", e.where, "the entities stand for more than %d bytes: save the drawing without entities", e.limit)
}

// reference resolves what stands between '&' and ';'.
func (e *entities) reference(ref string) (string, error) {
	if number, ok := strings.CutPrefix(ref, "#"); ok {
		base := 10
		if hex, ok := strings.CutPrefix(number, "x"); ok {
			number, base = hex, 16
		}
		if v, err := strconv.ParseUint(number, base, 21); err == nil {
			return string(rune(v)), nil
		}
		return "", nil
	}
	if v, ok := predefined[ref]; ok {
		return v, nil
	}
	if _, ok := e.raw[ref]; ok {
		return e.expand(ref)
	}
	return "", nil
}

var predefined = map[string]string{"lt": "<", "gt": ">", "amp": "&", "quot": `"`, "apos": "'"}

// weigh adds up what the references of the whole file stand for.
func (e *entities) weigh(data []byte) error {
	total := 0
	for rest := data; len(e.done) > 0; {
		i := bytes.IndexByte(rest, '&')
		if i < 0 {
			return nil
		}
		rest = rest[i+1:]
		end := bytes.IndexByte(rest[:min(len(rest), maxEntityName)], ';')
		if end < 0 {
			continue
		}
		total += len(e.done[string(rest[:end])])
		if total > e.limit {
			return e.bomb()
		}
	}
	return nil
}

// maxEntityName is the longest name that a reference may have.
const maxEntityName = 256
