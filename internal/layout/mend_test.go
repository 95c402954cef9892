package layout

import (
	"math"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// limping gives a square whose rim is set with a stone in each corner, and whose
// upper side has one step wider than the others by all that they have to spare.
func limping(t *testing.T) (s *site, side []int) {
	t.Helper()
	const width, diameter, gap = 46.5, 2.9, 0.9
	square := geom.Fill([]geom.Ring{{{}, {X: width}, {X: width, Y: width}, {Y: width}}}, geom.EvenOdd)
	s = newSite(Region{Shape: square, Size: "SS10", Diameter: diameter, Gap: gap}, nil, nil)
	s.setRim(nil)
	for id, p := range s.pieces {
		if math.Abs(p.at.Y-diameter/2) < 1e-3 && p.at.X > diameter/2+1e-3 && p.at.X < width-diameter/2-1e-3 {
			side = append(side, id)
		}
	}
	for k, id := range side {
		s.move(id, geom.Point{X: diameter/2 + float64(k+1)*(s.pitch+slack), Y: diameter / 2})
	}
	return s, side
}

// ratio gives the largest ÷ smallest step along the upper side of the square.
func ratio(s *site) float64 {
	least, most := math.Inf(1), 0.0
	for id, p := range s.pieces {
		if math.Abs(p.at.Y-s.depth) > 1e-3 {
			continue
		}
		right := math.Inf(1)
		for other, q := range s.pieces {
			if other != id && math.Abs(q.at.Y-s.depth) < 1e-3 && q.at.X > p.at.X {
				right = math.Min(right, q.at.X-p.at.X)
			}
		}
		if !math.IsInf(right, 1) {
			least, most = math.Min(least, right), math.Max(most, right)
		}
	}
	return most / least
}

// A step that limps is shared out between the corners, which keep their stones;
// where a stone stands in the way, the row still comes out better, and legal.
func TestMendSharesOutAWideStep(t *testing.T) {
	s, side := limping(t)
	if len(side) < 6 || ratio(s) < 1.1 {
		t.Fatalf("%d stones, ratio %.3f: the row does not limp", len(side), ratio(s))
	}
	s.mendRims()
	if r := ratio(s); r > 1.0001 {
		t.Errorf("steps differ by %.4f after mending", r)
	}
	for _, c := range []geom.Point{{X: 1.45, Y: 1.45}, {X: 45.05, Y: 1.45}, {X: 45.05, Y: 45.05}, {X: 1.45, Y: 45.05}} {
		if !s.standsAt(c) {
			t.Errorf("the corner %v lost its stone", c)
		}
	}
	s, side = limping(t)
	before := ratio(s)
	s.put(geom.Point{X: s.pieces[side[3]].at.X - 0.1, Y: s.depth + s.pitch + 0.001}, design.RoleSpine)
	s.mendRims()
	if r := ratio(s); r >= before {
		t.Errorf("beside another stone steps differ by %.4f, before by %.4f", r, before)
	}
	for id, p := range s.pieces {
		if !s.clearOfOwn(p.at, id) {
			t.Errorf("the stone at %v is too near to another", p.at)
		}
	}
}

// In a stroke wide enough for a staggered pair the stones stand alternately, all
// steps about alike: no pair stands closer than the way to the next.
func TestWeaveStepsAreAlike(t *testing.T) {
	const pitch = 3.8
	for _, room := range []float64{0.32, 0.4, 0.45, 0.49} { // from the middle to either side, in pitches
		w := weave{pitch: pitch, track: newTrack([]geom.Point{{}, {X: 60}, {X: 120}}, false)}
		sway := math.Min(room, weaveMost) * pitch
		w.sway = []float64{sway, sway, sway}
		row := w.row(0, 120, false)
		least, most := math.Inf(1), 0.0
		for i, p := range row[2 : len(row)-2] {
			d := p.Dist(row[i+1])
			least, most = math.Min(least, d), math.Max(most, d)
		}
		if len(row) < 30 || least < pitch || most/least > 1.05 {
			t.Errorf("room %.2f: %d stones, steps from %.3f to %.3f", room, len(row), least, most)
		}
	}
}
