package svgin

import (
	"bytes"
	"compress/gzip"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"golang.org/x/net/html/charset"
	"golang.org/x/text/encoding/unicode"

	"brushfall/internal/fault"
)

const (
	svgSpace   = "http://www.w3.org/2000/svg"
	xlinkSpace = "http://www.w3.org/1999/xlink"
	href       = "href"
	xlinkHref  = "xlink:href"
)

// attr is one attribute; the name of one in the xlink space starts "xlink:".
type attr struct{ name, value string }

// node is one element of the SVG name space.
type node struct {
	name     string
	attrs    []attr
	parent   *node
	children []*node
	line     int
	ordinal  int // which one of its name it is, from 1
	id       string
	classes  []string
	text     []byte            // character data, of `style` alone
	worded   bool              // it or what it holds has character data that is not white space
	props    map[string]string // cascaded properties, see cascade.go
}

// attr gives the value of an attribute and whether it is there.
func (n *node) attr(name string) (string, bool) {
	for _, a := range n.attrs {
		if a.name == name {
			return a.value, true
		}
	}
	return "", false
}

// target gives the reference of an element: href before xlink:href (SVG 2 §16.1.6).
func (n *node) target() string {
	if v, ok := n.attr(href); ok {
		return strings.TrimSpace(v)
	}
	v, _ := n.attr(xlinkHref)
	return strings.TrimSpace(v)
}

// where names the element for messages.
func (n *node) where() string {
	if n.id == "" {
		return fmt.Sprintf("line %d, <%s>", n.line, n.name)
	}
	return fmt.Sprintf("line %d, <%s id=%s>", n.line, n.name, n.id)
}

// document is the parsed file.
type document struct {
	root     *node
	ids      map[string]*node
	styles   []*node // style elements in the order of the file
	notes    []note  // what the reading itself has to warn of
	siblings int     // children of the element that has most
	depth    int     // deepest nesting
}

// note is a warning before it becomes one of the drawing.
type note struct{ code, where, message string }

// load reads the whole of r, unpacks it if it is gzipped, and refuses more than
// max bytes.
func load(r io.Reader, max int) ([]byte, error) {
	data, err := readAtMost(r, max)
	if err != nil || !bytes.HasPrefix(data, []byte{0x1f, 0x8b}) {
		return data, err
	}
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		return nil, packed(err)
	}
	return readAtMost(z, max)
}

func packed(err error) error {
	f := fault.New("svg-unreadable", "", "the file cannot be read to its end: save it again from the drawing program")
	f.Cause = err
	return f
}

func readAtMost(r io.Reader, max int) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, int64(max)+1))
	if err != nil {
		return nil, packed(err)
	}
	if len(data) > max {
		return nil, fault.New("svg-too-large", "", "the file is larger than %d bytes: remove embedded pictures and hidden layers, then save it again", max)
	}
	return data, nil
}

// parse builds the tree of a file.
func parse(data []byte, opt Options) (*document, error) {
	if bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}) {
		decoded, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder().Bytes(data)
		if err != nil {
			return nil, packed(err)
		}
		data = decoded
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	b := &builder{opt: opt, data: data, kinds: map[string]int{}, doc: &document{ids: map[string]*node{}}}
	b.dec = xml.NewDecoder(bytes.NewReader(data))
	b.dec.CharsetReader = func(label string, in io.Reader) (io.Reader, error) {
		if strings.HasPrefix(strings.ToLower(label), "utf-16") {
			return in, nil // turned into UTF-8 above
		}
		return charset.NewReaderLabel(label, in)
	}
	if err := b.run(); err != nil {
		return nil, err
	}
	if b.doc.root == nil {
		return nil, fault.New("svg-none", "", "the file holds no <svg> element: open it in the drawing program and save it as SVG")
	}
	return b.doc, nil
}

// builder turns tokens into nodes.
type builder struct {
	opt      Options
	data     []byte
	dec      *xml.Decoder
	doc      *document
	at       *node
	kinds    map[string]int
	elements int
	depth    int
	foreign  int // depth inside an element of another name space
}

