package dxf

import (
	"brushfall/internal/cut"
)

// Handles of the parts that every file has; entities and layers count up from
// firstHandle.
const (
	vportTable       = 0x1
	ltypeTable       = 0x2
	layerTable       = 0x3
	styleTable       = 0x4
	viewTable        = 0x5
	ucsTable         = 0x6
	appidTable       = 0x7
	dimstyleTable    = 0x8
	blockRecordTable = 0x9
	rootDictionary   = 0xA
	groupDictionary  = 0xB
	layoutDictionary = 0xC
	plotDictionary   = 0xD
	plotNormal       = 0xE
	modelLayout      = 0xF
	paperLayout      = 0x10
	modelSpace       = 0x11
	paperSpace       = 0x12
	modelBlock       = 0x13
	modelBlockEnd    = 0x14
	paperBlock       = 0x15
	paperBlockEnd    = 0x16
	vportActive      = 0x17
	ltypeByBlock     = 0x18
	ltypeByLayer     = 0x19
	ltypeContinuous  = 0x1A
	layerZero        = 0x1B
	styleStandard    = 0x1C
	appidACAD        = 0x1D
	dimstyleStandard = 0x1E
	firstHandle      = 0x100
)

func writeHeader(t *tags, s cut.Sheet, seed int) {
	t.mirrored(s)
	t.text(0, "SECTION")
	t.text(2, "HEADER")
	variable := func(name string) { t.text(9, name) }
	variable("$ACADVER")
	t.text(1, "AC1015")
	variable("$DWGCODEPAGE")
	t.text(3, "ANSI_1252")
	variable("$INSBASE")
	t.point(10, 0, 0)
	t.real(30, 0)
	for _, extent := range []struct {
		name string
		x, y float64
	}{{"$EXTMIN", 0, 0}, {"$EXTMAX", s.Width, s.Height}} {
		variable(extent.name)
		t.point(10, extent.x, extent.y)
		t.real(30, 0)
	}
	variable("$LIMMIN")
	t.point(10, 0, 0)
	variable("$LIMMAX")
	t.point(10, s.Width, s.Height)
	variable("$HANDSEED")
	t.hex(5, seed)
	variable("$INSUNITS")
	t.whole(70, millimetres)
	variable("$MEASUREMENT")
	t.whole(70, 1)
	t.text(0, "ENDSEC")
	t.text(0, "SECTION")
	t.text(2, "CLASSES")
	writeClass(t, "ACDBDICTIONARYWDFLT", "AcDbDictionaryWithDefault")
	writeClass(t, "ACDBPLACEHOLDER", "AcDbPlaceHolder")
	writeClass(t, "LAYOUT", "AcDbLayout")
	t.text(0, "ENDSEC")
}

// writeClass declares an object that release 2000 does not hold in its core.
func writeClass(t *tags, record, class string) {
	t.text(0, "CLASS")
	t.text(1, record)
	t.text(2, class)
	t.text(3, "ObjectDBX Classes")
	t.whole(90, 0)
	t.whole(280, 0)
	t.whole(281, 0)
}

func writeTables(t *tags, layers []layer) {
	t.text(0, "SECTION")
	t.text(2, "TABLES")
	t.table("VPORT", vportTable, 1, func() {
		t.record("VPORT", vportActive, vportTable, "AcDbViewportTableRecord", "*Active")
	})
	t.table("LTYPE", ltypeTable, 3, func() { writeLinetypes(t) })
	t.table("LAYER", layerTable, len(layers)+1, func() {
		writeLayer(t, layerZero, layer{"0", 7})
		for _, l := range layers {
			writeLayer(t, t.handle, l)
			t.handle++
		}
	})
	t.table("STYLE", styleTable, 1, func() { writeStyle(t) })
	t.table("VIEW", viewTable, 0, func() {})
	t.table("UCS", ucsTable, 0, func() {})
	t.table("APPID", appidTable, 1, func() {
		t.record("APPID", appidACAD, appidTable, "AcDbRegAppTableRecord", "ACAD")
	})
	t.table("DIMSTYLE", dimstyleTable, 1, func() {
		t.text(0, "DIMSTYLE")
		t.hex(105, dimstyleStandard) // the one record whose handle is not group 5
		t.recordBody(dimstyleTable, "AcDbDimStyleTableRecord", "Standard")
	})
	t.table("BLOCK_RECORD", blockRecordTable, 2, func() {
		t.record("BLOCK_RECORD", modelSpace, blockRecordTable, "AcDbBlockTableRecord", "*Model_Space")
		t.hex(340, modelLayout)
		t.record("BLOCK_RECORD", paperSpace, blockRecordTable, "AcDbBlockTableRecord", "*Paper_Space")
		t.hex(340, paperLayout)
	})
	t.text(0, "ENDSEC")
}

func writeLinetypes(t *tags) {
	for _, l := range []struct {
		handle            int
		name, description string
	}{{ltypeByBlock, "ByBlock", ""}, {ltypeByLayer, "ByLayer", ""}, {ltypeContinuous, "Continuous", "Solid line"}} {
		t.record("LTYPE", l.handle, ltypeTable, "AcDbLinetypeTableRecord", l.name)
		t.text(3, l.description)
		t.whole(72, 65)
		t.whole(73, 0)
		t.real(40, 0)
	}
}

