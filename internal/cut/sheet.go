// Package cut says what the cutter does with one sheet: which holes, nicks and
// frames it cuts, where on the sheet, and in which order. Its writers are in
// svg, dxf and hpgl. Lengths are millimetres in sheet coordinates: the sheet's
// top-left corner is the origin, y points down.
package cut

import (
	"fmt"

	"brushfall/internal/geom"
	"brushfall/internal/plate"
)

// NotchWidth is the width of the notch where it opens in the frame's edge, in
// mm. Its depth is the notch's tip in the document.
const NotchWidth = 2 * plate.NotchHalfWidth

// Sheet is one piece of flock as the cutter sees it: Width × Height mm, its
// plates in the order in which they are cut.
type Sheet struct {
	Number        int
	Width, Height float64
	Plates        []SheetPlate
}

// SheetPlate is one plate on the sheet. The cutter takes the Holes in their
// order, then the Nicks, then the Frame, so that the piece stays held by the
// sheet while anything is still to be cut inside it.
type SheetPlate struct {
	Design string // the design's name
	Plate  int    // the plate's number in its design, from 1
	Holes  []Circle
	Nicks  []geom.Line // short open cuts that number the plate, two points each
	Frame  geom.Ring   // the rectangle with the V of the notch in its top edge
}

// Circle is one hole: its centre, and its diameter D.
type Circle struct {
	Centre geom.Point
	D      float64
}

// Holes gives the number of holes on the sheet.
func (s Sheet) Holes() int {
	n := 0
	for _, p := range s.Plates {
		n += len(p.Holes)
	}
	return n
}

// Names gives each plate of the sheet a name that no other has: "plate-2", and
// "plate-2-copy-2" where the sheet holds the plate once more.
func (s Sheet) Names() []string {
	seen := map[int]int{}
	names := make([]string, len(s.Plates))
	for i, p := range s.Plates {
		seen[p.Plate]++
		names[i] = fmt.Sprintf("plate-%d", p.Plate)
		if n := seen[p.Plate]; n > 1 {
			names[i] += fmt.Sprintf("-copy-%d", n)
		}
	}
	return names
}
