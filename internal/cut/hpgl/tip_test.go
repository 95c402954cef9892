package hpgl_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"brushfall/internal/cut"
	"brushfall/internal/cut/blade"
	"brushfall/internal/cut/hpgl"
	"brushfall/internal/geom"
)

// What the cut is held to, in mm.
const (
	offRound  = 0.03
	offCorner = 0.04
	offLine   = 0.07 // where a bend below the swivel angle is cut short: offset × angle at most
)

// tip is the tip of a drag knife that trails the head by the offset. While the
// head goes straight on by s, the angle a between the blade and the head's
// direction shrinks by the equation of the tractrix, tan(a/2) → tan(a/2)·exp(−s/e)
// (Huygens's curve; Lawrence, A Catalog of Special Plane Curves, 1972). While
// the blade is up it keeps its direction.
type tip struct{ offset, heading float64 }

// follow gives the tip's way along a stroke, in mm, y down from the sheet's height.
func (t *tip) follow(s stroke, height float64) []geom.Point {
	const step = 0.02
	var way []geom.Point
	here := millimetres(s[0], height)
	mark := func() {
		sin, cos := math.Sincos(t.heading)
		way = append(way, here.Sub(geom.Point{X: cos, Y: sin}.Mul(t.offset)))
	}
	mark()
	for _, q := range s[1:] {
		to := millimetres(q, height)
		along := math.Atan2(to.Y-here.Y, to.X-here.X)
		from, length := here, here.Dist(to)
		n := math.Ceil(length / step)
		for i := 1.0; i <= n; i++ {
			here = from.Lerp(to, i/n)
			a := math.Remainder(t.heading-along, 2*math.Pi)
			t.heading = along + 2*math.Atan(math.Tan(a/2)*math.Exp(-length/n/t.offset))
			mark()
		}
	}
	return way
}

func millimetres(u [2]float64, height float64) geom.Point {
	return geom.Point{X: u[0] / 40, Y: height - u[1]/40}
}

// holesOf is a plate with a hole for every half millimetre from 2 to 9, and a notched frame.
func holesOf() cut.Sheet {
	p := cut.SheetPlate{Plate: 1, Frame: geom.Ring{
		{X: 6.013, Y: 5.021}, {X: 58.007, Y: 5.021}, {X: 60.007, Y: 8.021}, {X: 62.007, Y: 5.021}, {X: 118.3, Y: 5.021}, {X: 118.3, Y: 92.2}, {X: 6.013, Y: 92.2},
	}, Nicks: []geom.Line{{{X: 10.1, Y: 6.1}, {X: 10.1, Y: 7.6}}}}
	for i := range 15 {
		d := 2 + float64(i)/2
		p.Holes = append(p.Holes, cut.Circle{Centre: geom.Point{X: 15.003 + 21.017*float64(i%5), Y: 20.011 + 25.3*float64(i/5)}, D: d})
	}
	return cut.Sheet{Number: 1, Width: 130, Height: 100, Plates: []cut.SheetPlate{p}}
}

// The way of the tip, simulated from the file: circles round, of size and
// closed, corners sharp, whatever way the blade pointed before.
func TestTipCutsWhatIsMeant(t *testing.T) {
	s := holesOf()
	plate := s.Plates[0]
	for _, offset := range []float64{0.1, 0.25, 0.4} {
		for _, arcs := range []bool{false, true} {
			opt := hpgl.Options{Knife: blade.Knife{Offset: offset, Overcut: 0.6, Swivel: 0.25, Passes: 1}, Arcs: arcs}
			all := strokes(t, opt, s)
			var round, size, corner, stray float64
			for turn := range 8 {
				knife := tip{offset, 0.1 + float64(turn)*math.Pi/4}
				knife.follow(all[0], s.Height) // the swirl
				for i, h := range plate.Holes {
					r, d := judgeCircle(t, knife.follow(all[i+1], s.Height), h, opt.Knife.Overcut)
					round, size = math.Max(round, r), math.Max(size, d)
				}
				rest := all[1+len(plate.Holes):]
				if len(rest) != 2 {
					t.Fatalf("%d cuts after the holes, want a nick and the frame", len(rest))
				}
				stray = math.Max(stray, farthest(knife.follow(rest[0], s.Height), plate.Nicks[0]))
				way := knife.follow(rest[1], s.Height)
				frame := append(geom.Line(plate.Frame), plate.Frame[0])
				stray = math.Max(stray, farthest(way, frame))
				for _, c := range plate.Frame {
					corner = math.Max(corner, nearestTo(way, c))
				}
			}
			t.Logf("offset %.2f mm, arcs %v: off round %.4f, diameter off %.4f, corners missed by %.4f, off the straight %.4f mm", offset, arcs, round, size, corner, stray)
			if round > offRound || size > offRound || corner > offCorner || stray > offCorner {
				t.Errorf("offset %.2f, arcs %v: out of bounds", offset, arcs)
			}
		}
	}
}

