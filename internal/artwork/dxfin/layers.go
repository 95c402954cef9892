package dxfin

import "fmt"

// layer is one row of the layer table.
type layer struct {
	name    string
	colour  string
	off     bool
	frozen  bool
	noPrint bool
}

// readLayer reads a row. A negative colour means off, bit 1 of group 70 frozen,
// group 290 of 0 not to be printed.
func readLayer(rec record, names decoder) (layer, error) {
	f := fields{record: rec, where: fmt.Sprintf("line %d, LAYER", rec.line)}
	index := f.whole(62, 7)
	l := layer{
		name:    names.text(rec.text(2)),
		off:     index < 0,
		frozen:  f.whole(70, 0)&1 != 0,
		noPrint: f.whole(290, 1) == 0,
	}
	l.colour = indexed(max(index, -index))
	if rec.has(420) {
		l.colour = trueColour(f.whole(420, 0))
	}
	return l, f.err
}

// hidden says why entities of the layer are not to be seen, "" if they are.
func (l layer) hidden() string {
	switch {
	case l.frozen:
		return "frozen"
	case l.off:
		return "off"
	case l.noPrint || fold(l.name) == "DEFPOINTS":
		return "not printed"
	}
	return ""
}

// layer gives a layer by name; one that the table lacks is on and has the
// foreground colour.
func (d *document) layer(name string) layer {
	if l, ok := d.layers[fold(name)]; ok {
		return l
	}
	return layer{name: name, colour: foreground}
}
