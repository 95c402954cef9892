package lettering

import (
	"fmt"
	"math"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"

	"brushfall/internal/geom"
)

// mostSegments bounds the outline of one letter: ornate ones have a few thousand.
const mostSegments = 100_000

// outlineOf flattens the contours of a glyph, in ems, y down from the base line; tol
// is the chord error in ems. A glyph without contours has none. An error is for one
// that has no outline in the file: a picture, or a damaged glyph.
func outlineOf(face *font.Face, id font.GID, tol float64) ([]geom.Ring, error) {
	var drawn font.GlyphOutline
	ok := false
	err := guarded(func() error {
		drawn, ok = drawingOf(face.GlyphData(id))
		return nil
	})
	if err != nil || !ok || len(drawn.Segments) > mostSegments {
		return nil, fmt.Errorf("a letter of it has no outline")
	}
	em := float64(face.Upem())
	at := func(p opentype.SegmentPoint) geom.Point {
		return geom.Point{X: float64(p.X) / em, Y: -float64(p.Y) / em}
	}
	rings, ok := Contours(drawn.Segments, at, tol)
	if !ok {
		return nil, fmt.Errorf("a letter of it has no outline")
	}
	return rings, nil
}

// Contours flattens the contours of a glyph with the chord error tol. at brings its
// points to the axes and unit that tol and the rings are in. It says whether all of
// them are places; contours of fewer than three points are left out.
func Contours(segments []opentype.Segment, at func(opentype.SegmentPoint) geom.Point, tol float64) (rings []geom.Ring, ok bool) {
	var ring geom.Ring
	var last geom.Point
	end := func() {
		if len(ring) > 2 {
			rings = append(rings, ring)
		}
		ring = nil
	}
	for _, s := range segments {
		a := s.ArgsSlice()
		to := at(a[len(a)-1])
		if math.IsNaN(to.X + to.Y) {
			return nil, false
		}
		switch s.Op {
		case opentype.SegmentOpMoveTo:
			end()
			ring = geom.Ring{to}
		case opentype.SegmentOpLineTo:
			ring = append(ring, to)
		case opentype.SegmentOpQuadTo:
			ring = geom.FlattenQuad(ring, last, at(a[0]), to, tol)
		case opentype.SegmentOpCubeTo:
			ring = geom.FlattenCubic(ring, last, at(a[0]), at(a[1]), to, tol)
		}
		last = to
	}
	end()
	return rings, true
}

// drawingOf gives the outline of a glyph, also of one that has a picture besides.
func drawingOf(data font.GlyphData) (font.GlyphOutline, bool) {
	switch g := data.(type) {
	case font.GlyphOutline:
		return g, true
	case font.GlyphSVG:
		return g.Outline, true
	case font.GlyphBitmap:
		if g.Outline != nil {
			return *g.Outline, true
		}
	}
	return font.GlyphOutline{}, false
}