// judgeCircle gives how far the tip's way leaves the circle and how far the mean
// diameter is off, and checks that it goes all round and on by the overcut.
func judgeCircle(t *testing.T, way []geom.Point, c cut.Circle, overcut float64) (round, size float64) {
	t.Helper()
	sum, swept := 0.0, 0.0
	for i, q := range way {
		d := q.Sub(c.Centre)
		round = math.Max(round, math.Abs(d.Len()-c.D/2))
		sum += d.Len()
		if i > 0 {
			before := way[i-1].Sub(c.Centre)
			swept += math.Atan2(before.Cross(d), before.Dot(d))
		}
	}
	if on := (swept - 2*math.Pi) * c.D / 2; math.Abs(on-overcut) > 0.08 {
		t.Errorf("a circle of %g mm goes on by %.3f mm, want %.1f", c.D, on, overcut)
	}
	return round, math.Abs(2*sum/float64(len(way)) - c.D)
}

func farthest(way []geom.Point, line geom.Line) float64 {
	worst := 0.0
	for _, p := range way {
		best := math.Inf(1)
		for i := 1; i < len(line); i++ {
			a, ab := line[i-1], line[i].Sub(line[i-1])
			u := math.Max(0, math.Min(1, p.Sub(a).Dot(ab)/ab.Len2()))
			best = math.Min(best, p.Dist(a.Add(ab.Mul(u))))
		}
		worst = math.Max(worst, best)
	}
	return worst
}

func nearestTo(way []geom.Point, p geom.Point) float64 {
	best := math.Inf(1)
	for _, q := range way {
		best = math.Min(best, p.Dist(q))
	}
	return best
}

// Without compensation the same knife cuts circles too small by what Pythagoras
// says, 2·(r − √(r² − e²)), and eggs where it came from elsewhere.
func TestTipWithoutCompensation(t *testing.T) {
	const offset = 0.25
	s := holesOf()
	s.Plates[0].Holes = s.Plates[0].Holes[2:3] // 3 mm
	all := strokes(t, hpgl.Options{Knife: blade.Knife{Passes: 4}, ChordTolerance: 0.002}, s)
	knife := tip{offset, 0}
	way := knife.follow(all[0], s.Height)
	last := way[len(way)-1].Dist(s.Plates[0].Holes[0].Centre)
	if want := math.Sqrt(1.5*1.5 - offset*offset); math.Abs(last-want) > 0.015 {
		t.Errorf("the tip ends on a radius of %.4f mm, want %.4f", last, want)
	}
	if round := farthestFrom(way, s.Plates[0].Holes[0]); round < 5*offRound {
		t.Errorf("the tip is only %.3f mm off the circle", round)
	}
}

func farthestFrom(way []geom.Point, c cut.Circle) float64 {
	worst := 0.0
	for _, q := range way {
		worst = math.Max(worst, math.Abs(q.Dist(c.Centre)-c.D/2))
	}
	return worst
}