func writeLayer(t *tags, handle int, l layer) {
	t.record("LAYER", handle, layerTable, "AcDbLayerTableRecord", l.name)
	t.whole(62, l.colour)
	t.text(6, "Continuous")
	t.hex(390, plotNormal)
}

func writeStyle(t *tags) {
	t.record("STYLE", styleStandard, styleTable, "AcDbTextStyleTableRecord", "Standard")
	t.real(40, 0)
	t.real(41, 1)
	t.real(50, 0)
	t.whole(71, 0)
	t.real(42, 2.5)
	t.text(3, "txt")
	t.text(4, "")
}

func (t *tags) table(name string, handle, records int, write func()) {
	t.text(0, "TABLE")
	t.text(2, name)
	t.hex(5, handle)
	t.hex(330, 0)
	t.text(100, "AcDbSymbolTable")
	t.whole(70, records)
	if name == "DIMSTYLE" {
		t.text(100, "AcDbDimStyleTable")
	}
	write()
	t.text(0, "ENDTAB")
}

func (t *tags) record(kind string, handle, owner int, class, name string) {
	t.text(0, kind)
	t.hex(5, handle)
	t.recordBody(owner, class, name)
}

func (t *tags) recordBody(owner int, class, name string) {
	t.hex(330, owner)
	t.text(100, "AcDbSymbolTableRecord")
	t.text(100, class)
	t.text(2, name)
	if class != "AcDbBlockTableRecord" {
		t.whole(70, 0)
	}
}

func blocks() string {
	t := &tags{}
	t.text(0, "SECTION")
	t.text(2, "BLOCKS")
	for _, b := range []struct {
		name               string
		handle, end, owner int
	}{{"*Model_Space", modelBlock, modelBlockEnd, modelSpace}, {"*Paper_Space", paperBlock, paperBlockEnd, paperSpace}} {
		begin := func(kind string, handle int, class string) {
			t.text(0, kind)
			t.hex(5, handle)
			t.hex(330, b.owner)
			t.text(100, "AcDbEntity")
			if b.owner == paperSpace {
				t.whole(67, 1)
			}
			t.text(8, "0")
			t.text(100, class)
		}
		begin("BLOCK", b.handle, "AcDbBlockBegin")
		t.text(2, b.name)
		t.whole(70, 0)
		t.point(10, 0, 0)
		t.real(30, 0)
		t.text(3, b.name)
		t.text(1, "")
		begin("ENDBLK", b.end, "AcDbBlockEnd")
	}
	t.text(0, "ENDSEC")
	return t.out.String()
}

func objects() string {
	t := &tags{}
	t.text(0, "SECTION")
	t.text(2, "OBJECTS")
	t.dictionary(rootDictionary, 0, []entry{
		{"ACAD_GROUP", groupDictionary}, {"ACAD_LAYOUT", layoutDictionary}, {"ACAD_PLOTSTYLENAME", plotDictionary},
	})
	t.dictionary(groupDictionary, rootDictionary, nil)
	t.dictionary(layoutDictionary, rootDictionary, []entry{{"Model", modelLayout}, {"Layout1", paperLayout}})
	writePlotStyles(t)
	writeLayout(t, modelLayout, modelSpace, "Model", 0)
	writeLayout(t, paperLayout, paperSpace, "Layout1", 1)
	t.text(0, "ENDSEC")
	t.text(0, "EOF")
	return t.out.String()
}

type entry struct {
	name   string
	handle int
}

func (t *tags) dictionary(handle, owner int, entries []entry) {
	t.text(0, "DICTIONARY")
	t.hex(5, handle)
	t.hex(330, owner)
	t.text(100, "AcDbDictionary")
	t.whole(281, 1)
	for _, e := range entries {
		t.text(3, e.name)
		t.hex(350, e.handle)
	}
}

func writePlotStyles(t *tags) {
	t.text(0, "ACDBDICTIONARYWDFLT")
	t.hex(5, plotDictionary)
	t.hex(330, rootDictionary)
	t.text(100, "AcDbDictionary")
	t.whole(281, 1)
	t.text(3, "Normal")
	t.hex(350, plotNormal)
	t.text(100, "AcDbDictionaryWithDefault")
	t.hex(340, plotNormal)
	t.text(0, "ACDBPLACEHOLDER")
	t.hex(5, plotNormal)
	t.hex(330, plotDictionary)
}

func writeLayout(t *tags, handle, space int, name string, tab int) {
	t.text(0, "LAYOUT")
	t.hex(5, handle)
	t.hex(330, layoutDictionary)
	t.text(100, "AcDbPlotSettings")
	t.text(1, "")
	t.text(100, "AcDbLayout")
	t.text(1, name)
	t.whole(70, 1)
	t.whole(71, tab)
	t.hex(330, space)
}

// mirrored says in a remark that the sheet is mirrored.
func (t *tags) mirrored(s cut.Sheet) {
	if s.Mirrored {
		t.text(999, "mirrored: for flock that is cut from its back")
	}
}
