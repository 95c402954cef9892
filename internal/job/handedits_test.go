package job

import (
	"math"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/layout"
)

// Two squares beside each other: an edit in one is mirrored into the other, one on the
// middle has no other side, and twice mirrored is where it was.
func TestEditsAreMirrored(t *testing.T) {
	square := func(id string, x float64) design.Region {
		return design.Region{ID: id, Size: "SS10", Gap: 0.9, Pitch: 3.8, Rings: [][][2]float64{{{x, 0}, {x + 40, 0}, {x + 40, 40}, {x, 40}}}}
	}
	doc := design.Document{Width: 100, Height: 40, Regions: []design.Region{square("left", 0), square("right", 60)}}
	e := HandEdit{Act: layout.ActMove, Region: "left", At: Spot{0.2, 0.3}, To: Spot{0.25, 0.5}}
	m, ok := Mirrored(doc, e)
	if !ok || m.Region != "right" || m.At != (Spot{0.8, 0.3}) || m.To != (Spot{0.75, 0.5}) {
		t.Errorf("the other side is %+v, %v", m, ok)
	}
	if back, ok := Mirrored(doc, m); !ok || back.Region != e.Region || math.Abs(back.At[0]-e.At[0]) > 1e-9 {
		t.Errorf("mirrored twice it is %+v", back)
	}
	if m, ok := Mirrored(doc, HandEdit{Act: layout.ActAdd, Region: "left", At: Spot{0.5, 0.5}}); ok {
		t.Errorf("on the middle it is %+v", m)
	}
}
