package dxfin

import (
	"fmt"

	"brushfall/internal/artwork"
)

// mostNotes is how many warnings of one code are listed; the rest is counted.
const mostNotes = 20

// notes collects warnings.
type notes struct {
	list   []artwork.Warning
	counts map[string]int
	order  []string
}

func (n *notes) add(code, where, message string) {
	if n.counts == nil {
		n.counts = map[string]int{}
	}
	if n.counts[code] == 0 {
		n.order = append(n.order, code)
	}
	n.counts[code]++
	if n.counts[code] <= mostNotes {
		n.list = append(n.list, artwork.Warning{Code: code, Where: where, Message: message})
	}
}

// warnings gives the list, with a count of what it leaves out.
func (n *notes) warnings() []artwork.Warning {
	out := n.list
	for _, code := range n.order {
		if more := n.counts[code] - mostNotes; more > 0 {
			out = append(out, artwork.Warning{Code: code, Message: fmt.Sprintf("and %d more of the same", more)})
		}
	}
	return out
}

// unread says why entities of a kind are not read and what to do about them.
type unread struct{ code, message string }

var (
	unreadText      = unread{"dxf-text", "text has no outlines in a DXF: turn it to outlines (polylines) in the drawing program"}
	unreadHatch     = unread{"dxf-hatch", "a hatch is not read: draw its border as a closed polyline, which is filled by itself"}
	unreadDimension = unread{"dxf-dimension", "dimensions and leaders are not artwork and were left out"}
	unreadPicture   = unread{"dxf-picture", "a picture cannot be read from a DXF: load the picture's own file"}
	unreadSolid     = unread{"dxf-3d", "solids, surfaces and regions are not read: draw the outline as a flat polyline (explode the region)"}
	unreadPoint     = unread{"dxf-point", "a single point has no outline and was left out"}
	unreadEndless   = unread{"dxf-endless", "an endless construction line was left out: draw a line with two ends"}
	unreadOther     = unread{"dxf-unread", "entities of this kind are not read: explode it to lines, arcs or polylines in the drawing program"}
)

// unreadKinds holds the kinds with a message of their own.
var unreadKinds = map[string]unread{
	"TEXT": unreadText, "MTEXT": unreadText, "ATTRIB": unreadText, "ATTDEF": unreadText, "ARCALIGNEDTEXT": unreadText, "RTEXT": unreadText,
	"HATCH": unreadHatch, "MPOLYGON": unreadHatch,
	"DIMENSION": unreadDimension, "ARC_DIMENSION": unreadDimension, "LARGE_RADIAL_DIMENSION": unreadDimension,
	"LEADER": unreadDimension, "MULTILEADER": unreadDimension, "MLEADER": unreadDimension, "TOLERANCE": unreadDimension,
	"IMAGE": unreadPicture, "OLEFRAME": unreadPicture, "OLE2FRAME": unreadPicture, "WIPEOUT": unreadPicture,
	"PDFUNDERLAY": unreadPicture, "DWFUNDERLAY": unreadPicture, "DGNUNDERLAY": unreadPicture,
	"3DFACE": unreadSolid, "3DSOLID": unreadSolid, "BODY": unreadSolid, "REGION": unreadSolid, "MESH": unreadSolid, "SURFACE": unreadSolid,
	"EXTRUDEDSURFACE": unreadSolid, "LOFTEDSURFACE": unreadSolid, "REVOLVEDSURFACE": unreadSolid, "SWEPTSURFACE": unreadSolid,
	"PLANESURFACE": unreadSolid, "NURBSURFACE": unreadSolid, "HELIX": unreadSolid,
	"POINT": unreadPoint, "XLINE": unreadEndless, "RAY": unreadEndless,
}

// left notes an entity that is not read.
func (n *notes) left(e entity) {
	u, ok := unreadKinds[e.kind]
	switch {
	case e.kind == "POLYLINE": // only those that are meshes come here
		u = unreadSolid
	case !ok:
		u = unreadOther
	}
	n.add(u.code, e.where(), u.message)
}
