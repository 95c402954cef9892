package inspect

import (
	"math"
	"testing"

	"brushfall/internal/design"
)

// full gives a bed of seven stones, one in the middle and six around it, in a
// hexagon-like disc that holds no eighth: the best known packing of seven equal
// discs in a circle (radius 3 times theirs; Packomania).
func full(t *testing.T) (design.Document, design.Region) {
	doc, r := bed(t)
	// Pitch / 2 is the radius of those discs; a stone's edge may lie half a gap
	// nearer to the outline.
	radius := 3*r.Pitch/2 - r.Gap/2 + 1e-3
	doc.Regions[0].Rings = [][][2]float64{wavy(radius, 0, 1, 4000)}
	put(&doc, r, design.RoleBed, 1, 0, 0)
	for i := range 6 {
		sin, cos := math.Sincos(math.Pi / 3 * float64(i))
		put(&doc, r, design.RoleBed, 1, r.Pitch*cos, r.Pitch*sin)
	}
	return doc, doc.Regions[0]
}

// A stone that is taken out leaves room for one, unless its place is left free;
// one left free elsewhere, or for a much smaller stone, does not answer for it.
func TestRoomThatIsLeftFree(t *testing.T) {
	doc, r := full(t)
	rooms := func(left ...design.Left) int {
		doc.Regions[0].Left = left
		n := 0
		for _, f := range InspectStones(doc) {
			if f.ID != Room {
				t.Fatal(f)
			}
			n++
		}
		return n
	}
	if n := rooms(); n != 0 {
		t.Fatalf("%d rooms in the full disc", n)
	}
	doc.Stones = doc.Stones[1:]
	for _, c := range []struct {
		left []design.Left
		want int
	}{
		{nil, 1},
		{[]design.Left{{X: 0, Y: 0, Size: "SS10"}}, 0},
		{[]design.Left{{X: 0.5, Y: 0.2, Size: "SS10"}}, 0},
		{[]design.Left{{X: r.Pitch, Y: 0, Size: "SS10"}}, 1},
	} {
		if n := rooms(c.left...); n != c.want {
			t.Errorf("left free at %v: %d rooms, want %d", c.left, n, c.want)
		}
	}
	// Two stones are gone, one place is left free.
	doc.Stones = doc.Stones[1:]
	if n := rooms(design.Left{Size: "SS10"}); n != 1 {
		t.Errorf("%d rooms beside the place left free, want 1", n)
	}
}

// A place left free that is none is told and answers for nothing.
func TestLeftFreeNowhere(t *testing.T) {
	doc, _ := full(t)
	for _, l := range []design.Left{{X: math.NaN(), Size: "SS10"}, {Size: "SS11"}, {X: 1e9, Size: "SS10"}} {
		doc.Regions[0].Left = []design.Left{l}
		found := InspectStones(doc)
		if len(found) != 1 || found[0].ID != Value {
			t.Errorf("%v gives %v", l, found)
		}
	}
}
