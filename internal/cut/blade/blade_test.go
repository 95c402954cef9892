package blade_test

import (
	"math"
	"testing"

	"brushfall/internal/cut"
	"brushfall/internal/cut/blade"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// By the triangle of 3, 4 and 5: a tip on a circle of 1.5 mm that trails by 2 mm
// has its pivot on one of 2.5 mm.
func TestCircleByPythagoras(t *testing.T) {
	p := cut.SheetPlate{Holes: []cut.Circle{{Centre: geom.Point{X: 7, Y: 9}, D: 3}}, Shared: true}
	s := blade.NewHead(blade.Knife{Offset: 2, Overcut: 0.75, Passes: 2}).Plate(p)
	if len(s) != 1 { // no room to align the blade
		t.Fatalf("%d strokes, want the hole alone", len(s))
	}
	if d := s[0].Start.Dist(p.Holes[0].Centre); math.Abs(d-2.5) > 1e-12 {
		t.Errorf("the pivot starts %g mm from the centre, want 2.5", d)
	}
	sweep := 0.0
	for _, m := range s[0].Moves {
		if !m.Arc || m.Centre != p.Holes[0].Centre || math.Abs(m.Sweep) > 2*math.Pi {
			t.Errorf("a hole has the move %+v", m)
		}
		sweep += m.Sweep
	}
	if want := 4*math.Pi + 0.5; math.Abs(sweep-want) > 1e-12 {
		t.Errorf("the pivot goes round by %g, want %g", sweep, want)
	}
}

// Every hole begins where the pivot is ahead of it along the direction in which
// the stroke before ended; so nothing turns in the material.
func TestHolesBeginAligned(t *testing.T) {
	const e = 0.25
	p := cut.SheetPlate{Shared: true}
	for i := range 12 {
		p.Holes = append(p.Holes, cut.Circle{Centre: geom.Point{X: 10 * float64(i), Y: float64(i * i % 7)}, D: 2 + float64(i)/3})
	}
	strokes := blade.NewHead(blade.Knife{Offset: e, Overcut: 0.5}).Plate(p)
	if len(strokes) != 13 {
		t.Fatalf("%d strokes, want a swirl and 12 holes", len(strokes))
	}
	// ahead is the way from tip to pivot on a circle whose pivot is at q.
	ahead := func(q geom.Point, c cut.Circle) geom.Point {
		out := q.Sub(c.Centre)
		turn := -math.Atan2(e, c.D/2)
		sin, cos := math.Sincos(turn)
		tip := geom.Point{X: out.X*cos - out.Y*sin, Y: out.X*sin + out.Y*cos}.Unit().Mul(c.D / 2)
		return out.Sub(tip)
	}
	for i := 1; i < len(p.Holes); i++ {
		before, after := strokes[i], strokes[i+1]
		from := ahead(before.Moves[len(before.Moves)-1].To, p.Holes[i-1])
		to := ahead(after.Start, p.Holes[i])
		if math.Abs(from.Len()-e) > 1e-9 || from.Dist(to) > 1e-9 {
			t.Errorf("hole %d ends with the blade at %v and hole %d begins with it at %v", i, from, i+1, to)
		}
	}
}

// A square by hand: its pivot runs 0.5 mm ahead and swivels by a quarter at each
// corner; a bend of less than the swivel angle has no arc.
func TestCornersByHand(t *testing.T) {
	square := geom.Ring{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 10}, {X: 0, Y: 10}}
	s := blade.NewHead(blade.Knife{Offset: 0.5, Overcut: 2, Swivel: 0.2}).Plate(cut.SheetPlate{Frame: square})
	if len(s) != 1 {
		t.Fatalf("%d strokes", len(s))
	}
	want := []geom.Point{{X: 10.5, Y: 0}, {X: 10, Y: 0.5}, {X: 10, Y: 10.5}, {X: 9.5, Y: 10}, {X: -0.5, Y: 10}, {X: 0, Y: 9.5}, {X: 0, Y: -0.5}, {X: 0.5, Y: 0}, {X: 2.5, Y: 0}}
	if len(s[0].Moves) != len(want) || s[0].Start.Dist(geom.Point{X: 0.5}) > 1e-12 {
		t.Fatalf("the square goes from %v by %+v", s[0].Start, s[0].Moves)
	}
	for i, m := range s[0].Moves {
		if m.To.Dist(want[i]) > 1e-12 || m.Arc != (i%2 == 1) || (m.Arc && math.Abs(m.Sweep-math.Pi/2) > 1e-12) {
			t.Errorf("move %d is %+v, want to %v", i+1, m, want[i])
		}
	}
	bend := cut.SheetPlate{Marks: []geom.Line{{{X: 0}, {X: 10}, {X: 20, Y: 1}}}, Shared: true}
	for _, m := range blade.NewHead(blade.Knife{Offset: 0.5, Swivel: 0.2}).Plate(bend)[0].Moves {
		if m.Arc {
			t.Errorf("a bend of 6° swivels: %+v", m)
		}
	}
}

func TestPlainKnifeFollowsTheOutlines(t *testing.T) {
	p := cut.SheetPlate{Marks: []geom.Line{{{X: 1}, {X: 1}, {X: 5, Y: 2}}, {{X: 3}}}, Frame: geom.Ring{{X: 0}, {X: 9}, {X: 9, Y: 9}}}
	s := blade.NewHead(blade.Knife{Passes: 2}).Plate(p)
	if len(s) != 3 || len(s[0].Moves) != 1 || len(s[2].Moves) != 6 || s[2].Moves[5].To != p.Frame[0] {
		t.Errorf("strokes %+v", s)
	}
}

func TestCheck(t *testing.T) {
	for _, k := range []blade.Knife{{Offset: -1}, {Offset: 2.1}, {Offset: math.NaN()}, {Overcut: 11}, {Swivel: -1}, {Swivel: 4}, {Passes: -1}, {Passes: 11}} {
		if fault.CodeOf(k.Check()) != "cut-option" {
			t.Errorf("%+v passes", k)
		}
	}
	if err := (blade.Knife{Offset: 0.25, Overcut: 0.5, Swivel: 0.3, Passes: 2}).Check(); err != nil {
		t.Error(err)
	}
}