func (b *builder) run() error {
	for {
		line, _ := b.dec.InputPos()
		token, err := b.dec.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return notXML(err)
		}
		switch t := token.(type) {
		case xml.Directive:
			err = b.doctype(string(t), line)
		case xml.ProcInst:
			b.instruction(t, line)
		case xml.StartElement:
			err = b.open(t, line)
		case xml.EndElement:
			b.close()
		case xml.CharData:
			b.characters(t)
		}
		if err != nil {
			return err
		}
	}
}

func notXML(err error) error {
	where, reason := "", err.Error()
	if s, ok := errors.AsType[*xml.SyntaxError](err); ok {
		where, reason = fmt.Sprintf("line %d", s.Line), s.Msg
	}
	f := fault.New("svg-not-xml", where, "the file is not well-formed XML (%s): save it again from the drawing program, or mend this line in a text editor", reason)
	f.Cause = err
	return f
}

func (b *builder) instruction(t xml.ProcInst, line int) {
	if t.Target == "xml-stylesheet" {
		b.doc.notes = append(b.doc.notes, note{
			"external-reference", fmt.Sprintf("line %d, <?xml-stylesheet?>", line),
			"the style sheet outside the file is not read: save the drawing with its styles inside",
		})
	}
}

func (b *builder) open(t xml.StartElement, line int) error {
	b.depth++
	b.elements++
	b.doc.depth = max(b.doc.depth, b.depth)
	where := fmt.Sprintf("line %d, <%s>", line, t.Name.Local)
	if b.depth > b.opt.MaxDepth {
		return fault.New("svg-too-deep", where, "more than %d elements lie inside each other: ungroup the drawing and save it again", b.opt.MaxDepth)
	}
	if b.elements > b.opt.MaxElements {
		return fault.New("svg-too-many-elements", where, "the drawing has more than %d elements: simplify it, or take it apart", b.opt.MaxElements)
	}
	ours := t.Name.Space == svgSpace || t.Name.Space == ""
	if b.foreign > 0 || !ours && b.doc.root != nil {
		b.foreign++
		return nil
	}
	if b.doc.root == nil && (!ours || t.Name.Local != "svg") {
		return fault.New("svg-none", where, "the file starts with <%s> and not with <svg>: open it in the drawing program and save it as SVG", t.Name.Local)
	}
	if b.doc.root != nil && b.at == nil {
		return fault.New("svg-not-xml", where, "a second element follows the end of the drawing: save it again from the drawing program")
	}
	b.add(t, line)
	return nil
}

func (b *builder) add(t xml.StartElement, line int) {
	b.kinds[t.Name.Local]++
	n := &node{name: t.Name.Local, parent: b.at, line: line, ordinal: b.kinds[t.Name.Local], attrs: make([]attr, 0, len(t.Attr))}
	for _, a := range t.Attr {
		switch a.Name.Space {
		case "", svgSpace:
			n.attrs = append(n.attrs, attr{a.Name.Local, a.Value})
		case xlinkSpace, "xlink": // some programs forget to declare the prefix
			n.attrs = append(n.attrs, attr{"xlink:" + a.Name.Local, a.Value})
		}
	}
	if id, ok := n.attr("id"); ok && id != "" {
		n.id = id
		if _, taken := b.doc.ids[id]; !taken {
			b.doc.ids[id] = n
		}
	}
	if class, ok := n.attr("class"); ok {
		n.classes = strings.Fields(class)
	}
	if b.at == nil {
		b.doc.root = n
	} else {
		b.at.children = append(b.at.children, n)
		b.doc.siblings = max(b.doc.siblings, len(b.at.children))
	}
	if n.name == "style" {
		b.doc.styles = append(b.doc.styles, n)
	}
	b.at = n
}

func (b *builder) close() {
	b.depth--
	if b.foreign > 0 {
		b.foreign--
		return
	}
	b.at = b.at.parent
}

func (b *builder) characters(t xml.CharData) {
	if b.at == nil || b.foreign > 0 || len(bytes.TrimSpace(t)) == 0 {
		return
	}
	if b.at.name == "style" {
		b.at.text = append(b.at.text, t...)
	}
	b.at.worded = true
	for p := b.at.parent; p != nil && !p.worded; p = p.parent {
		p.worded = true
	}
}
