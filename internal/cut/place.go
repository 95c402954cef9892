package cut

import (
	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Placement takes points of a design to points of a sheet: a shift, after a
// quarter turn clockwise (as seen, y down) if the plate is turned. On a mirrored
// sheet right and left then change places.
type Placement struct {
	turned   bool
	shift    geom.Point
	mirrored bool
	width    float64 // of the mirrored sheet
}

// Place gives the placement that lays the frame's smallest-x, smallest-y corner
// at the place's X, Y: the corner of the unturned frame, or of the frame as it
// lies after turning.
func Place(plate design.Plate, at design.Placed) Placement {
	corner := geom.Point{X: plate.Frame[0], Y: plate.Frame[1]}
	if at.Turned {
		// Turning takes (x, y) to (−y, x): the bottom-left corner, at the
		// largest y, becomes the top-left one.
		corner = geom.Point{X: -plate.Frame[3], Y: plate.Frame[0]}
	}
	return Placement{turned: at.Turned, shift: geom.Point{X: at.X, Y: at.Y}.Sub(corner)}
}

// Mirrored gives the placement on the sheet of the width, mirrored left for right.
func (p Placement) Mirrored(width float64) Placement {
	p.mirrored, p.width = true, width
	return p
}

// Point gives where a point of the design lies on the sheet.
func (p Placement) Point(q geom.Point) geom.Point {
	if p.turned {
		q = q.Perp()
	}
	q = q.Add(p.shift)
	if p.mirrored {
		q.X = p.width - q.X
	}
	return q
}
