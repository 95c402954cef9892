package job

import (
	"bytes"
	"encoding/json"
	"io"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/fault"
)

// ToJSON gives the text of a job file as one JSON object, its keys in the file's
// order: what a program that changes jobs works on. Remarks are left out. Faults
// are those of a text that is no YAML, as of Parse; the values are not looked at.
func ToJSON(name string, text []byte) ([]byte, error) {
	s := source{name: name}
	root, err := s.root(text)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := s.json(&b, root); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// json writes a node.
func (s source) json(b *bytes.Buffer, n ast.Node) error {
	if values, ok := mappingValues(n); ok {
		b.WriteByte('{')
		for i, v := range values {
			key, err := s.text(v.Key, "a key")
			if err != nil {
				return err
			}
			if i > 0 {
				b.WriteByte(',')
			}
			writeString(b, key)
			b.WriteByte(':')
			if err := s.json(b, v.Value); err != nil {
				return err
			}
		}
		b.WriteByte('}')
		return nil
	}
	if list, ok := n.(*ast.SequenceNode); ok {
		b.WriteByte('[')
		for i, v := range list.Values {
			if i > 0 {
				b.WriteByte(',')
			}
			if err := s.json(b, v); err != nil {
				return err
			}
		}
		b.WriteByte(']')
		return nil
	}
	return s.scalar(b, n)
}

// scalar writes a value: a number or a truth as JSON has them, if it is written so,
// else a string.
func (s source) scalar(b *bytes.Buffer, n ast.Node) error {
	text, err := s.text(n, "the value")
	if err != nil {
		return err
	}
	switch n.(type) {
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode:
		if json.Valid([]byte(text)) {
			b.WriteString(text)
			return nil
		}
	}
	writeString(b, text)
	return nil
}

func writeString(b *bytes.Buffer, text string) {
	enc := json.NewEncoder(b)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(text) // a string can always be written
	b.Truncate(b.Len() - 1)
}

// FromJSON gives the job file of one JSON object, a key a line and each element of a
// list on its own, so that a fault's line says which it is. The keys stay in their
// order. Parse reads the outcome, and says what is wrong with the values. Fault
// "job-json" for what is no JSON object, or nests too deep.
func FromJSON(text []byte) ([]byte, error) {
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	w := jsonReader{dec: dec}
	if t, err := dec.Token(); err != nil || t != json.Delim('{') {
		return nil, noObject()
	}
	for dec.More() {
		if err := w.line(); err != nil {
			return nil, noObject()
		}
	}
	if _, err := dec.Token(); err != nil {
		return nil, noObject()
	}
	if _, err := dec.Token(); err != io.EOF {
		return nil, noObject()
	}
	return w.out.Bytes(), nil
}

func noObject() error {
	return fault.New("job-json", "", "a job is one JSON object, such as {\"artwork\": \"heron.svg\", \"width\": \"9 in\"}")
}

// jsonReader writes YAML of the tokens it reads.
type jsonReader struct {
	dec *json.Decoder
	out bytes.Buffer
}

// line writes a key of the job with its value.
func (w *jsonReader) line() error {
	if err := w.key(); err != nil {
		return err
	}
	t, err := w.dec.Token()
	if err != nil {
		return err
	}
	if t != json.Delim('[') || !w.dec.More() {
		w.out.WriteByte(' ')
		err := w.value(t, 1)
		w.out.WriteByte('\n')
		return err
	}
	first, err := w.dec.Token()
	if err != nil {
		return err
	}
	if first != json.Delim('{') { // a list of words stays on one line
		w.out.WriteString(" [")
		if err := w.list(&first, 1); err != nil {
			return err
		}
		w.out.WriteByte('\n')
		return nil
	}
	for {
		w.out.WriteString("\n  - ")
		if err := w.value(first, 1); err != nil {
			return err
		}
		if !w.dec.More() {
			break
		}
		if first, err = w.dec.Token(); err != nil {
			return err
		}
	}
	w.out.WriteByte('\n')
	_, err = w.dec.Token() // the closing bracket
	return err
}

func (w *jsonReader) key() error {
	t, err := w.dec.Token()
	if err != nil {
		return err
	}
	word, ok := t.(string)
	if !ok {
		return io.ErrUnexpectedEOF
	}
	w.word(word)
	w.out.WriteByte(':')
	return nil
}

// word writes a string, plain where it cannot be taken for anything else.
func (w *jsonReader) word(text string) {
	if plainWord.MatchString(text) && !special(text) {
		w.out.WriteString(text)
		return
	}
	writeString(&w.out, text)
}

// special says whether a plain word means something else to a reader of YAML.
func special(word string) bool {
	switch strings.ToLower(word) {
	case "null", "true", "false", "yes", "no", "on", "off", "y", "n":
		return true
	}
	_, err := strconv.ParseFloat(word, 64) // inf, nan
	return err == nil
}

// value writes a value whose first token was read, in flow style.
func (w *jsonReader) value(t json.Token, depth int) error {
	if depth > maxNesting {
		return io.ErrShortBuffer
	}
	switch v := t.(type) {
	case json.Delim:
		if v == '[' {
			w.out.WriteByte('[')
			return w.list(nil, depth)
		}
		return w.object(depth)
	case string:
		w.word(v)
	case json.Number:
		w.out.WriteString(v.String())
	case bool:
		w.out.WriteString(strconv.FormatBool(v))
	default:
		w.out.WriteString("null")
	}
	return nil
}

// list writes the elements of a list, of which the first may have been read, and its end.
func (w *jsonReader) list(first *json.Token, depth int) error {
	for i := 0; first != nil || w.dec.More(); i++ {
		if i > 0 {
			w.out.WriteString(", ")
		}
		t := json.Token(nil)
		if first != nil {
			t, first = *first, nil
		} else {
			var err error
			if t, err = w.dec.Token(); err != nil {
				return err
			}
		}
		if err := w.value(t, depth+1); err != nil {
			return err
		}
	}
	w.out.WriteByte(']')
	_, err := w.dec.Token()
	return err
}

// object writes the pairs of an object, and its end.
func (w *jsonReader) object(depth int) error {
	w.out.WriteByte('{')
	for i := 0; w.dec.More(); i++ {
		if i > 0 {
			w.out.WriteString(", ")
		}
		if err := w.key(); err != nil {
			return err
		}
		w.out.WriteByte(' ')
		t, err := w.dec.Token()
		if err != nil {
			return err
		}
		if err := w.value(t, depth+1); err != nil {
			return err
		}
	}
	w.out.WriteByte('}')
	_, err := w.dec.Token()
	return err
}

// FileName gives a name for files of a design that every system takes: small letters
// of ASCII, digits and hyphens.
func FileName(design string) string { return plainFolder(design) }
