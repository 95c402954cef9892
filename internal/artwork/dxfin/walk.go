package dxfin

import (
	"fmt"
	"math"
	"strings"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// path is one outline or line of the drawing, in mm, y down.
type path struct {
	points []geom.Point
	closed bool
	layer  string
	paint  string
	groups []string // names of the blocks around it, outermost first
	from   *entity
	order  int // place in the drawing
}

// scope is what the entities of a block take from the INSERT that lays it out.
type scope struct {
	to     geom.Affine // the block's coordinates to mm, y down
	layer  string      // for entities on layer 0; "" outside of blocks
	colour string      // for entities coloured by block
	groups []string
}

// speck is the extent, in mm, below which a path is nothing: a tenth of what
// drawings are exact to.
const speck = 0.001

// walk lays out the drawing entity by entity, block by block.
type walk struct {
	doc    *document
	limits Limits
	notes  *notes
	paths  []path
	seen   int
	points int
	hidden map[string]bool // layers whose being hidden was noted
}

func newWalk(doc *document, opt Options, notes *notes) *walk {
	return &walk{doc: doc, limits: opt.Limits, notes: notes, hidden: map[string]bool{}}
}

func (w *walk) entities(list []entity, s scope) error {
	for i := range list {
		if err := w.entity(&list[i], s); err != nil {
			return err
		}
	}
	return nil
}

func (w *walk) entity(e *entity, s scope) error {
	if err := w.count(e); err != nil {
		return err
	}
	f := e.fields()
	l := w.doc.layer(e.layer)
	if e.layer == "0" && s.layer != "" {
		l = w.doc.layer(s.layer)
	}
	if w.unseen(e, f, l) {
		return f.err
	}
	colour := e.colour(f, l, s.colour)
	if e.kind == "INSERT" {
		return w.insert(e, f, scope{to: s.to, layer: l.name, colour: colour, groups: s.groups})
	}
	read, ok := readers[e.kind]
	if !ok || e.isMesh(f) {
		w.notes.left(*e)
		return f.err
	}
	plane, ok := w.plane(e, f, s.to)
	if !ok || f.err != nil {
		return f.err
	}
	p := path{layer: l.name, paint: colour, groups: s.groups, from: e}
	p.points, p.closed = read(w, e, f, plane)
	if f.err != nil {
		return f.err
	}
	return w.take(p, plane.to)
}

// unseen says whether an entity is left out since the drawing does not show it.
func (w *walk) unseen(e *entity, f *fields, l layer) bool {
	if f.whole(67, 0) == 1 {
		if e.kind != "VIEWPORT" { // the window of the paper itself
			w.notes.add("dxf-paper", e.where(), "it lies on the paper space and was left out: only the model space is read")
		}
		return true
	}
	if f.whole(60, 0) == 1 {
		w.notes.add("dxf-invisible", e.where(), "it is marked invisible and was left out: make it visible in the drawing program if it belongs to the artwork")
		return true
	}
	why := l.hidden()
	// A layer that is off hides what is on it, not what a block on it lays out
	// on other layers; a frozen one hides both.
	if why == "" || e.kind == "INSERT" && why != "frozen" {
		return false
	}
	if key := fold(l.name); !w.hidden[key] {
		w.hidden[key] = true
		w.notes.add("dxf-layer-hidden", "layer "+shorten(l.name), fmt.Sprintf("the layer is %s, so what is on it was left out: show it in the drawing program if it belongs to the artwork", why))
	}
	return true
}

func (w *walk) count(e *entity) error {
	w.seen++
	if w.seen > w.limits.Entities {
		return fault.New("dxf-too-many", e.where(), "the drawing has more than %d entities once its blocks are laid out: save only the artwork to a file of its own", w.limits.Entities)
	}
	return nil
}

// take keeps a path after bringing it to the drawing.
func (w *walk) take(p path, to geom.Affine) error {
	w.points += len(p.points)
	if w.points > w.limits.Points {
		return fault.New("dxf-too-many", p.from.where(), "the drawing has more than %d points: save only the artwork to a file of its own, or simplify it", w.limits.Points)
	}
	for i, q := range p.points {
		q = to.Apply(q)
		if !(math.Abs(q.X) <= farthest && math.Abs(q.Y) <= farthest) {
			return fault.New("dxf-coordinate", p.from.where(), "it reaches further than %g m from the origin: check the drawing's unit and move the artwork to the origin", farthest/1000)
		}
		p.points[i] = q
	}
	p.points = withoutRepeats(p.points, p.closed)
	if len(p.points) == 2 {
		p.closed = false // there and back is a line
	}
	if box := geom.Bounds(p.points); len(p.points) < 2 || math.Max(box.Width(), box.Height()) < speck {
		w.notes.add("dxf-nothing", p.from.where(), "it has no length and was left out")
		return nil
	}
	p.order = len(w.paths)
	w.paths = append(w.paths, p)
	return nil
}

// withoutRepeats drops points that lie on the one before.
func withoutRepeats(points []geom.Point, closed bool) []geom.Point {
	out := points[:0]
	for _, p := range points {
		if len(out) == 0 || out[len(out)-1] != p {
			out = append(out, p)
		}
	}
	for closed && len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	return out
}

// plane is the coordinate system an entity is drawn in: how it comes to the
// drawing, and how far a chord may leave its curve, in its own units. Flipped
// says that it is seen from behind (extrusion along −z).
type plane struct {
	to      geom.Affine
	chord   float64
	flipped bool
	room    int // points left under the limit; curves stop once they passed it
}

// ownPlane are the kinds whose coordinates are the world's, whatever their extrusion.
var ownPlane = map[string]bool{"LINE": true, "ELLIPSE": true, "SPLINE": true}

// plane reads the extrusion. By the arbitrary axis algorithm of the reference
// an extrusion of (0, 0, −1) turns x to −x; a tilted one cannot be read flat.
func (w *walk) plane(e *entity, f *fields, to geom.Affine) (plane, bool) {
	x, y, z := f.number(210, 0), f.number(220, 0), f.number(230, 1)
	const upright = 1e-6 // of the direction's sine: under a micrometre over a metre
	if math.Hypot(x, y) > upright*math.Abs(z) {
		if e.kind == "LINE" { // its extrusion is for its thickness only
			x, y, z = 0, 0, 1
		} else {
			w.notes.add("dxf-3d", e.where(), "it lies in a tilted plane and was left out: draw it flat")
			return plane{}, false
		}
	}
	p := plane{to: to, flipped: z < 0, room: w.limits.Points - w.points}
	if p.flipped && !ownPlane[e.kind] {
		p.to = to.Mul(geom.Scale(-1, 1))
	}
	scale := p.to.MaxScale()
	if !(scale > 0) || math.IsInf(scale, 0) {
		w.notes.add("dxf-nothing", e.where(), "its block is scaled to nothing, so it was left out")
		return plane{}, false
	}
	p.chord = flatness / scale
	return p, true
}

// insert lays out a block: once, or in rows and columns.
func (w *walk) insert(e *entity, f *fields, s scope) error {
	b, ok := w.doc.blocks[fold(e.block)]
	if !ok || b.external {
		w.notes.add("dxf-block", e.where(), fmt.Sprintf("the block %q is not in the file: bind the reference in the drawing program", shorten(e.block)))
		return f.err
	}
	for _, around := range s.groups {
		if fold(around) == fold(b.name) {
			return fault.New("dxf-cycle", e.where(), "the block %q holds itself (%s): the file is damaged, export it again", shorten(b.name), shorten(strings.Join(s.groups, " → ")))
		}
	}
	if len(s.groups) >= w.limits.Depth {
		return fault.New("dxf-too-deep", e.where(), "blocks lie more than %d deep in each other: explode them in the drawing program", w.limits.Depth)
	}
	plane, ok := w.plane(e, f, s.to)
	if !ok || f.err != nil {
		return f.err
	}
	turn := geom.Rotate(f.number(50, 0) * math.Pi / 180)
	at := geom.Translate(f.need(10), f.need(20))
	size := geom.Scale(f.number(41, 1), f.number(42, 1)).Mul(geom.Translate(-b.x, -b.y))
	columns, rows := max(f.whole(70, 1), 1), max(f.whole(71, 1), 1)
	dx, dy := f.number(44, 0), f.number(45, 0)
	if f.err != nil {
		return f.err
	}
	s.groups = append(s.groups[:len(s.groups):len(s.groups)], b.name)
	for row := range rows {
		for column := range columns {
			if err := w.count(e); err != nil {
				return err
			}
			cell := geom.Translate(dx*float64(column), dy*float64(row))
			s.to = plane.to.Mul(at).Mul(turn).Mul(cell).Mul(size)
			if err := w.entities(b.entities, s); err != nil {
				return err
			}
		}
	}
	return nil
}
