package lettering

import (
	"encoding/binary"
	"fmt"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/font/opentype/tables"
)

// styleMark parts a font file from the face that is meant of it, where it holds
// several: "fonts/crew.ttc#Crew Bold", "fonts/crew.ttf#Black", "fonts/crew.ttf#650".
const styleMark = "#"

// FontFile says whether the name of a face is that of a font file, by its ending, and
// parts it from the face that is meant of the file, which is empty for the first.
func FontFile(name string) (file, which string, ok bool) {
	font := func(file string) bool {
		return slices.Contains([]string{".ttf", ".otf", ".woff", ".woff2", ".ttc", ".otc"}, strings.ToLower(path.Ext(file)))
	}
	if i := strings.LastIndex(name, styleMark); i >= 0 && font(name[:i]) {
		return name[:i], strings.TrimSpace(name[i+1:]), true
	}
	return name, "", font(name)
}

// mostFaces bounds the faces of a collection that are looked at; those that ship with
// systems have up to thirty.
const mostFaces = 64

// The names of a face that it is found by (OpenType 1.9, name table).
const (
	nameFamily     = 1
	nameStyle      = 2
	nameFull       = 4
	namePostScript = 6
	nameFamilySet  = 16 // of families with more than four styles
	nameStyleSet   = 17
)

// style is a face of a file: one of a collection, or a named instance of a font whose
// outlines vary.
type style struct {
	loader *opentype.Loader
	names  []string // the first is the one that is told
	vary   []font.Variation
}

// pick finds a face among those of a file: the first, if none is named. The error
// lists what there is.
func pick(loaders []*opentype.Loader, name string) (style, error) {
	if name == "" {
		return style{loader: loaders[0]}, nil
	}
	var told []string
	for _, ld := range loaders[:min(len(loaders), mostFaces)] {
		for _, s := range stylesOf(ld) {
			if slices.ContainsFunc(s.names, func(n string) bool { return plainName(n) == plainName(name) }) {
				return s, nil
			}
			told = append(told, s.names[0])
		}
		if s, ok := weighted(ld, name); ok {
			return s, nil
		}
	}
	return style{}, fmt.Errorf("it has no face %q; it has %s", name, strings.Join(told, ", "))
}

// plainName leaves of a name what tells it from others: letters and digits, in one case.
func plainName(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, s)
}

// stylesOf lists the face of a loader, and the instances that its font names.
func stylesOf(ld *opentype.Loader) []style {
	raw, err := ld.RawTable(opentype.MustNewTag("name"))
	if err != nil {
		return nil
	}
	table, _, err := tables.ParseName(raw)
	if err != nil {
		return nil
	}
	name := func(of ...int) string {
		for _, id := range of {
			if s := strings.TrimSpace(table.Name(tables.NameID(id))); s != "" {
				return s
			}
		}
		return ""
	}
	family, plain := name(nameFamilySet, nameFamily), name(nameStyleSet, nameStyle)
	whole := style{loader: ld}
	for _, n := range []string{name(nameFull), family + " " + plain, name(namePostScript)} {
		if strings.TrimSpace(n) != "" {
			whole.names = append(whole.names, n)
		}
	}
	if plainName(plain) == "regular" && family != "" {
		whole.names = append(whole.names, family)
	}
	var out []style
	if len(whole.names) > 0 {
		out = append(out, whole)
	}
	axes, instances := variable(ld)
	for _, in := range instances {
		s := style{loader: ld}
		if word := name(in.name); word != "" {
			s.names = []string{word, family + " " + word}
		} else {
			continue
		}
		for i, a := range axes {
			s.vary = append(s.vary, font.Variation{Tag: a.tag, Value: float32(in.at[i])})
		}
		out = append(out, s)
	}
	return out
}

// weighted gives a font whose weight varies at a weight that is a number, from 1 to
// 1000 as in CSS.
func weighted(ld *opentype.Loader, name string) (style, bool) {
	weight, err := strconv.ParseFloat(name, 64)
	if err != nil || !(weight >= 1 && weight <= 1000) {
		return style{}, false
	}
	axes, _ := variable(ld)
	for _, a := range axes {
		if a.tag == opentype.MustNewTag("wght") && weight >= a.least && weight <= a.most {
			return style{loader: ld, vary: []font.Variation{{Tag: a.tag, Value: float32(weight)}}}, true
		}
	}
	return style{}, false
}

// axis is one that the outlines of a font vary along.
type axis struct {
	tag         opentype.Tag
	least, most float64
}

// instance is a place on all axes that the font has a name for.
type instance struct {
	name int // in the table of names
	at   []float64
}

// variable reads the axes and the named instances of a font; none where it does not
// vary or the table is damaged (OpenType 1.9, fvar: a header of 16 bytes, an axis of
// 20 or more, an instance of 4 and 4 for each axis, or more).
func variable(ld *opentype.Loader) (axes []axis, instances []instance) {
	b, err := ld.RawTable(opentype.MustNewTag("fvar"))
	if err != nil || len(b) < 16 {
		return nil, nil
	}
	word := func(at int) int { return int(binary.BigEndian.Uint16(b[at:])) }
	fixed := func(at int) float64 { return float64(int32(binary.BigEndian.Uint32(b[at:]))) / math.Exp2(16) }
	from, n, size, count, long := word(4), word(8), word(10), word(12), word(14)
	if n == 0 || size < 20 || long < 4+4*n || len(b) < from+n*size+count*long {
		return nil, nil
	}
	for i := range n {
		at := from + i*size
		axes = append(axes, axis{opentype.Tag(binary.BigEndian.Uint32(b[at:])), fixed(at + 4), fixed(at + 12)})
	}
	for i := range count {
		at := from + n*size + i*long
		in := instance{name: word(at)}
		for k := range n {
			in.at = append(in.at, fixed(at+4+4*k))
		}
		instances = append(instances, in)
	}
	return axes, instances
}
