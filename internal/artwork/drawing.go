// Package artwork holds the normalised drawing that every reader of artwork
// makes and every later stage trusts. docs/formats/artwork.md lists what it
// guarantees.
package artwork

import "brushfall/internal/geom"

// Drawing is artwork in one form: regions in millimetres, y down, the page's
// top-left corner at the origin. Width and Height are the page's; a DXF has the
// extent of its entities. Regions are in the artwork's order, the first one
// drawn first.
type Drawing struct {
	Width, Height float64
	Regions       []Region
	Warnings      []Warning
}

// Region is a closed area, or one or more open lines, of one element of the
// artwork. Exactly one of Shape and Lines is non-empty. An element with fill
// and stroke gives two regions, the fill first.
type Region struct {
	ID      string   // unique in the drawing: the element's id, or one made from its kind and place
	Element string   // the element's own id attribute, may be empty
	Classes []string // class names, outermost group first
	Groups  []string // ids of the enclosing groups, outermost first
	Layer   string   // DXF layer
	Paint   string   // "#rrggbb": the fill, the stroke, or the DXF colour it was drawn with
	Stroke  bool     // the region comes from a stroke
	Where   string   // "line 12, <path id=eye>" for messages
	Shape   geom.Shape
	Lines   []geom.Line
}

// Open says whether the region is made of open lines.
func (r Region) Open() bool { return len(r.Lines) > 0 }

// Warning is something of the artwork that cannot become stones, or was read
// only in part. Code is stable ("text-without-outlines"); Message says what to do.
type Warning struct {
	Code    string
	Where   string
	Message string
}
