package cut

import (
	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Placement takes points of a design to points of a sheet: a shift, after a
// quarter turn clockwise (as seen, y down) if the plate is turned.
type Placement struct {
	turned bool
	shift  geom.Point
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
	return Placement{at.Turned, geom.Point{X: at.X, Y: at.Y}.Sub(corner)}
}

// Point gives where a point of the design lies on the sheet.
func (p Placement) Point(q geom.Point) geom.Point {
	if p.turned {
		q = q.Perp()
	}
	return q.Add(p.shift)
}
