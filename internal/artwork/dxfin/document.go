package dxfin

import (
	"fmt"
	"strings"

	"brushfall/internal/fault"
)

// document is the file as far as it matters: header, layers, blocks, entities.
type document struct {
	header   map[string]tag // the first group of each variable
	layers   map[string]layer
	blocks   map[string]*block
	entities []entity
}

// block is a named group of entities that INSERT lays out. X, Y is its base point.
type block struct {
	name     string
	x, y     float64
	external bool
	entities []entity
}

// parser turns records to a document.
type parser struct {
	records *records
	doc     *document
	names   decoder
}

func parse(text string) (*document, error) {
	r, err := newRecords(text)
	if err != nil {
		return nil, err
	}
	p := &parser{records: r, doc: &document{header: map[string]tag{}, layers: map[string]layer{}, blocks: map[string]*block{}}}
	for {
		rec, ok, err := r.read()
		if err != nil {
			return nil, err
		}
		switch {
		case !ok:
			return nil, fault.New("dxf-truncated", fmt.Sprintf("line %d", r.line), "the file has no end (EOF): it is cut short, export it again")
		case rec.kind == "EOF":
			return p.doc, nil
		case rec.kind == "ENDSEC":
			continue // the second end of a header, see headerSection
		case rec.kind != "SECTION":
			return nil, fault.New("dxf-syntax", fmt.Sprintf("line %d", rec.line), "%s stands outside of the sections: the file is damaged, export it again", shorten(rec.kind))
		}
		if err := p.section(rec); err != nil {
			return nil, err
		}
	}
}

func (p *parser) section(rec record) error {
	switch strings.ToUpper(strings.TrimSpace(rec.text(2))) {
	case "HEADER":
		return p.headerSection(rec)
	case "TABLES":
		return p.each("ENDSEC", p.table)
	case "BLOCKS":
		return p.each("ENDSEC", p.block)
	case "ENTITIES":
		var err error
		p.doc.entities, err = p.list("ENDSEC")
		return err
	}
	return p.each("ENDSEC", func(record) error { return nil })
}

// each calls visit on the records up to the one that ends the part.
func (p *parser) each(end string, visit func(record) error) error {
	for {
		rec, ok, err := p.records.read()
		if err != nil {
			return err
		}
		if !ok || rec.kind == "EOF" {
			return fault.New("dxf-truncated", fmt.Sprintf("line %d", p.records.line), "the file ends before %s: it is cut short, export it again", end)
		}
		if rec.kind == end {
			return nil
		}
		if err := visit(rec); err != nil {
			return err
		}
	}
}

// headerSection reads the variables up to the end of the section. Files of an old,
// widespread writer end the header in its middle: more variables follow that
// end, and then a second one.
func (p *parser) headerSection(rec record) error {
	p.header(rec)
	end, ok, err := p.records.read()
	if err != nil {
		return err
	}
	if !ok || end.kind != "ENDSEC" {
		return fault.New("dxf-syntax", fmt.Sprintf("line %d", p.records.line), "the header does not end: the file is damaged, export it again")
	}
	p.header(end)
	return nil
}

// header keeps the first group of each variable; all of them are in one record,
// as no variable has a group 0.
func (p *parser) header(rec record) {
	for i, t := range rec.tags {
		if t.code == 9 && i+1 < len(rec.tags) {
			p.doc.header[strings.ToUpper(strings.TrimSpace(t.value))] = rec.tags[i+1]
		}
	}
	p.names = newDecoder(p.doc.header["$DWGCODEPAGE"].value)
}

func (p *parser) table(rec record) error {
	if rec.kind != "LAYER" {
		return nil
	}
	l, err := readLayer(rec, p.names)
	if err == nil {
		p.doc.layers[fold(l.name)] = l
	}
	return err
}

func (p *parser) block(rec record) error {
	if rec.kind != "BLOCK" {
		return nil
	}
	f := fields{record: rec, where: fmt.Sprintf("line %d, BLOCK", rec.line)}
	b := &block{name: p.names.text(rec.text(2)), x: f.number(10, 0), y: f.number(20, 0)}
	// Bit 4: a reference to another file; 8: an overlay of one.
	b.external = f.whole(70, 0)&(4|8) != 0
	if f.err != nil {
		return f.err
	}
	var err error
	b.entities, err = p.list("ENDBLK")
	p.doc.blocks[fold(b.name)] = b
	return err
}

// list reads entities up to the one that ends the part. VERTEX and ATTRIB join
// the entity they follow.
func (p *parser) list(end string) ([]entity, error) {
	var out []entity
	err := p.each(end, func(rec record) error {
		e := newEntity(rec, p.names)
		switch e.kind {
		case "SEQEND":
		case "VERTEX":
			if n := len(out); n == 0 || out[n-1].kind != "POLYLINE" {
				return fault.New("dxf-syntax", e.where(), "a vertex without a polyline: the file is damaged, export it again")
			}
			last := &out[len(out)-1]
			last.vertices = append(last.vertices, e)
		default:
			out = append(out, e)
		}
		return nil
	})
	return out, err
}

// fold gives the form under which names are compared: DXF tells no case.
func fold(name string) string { return strings.ToUpper(name) }
