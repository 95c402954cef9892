package web

import (
	"math"
	"testing"
)

// A place beside a stone is moved clear of it, one in a bed that is full has nowhere
// to go but where the stone stood that is moved; a row is what stands side by side.
func TestPlacesAndRows(t *testing.T) {
	w := openWindow(t)
	d := w.disc()
	path := "/api/designs/" + d.ID
	w.put(d, map[string]any{"treatment": []any{"rim"}}).is(200)
	l := read[layoutBody](w.send("POST", path+"/layout", map[string]any{}).is(200))
	row := read[rowBody](w.send("GET", path+"/row?stone=3", nil).is(200))
	if len(row.Stones) < 20 || row.Stones[3] != 3 || math.Abs(row.At[3][0]*l.Width-l.Stones.X[3]) > 0.01 {
		t.Errorf("the row of stone 3 is %+v", row)
	}
	near := read[snapBody](w.send("POST", path+"/snap", map[string]any{"region": "disc", "x": l.Stones.X[3] + 0.2, "y": l.Stones.Y[3]}).is(200))
	least := math.Inf(1)
	for i := range l.Stones.X {
		least = math.Min(least, math.Hypot(near.X-l.Stones.X[i], near.Y-l.Stones.Y[i]))
	}
	if pitch := l.Kinds[0].Diameter + l.Regions[0].Gap; !near.Legal || least < pitch-0.002 {
		t.Errorf("the place is %+v, %.3f mm from a stone", near, least)
	}
	own := read[snapBody](w.send("POST", path+"/snap", map[string]any{"region": "disc", "x": l.Stones.X[3], "y": l.Stones.Y[3], "without": 3}).is(200))
	if !own.Legal || math.Hypot(own.X-l.Stones.X[3], own.Y-l.Stones.Y[3]) > 0.06 {
		t.Errorf("the stone's own place is %+v", own)
	}
	w.send("POST", path+"/snap", map[string]any{"region": "moon", "x": 1, "y": 1}).fails(422, "hand-region")
	w.send("POST", path+"/snap", map[string]any{"region": "disc", "x": 1, "y": 1, "size": "SS99"}).fails(422, "size-unknown")
	if far := read[snapBody](w.send("POST", path+"/snap", map[string]any{"region": "disc", "x": -300, "y": 1}).is(200)); far.Legal {
		t.Errorf("a place far away is %+v", far)
	}
}
