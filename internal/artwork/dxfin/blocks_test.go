package dxfin_test

import (
	"math"
	"reflect"
	"testing"

	"brushfall/internal/artwork/dxfin"
)

// Worked by hand: what an entity takes from its block's INSERT.
func TestLayerAndColourInBlocks(t *testing.T) {
	layers := section("TABLES", groups(0, "TABLE", 2, "LAYER"),
		groups(0, "LAYER", 2, "RED", 70, 0, 62, 1), groups(0, "LAYER", 2, "GREEN", 70, 0, 62, 3),
		groups(0, "LAYER", 2, "OFF", 70, 0, 62, -5), groups(0, "LAYER", 2, "FROZEN", 70, 1, 62, 5), groups(0, "ENDTAB"))
	blocks := section("BLOCKS", block("two",
		circle(0, 0, 5, 8, "0"),              // the insert's layer and that layer's colour
		circle(20, 0, 5, 8, "GREEN"),         // its own
		circle(40, 0, 5, 8, "GREEN", 62, 0),  // the insert's colour
		circle(60, 0, 5, 8, "0", 420, 66051), // its own true colour, 0x010203
	))
	for _, c := range []struct {
		insert string
		paints []string
		layers []string
		warns  int
	}{
		{insert("TWO", 0, 0, 8, "RED"), []string{"#ff0000", "#00ff00", "#ff0000", "#010203"}, []string{"RED", "GREEN", "GREEN", "RED"}, 0},
		{insert("TWO", 0, 0, 8, "RED", 62, 6), []string{"#ff0000", "#00ff00", "#ff00ff", "#010203"}, []string{"RED", "GREEN", "GREEN", "RED"}, 0},
		{insert("TWO", 0, 0, 8, "OFF"), []string{"#00ff00", "#0000ff"}, []string{"GREEN", "GREEN"}, 1},
		{insert("TWO", 0, 0, 8, "FROZEN") + circle(0, 0, 1), []string{"#000000"}, []string{"0"}, 1},
	} {
		text := section("HEADER", groups(9, "$INSUNITS", 70, 4)) + layers + blocks + section("ENTITIES", c.insert) + groups(0, "EOF")
		d := mustRead(t, text, dxfin.Options{})
		var paints, names []string
		for _, r := range d.Regions {
			paints, names = append(paints, r.Paint), append(names, r.Layer)
		}
		if !reflect.DeepEqual(paints, c.paints) || !reflect.DeepEqual(names, c.layers) || len(d.Warnings) != c.warns {
			t.Errorf("%v on %v with %v, want %v on %v with %d warnings", paints, names, d.Warnings, c.paints, c.layers, c.warns)
		}
	}
}

// Blocks are the groups of what they hold, outermost first.
func TestBlocksAreGroups(t *testing.T) {
	text := withBlocks([]string{block("Outer", insert("inner", 0, 0)), block("Inner", circle(0, 0, 5))}, insert("OUTER", 0, 0))
	d := mustRead(t, text, dxfin.Options{})
	if want := []string{"Outer", "Inner"}; !reflect.DeepEqual(d.Regions[0].Groups, want) {
		t.Errorf("groups %v, want %v", d.Regions[0].Groups, want)
	}
}

// Worked by hand: base point (2, 1), scale 2 × 3, a quarter turn to the left,
// insertion at (10, 20). The point (4, 2) goes to (2, 1), (4, 3), (−3, 4), (7, 24).
func TestInsertByHand(t *testing.T) {
	b := groups(0, "BLOCK", 8, "0", 2, "B", 70, 0, 10, 2, 20, 1) + line(4, 2, 2, 1) + groups(0, "ENDBLK")
	text := withBlocks([]string{b}, insert("B", 10, 20, 41, 2, 42, 3, 50, 90), line(0, 0, 0, 30, 8, "FRAME"))
	d := mustRead(t, text, dxfin.Options{})
	got := d.Regions[0].Lines[0] // the extent is 0 to 10 and 0 to 30, so y is 30 less
	for i, want := range [][2]float64{{7, 6}, {10, 10}} {
		if math.Hypot(got[i].X-want[0], got[i].Y-want[1]) > 1e-9 {
			t.Errorf("point %d lies at %v, want %v", i, got[i], want)
		}
	}
}

func TestLeftOut(t *testing.T) {
	keep := circle(0, 0, 5)
	for _, c := range []struct{ code, says, text string }{
		{"dxf-invisible", "line 23, CIRCLE C1", drawing(keep, circle(9, 9, 1, 5, "C1", 60, 1))},
		{"dxf-paper", "paper space", drawing(keep, circle(9, 9, 1, 67, 1))},
		{"dxf-nothing", "no length", drawing(keep, line(1, 1, 1, 1))},
		{"dxf-nothing", "no length", drawing(keep, circle(1, 1, 0))},
		{"dxf-nothing", "scaled to nothing", withBlocks([]string{block("a", circle(0, 0, 1))}, keep, insert("a", 0, 0, 41, 0, 42, 0))},
		{"dxf-block", `"gone"`, drawing(keep, insert("gone", 0, 0))},
		{"dxf-3d", "tilted", drawing(keep, circle(9, 9, 1, 210, 1, 220, 0, 230, 0))},
		{"dxf-3d", "polyline", drawing(keep, groups(0, "POLYLINE", 70, 64), groups(0, "VERTEX", 10, 0, 20, 0), groups(0, "SEQEND"))},
		{"dxf-unread", "explode", drawing(keep, groups(0, "WINDMILL"))},
		{"dxf-width", "middle line", drawing(keep, groups(0, "LWPOLYLINE", 90, 2, 70, 0, 43, 2, 10, 20, 20, 0, 10, 30, 20, 0))},
		{"dxf-flattened", "above", drawing(keep, groups(0, "LINE", 10, 20, 20, 0, 30, 0, 11, 30, 21, 0, 31, 4))},
	} {
		if d := mustRead(t, c.text, dxfin.Options{}); !warned(d, c.code, c.says) {
			t.Errorf("%v, want the code %s and %q", d.Warnings, c.code, c.says)
		}
	}
}

// A polyline that a program has smoothed by splines holds its control points too;
// they are not on the line (vertex flag 16).
func TestControlPointsAreNotOnTheLine(t *testing.T) {
	vertex := func(x, y float64, flags int) string {
		return groups(0, "VERTEX", 10, x, 20, y, 70, flags)
	}
	d := mustRead(t, drawing(groups(0, "POLYLINE", 66, 1, 70, 4), vertex(0, 99, 16), vertex(0, 0, 8), vertex(5, 1, 8), vertex(10, 0, 8), groups(0, "SEQEND")), dxfin.Options{})
	if d.Height > 1.001 || d.Width != 10 {
		t.Errorf("the line is %g × %g, want 10 × 1", d.Width, d.Height)
	}
}