// Passes go round and round; an open cut is made anew each time.
func TestPassesSpeedForceAndTool(t *testing.T) {
	s := holesOf()
	for _, offset := range []float64{0, 0.25} {
		once := strokes(t, hpgl.Options{Knife: blade.Knife{Offset: offset}}, s)
		opt := hpgl.Options{Knife: blade.Knife{Offset: offset, Passes: 3}, Speed: 45, Force: 80, Tool: 2}
		thrice := strokes(t, opt, s)
		nick := len(once) - 2
		if len(thrice) != len(once)+2 {
			t.Fatalf("%d strokes, once there are %d, with one nick", len(thrice), len(once))
		}
		swirl := 0
		if offset > 0 {
			swirl = 1
		}
		for i := swirl; i < nick; i++ {
			if got, want := length(thrice[i]), 3*length(once[i]); math.Abs(got-want) > 0.3 {
				t.Errorf("hole %d: %.2f mm, want three times %.2f", i, got, want/3)
			}
		}
		if want := "IN;\nSP2;\nVS4.5;\nFS80;\n"; write(t, opt, s)[:len(want)] != want {
			t.Errorf("the file begins %q, want %q", write(t, opt, s)[:30], want)
		}
	}
}

// Any line, with corners of any angle to either side: the tip meets every corner
// and leaves the line by no more than at the frame's.
func TestTipFollowsAnyLine(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(2, 7).Draw(r, "n")
		line := geom.Line{{X: 60, Y: 50}}
		for i := range n {
			angle := rapid.Float64Range(-math.Pi, math.Pi).Draw(r, "angle")
			sin, cos := math.Sincos(angle)
			step := geom.Point{X: cos, Y: sin}.Mul(rapid.Float64Range(1.5, 7).Draw(r, "length"))
			line = append(line, line[i].Add(step))
		}
		s := cut.Sheet{Number: 1, Width: 130, Height: 100, Plates: []cut.SheetPlate{{
			Holes: []cut.Circle{{Centre: geom.Point{X: 10, Y: 10}, D: 3}}, Marks: []geom.Line{line}, Shared: true,
		}}}
		all := strokes(t, hpgl.Options{Knife: blade.Knife{Offset: 0.25, Swivel: 0.25}}, s)
		knife := tip{0.25, rapid.Float64Range(-3, 3).Draw(r, "heading")}
		knife.follow(all[0], s.Height)
		knife.follow(all[1], s.Height)
		way := knife.follow(all[2], s.Height)
		if off := farthest(way, line); off > offLine {
			r.Fatalf("the tip leaves the line by %.4f mm", off)
		}
		for _, c := range line {
			if missed := nearestTo(way, c); missed > offLine {
				r.Fatalf("the tip misses a corner by %.4f mm", missed)
			}
		}
	})
}

// Wherever the blade points to begin with, to a quarter of a degree, the swirl
// brings it round, also in the smallest hole that has room for it.
func TestSwirlFromEverywhere(t *testing.T) {
	for _, d := range []float64{1.25, 2, 3.3} {
		s := cut.Sheet{Number: 1, Width: 30, Height: 30, Plates: []cut.SheetPlate{{
			Holes: []cut.Circle{{Centre: geom.Point{X: 10, Y: 10}, D: d}}, Shared: true,
		}}}
		all := strokes(t, hpgl.Options{Knife: blade.Knife{Offset: 0.25, Overcut: 0.5}}, s)
		if len(all) != 2 {
			t.Fatalf("%d strokes, want a swirl and a hole", len(all))
		}
		worst := 0.0
		for quarter := range 1440 {
			knife := tip{0.25, float64(quarter) / 4 * math.Pi / 180}
			for _, p := range knife.follow(all[0], s.Height) {
				if p.Dist(geom.Point{X: 10, Y: 10}) > d/2 {
					t.Fatalf("the swirl leaves the scrap of a hole of %g mm", d)
				}
			}
			worst = math.Max(worst, farthestFrom(knife.follow(all[1], s.Height), s.Plates[0].Holes[0]))
		}
		t.Logf("hole of %.2f mm: off round by %.4f mm at worst", d, worst)
		if worst > offRound {
			t.Errorf("a hole of %g mm is off round by %.4f mm", d, worst)
		}
	}
}
