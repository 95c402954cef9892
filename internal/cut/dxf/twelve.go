package dxf

import (
	"brushfall/internal/cut"
	"brushfall/internal/geom"
)

// twelve gives the sections of a file of release 12: it wants no handles, and
// has no place for a unit.
func twelve(s cut.Sheet, layers []layer, body *tags) []string {
	t := &tags{}
	t.text(999, "millimetres")
	t.mirrored(s)
	t.text(0, "SECTION")
	t.text(2, "HEADER")
	t.text(9, "$ACADVER")
	t.text(1, "AC1009")
	for _, corner := range []struct {
		name string
		x, y float64
	}{{"$EXTMIN", 0, 0}, {"$EXTMAX", s.Width, s.Height}} {
		t.text(9, corner.name)
		t.point(10, corner.x, corner.y)
		t.real(30, 0)
	}
	t.text(9, "$LIMMIN")
	t.point(10, 0, 0)
	t.text(9, "$LIMMAX")
	t.point(10, s.Width, s.Height)
	t.text(0, "ENDSEC")
	t.oldTables(layers)
	return []string{t.out.String(), entities(body), end()}
}

func (t *tags) oldTables(layers []layer) {
	t.text(0, "SECTION")
	t.text(2, "TABLES")
	t.oldTable("LTYPE", 1)
	t.text(0, "LTYPE")
	t.text(2, "CONTINUOUS")
	t.whole(70, 0)
	t.text(3, "Solid line")
	t.whole(72, 65)
	t.whole(73, 0)
	t.real(40, 0)
	t.text(0, "ENDTAB")
	all := append([]layer{{"0", 7}}, layers...)
	t.oldTable("LAYER", len(all))
	for _, l := range all {
		t.text(0, "LAYER")
		t.text(2, l.name)
		t.whole(70, 0)
		t.whole(62, l.colour)
		t.text(6, "CONTINUOUS")
	}
	t.text(0, "ENDTAB")
	t.text(0, "ENDSEC")
}

func (t *tags) oldTable(name string, records int) {
	t.text(0, "TABLE")
	t.text(2, name)
	t.whole(70, records)
}

// oldPolyline writes a polyline as release 12 has it, vertex by vertex.
func (t *tags) oldPolyline(c cut.Cut, layer string, up func(geom.Point) (x, y float64)) {
	t.entity("POLYLINE", layer, "")
	t.whole(66, 1) // vertices follow
	t.point(10, 0, 0)
	t.real(30, 0)
	t.whole(70, closedFlag(c))
	for _, q := range c.Line {
		t.entity("VERTEX", layer, "")
		x, y := up(q)
		t.point(10, x, y)
		t.real(30, 0)
	}
	t.entity("SEQEND", layer, "")
}

func end() string {
	t := &tags{}
	t.text(0, "EOF")
	return t.out.String()
}
