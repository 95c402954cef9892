// Package svgin reads SVG 1.1 drawings, and what SVG 2 added that drawing
// programs write, into an artwork.Drawing. docs/formats/artwork.md lists what it
// understands, what it warns of and what it refuses.
package svgin

import (
	"fmt"
	"io"
	"slices"

	"brushfall/internal/artwork"
	"brushfall/internal/geom"
)

// Read reads an SVG file, plain or gzipped. It gives the paint list: the filled
// area and the stroke of each element as regions in mm, in the order they are
// painted, overlaps and all (artwork.Visible takes those away). Curves are
// flattened within opt.Tolerance. What cannot become a region gets a warning. A
// file that is not well-formed, that refers to itself in a ring, or that passes
// a limit of opt is refused whole with a *fault.Error.
func Read(r io.Reader, opt Options) (artwork.Drawing, error) {
	opt = opt.filled()
	data, err := load(r, opt.MaxBytes)
	if err != nil {
		return artwork.Drawing{}, err
	}
	doc, err := parse(data, opt)
	if err != nil {
		return artwork.Drawing{}, err
	}
	if err := applyStyles(doc, opt); err != nil {
		return artwork.Drawing{}, err
	}
	rd := &reader{opt: opt, doc: doc, active: map[*node]bool{}, taken: map[string]bool{}, numbered: map[string]int{}, styles: map[*node]style{}}
	for _, n := range doc.notes {
		rd.note(n)
	}
	return rd.run()
}

// reader walks the tree and collects regions.
type reader struct {
	opt      Options
	doc      *document
	out      []artwork.Region
	warnings []artwork.Warning
	unlisted int             // warnings beyond the limit
	active   map[*node]bool  // what is being expanded: use targets and clip paths
	taken    map[string]bool // region ids in use
	numbered map[string]int  // the last number put behind an id
	styles   map[*node]style // styles of elements in their own place
	root     float64         // font size of the root in px
	elements int             // elements drawn
	uses     int             // uses expanded
	points   int             // points of outlines, and of the round ends and corners of strokes
	tests    int             // bounding boxes taken
}

// state is what an element has from its ancestors.
type state struct {
	m       geom.Affine // user units to mm
	style   style
	frame   frame
	groups  []string
	classes []string
	depth   int
	alpha   float64 // product of the opacities above
	user    *node   // the use element that an element stands in for, nil else
}

// run draws the whole document.
func (r *reader) run() (artwork.Drawing, error) {
	root := r.doc.root
	first, _ := initial().derive(root, defaultFont)
	r.root = first.font
	page := r.page(root)
	r.opt = r.opt.fitted(max(page.w, page.h) * mmPerPx)
	s := state{
		m: geom.Scale(mmPerPx, mmPerPx), style: initial(), alpha: 1,
		frame: frame{w: page.w, h: page.h, font: defaultFont, root: r.root},
	}
	if err := r.element(root, s); err != nil {
		return artwork.Drawing{}, err
	}
	d := artwork.Drawing{Width: page.w * mmPerPx, Height: page.h * mmPerPx}
	if page.known {
		r.cutAtPage(d.Width, d.Height)
	} else {
		d.Width, d.Height = r.fitPage()
	}
	if r.unlisted > 0 {
		r.warnings = append(r.warnings, artwork.Warning{
			Code:    "more-warnings",
			Message: fmt.Sprintf("%d more warnings are not listed: mend the first ones and read the drawing again", r.unlisted),
		})
	}
	d.Regions, d.Warnings = r.out, r.warnings
	return d, nil
}

// note lists a warning, as long as there is room.
func (r *reader) note(n note) {
	w := artwork.Warning{Code: n.code, Where: n.where, Message: n.message}
	if slices.Contains(r.warnings[max(0, len(r.warnings)-recent):], w) {
		return // an element drawn more than once warns once
	}
	if len(r.warnings) >= r.opt.MaxWarnings {
		r.unlisted++
		return
	}
	r.warnings = append(r.warnings, w)
}

// recent is how many warnings back a repeated one is looked for.
const recent = 64

func (r *reader) warn(code string, n *node, message string) {
	r.note(note{code, n.where(), message})
}

// pageSize is the size of the page in px; unknown if the file does not tell.
type pageSize struct {
	w, h  float64
	known bool
}

// fallbackPage is what percentages are taken of when the page has no size, in px:
// the default size of a replaced element is 300 × 150 (CSS 2.1 §10.3.2).
var fallbackPage = pageSize{w: 300, h: 150}

// page finds the size of the page: width and height, else those of the viewBox
// (SVG 2 §8.2 with CSS Images 3 §5.3 for one missing side).
func (r *reader) page(root *node) pageSize {
	f := frame{font: r.root, root: r.root}
	text, _ := root.attr("viewBox")
	view, hasView := parseViewBox(text)
	w, okW := r.pageSide(root, "width", f)
	h, okH := r.pageSide(root, "height", f)
	switch {
	case okW && okH:
		return pageSize{w, h, true}
	case !hasView:
		return fallbackPage
	case okW:
		return pageSize{w, w * view.h / view.w, true}
	case okH:
		return pageSize{h * view.w / view.h, h, true}
	}
	return pageSize{view.w, view.h, true}
}

func (r *reader) pageSide(root *node, name string, f frame) (float64, bool) {
	text, ok := root.props[name]
	if l, good := parseLength(text); ok && good && l.u == percent {
		return 0, false
	}
	v, ok := r.declared(root, name, f, across)
	return v, ok && v > 0 && v*mmPerPx <= farthest
}

// fitPage makes the page as large as the drawing, for a file that names no size,
// and moves what lies left of or above the origin onto it.
func (r *reader) fitPage() (width, height float64) {
	extent := artwork.Drawing{Regions: r.out}.Extent()
	if len(r.out) == 0 {
		return fallbackPage.w * mmPerPx, fallbackPage.h * mmPerPx
	}
	move := geom.Translate(max(0, -extent.MinX), max(0, -extent.MinY))
	for i := range r.out {
		r.out[i] = r.out[i].Transform(move)
	}
	return max(extent.MaxX+move.E, 0), max(extent.MaxY+move.F, 0)
}
