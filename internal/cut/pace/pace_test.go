package pace_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"brushfall/internal/cut"
	"brushfall/internal/cut/cuttest"
	"brushfall/internal/cut/pace"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// The worked example of docs/formats/cut.md: a 3.3 mm hole, 3.8 mm on to the next.
func TestWorkedExample(t *testing.T) {
	hole := func(x float64) cut.Circle { return cut.Circle{Centre: geom.Point{X: x - 1.65, Y: 0}, D: 3.3} }
	m := pace.Machine{Cut: 50, Travel: 300, Acceleration: 1000, Lift: 0.1}
	time := func(holes ...cut.Circle) pace.Estimate {
		return pace.Of(cut.Sheet{Plates: []cut.SheetPlate{{Holes: holes, Shared: true}}}, m, pace.Work{})
	}
	// From the corner to the start and back takes no time where it lies there.
	one := time(hole(0))
	near(t, "a hole", one.Moving, 0.2959)
	// Two: once more 0.2959 s, and twice the 0.1233 s of 3.8 mm, there and back.
	two := time(hole(0), hole(3.8))
	near(t, "two holes", two.Moving, 2*0.2959+2*0.1233)
	near(t, "their lifts", two.Lifts, 0.2)
}

// By hand, v = √(2as) and so on (schoolbook kinematics): a straight cut of 100 mm
// at 50 mm/s and 1000 mm/s² takes 100/50 + 50/1000 s; one of 1 mm never gets
// fast, 2·√(1/1000) s. Turning back at the end of 100 mm costs a full stop.
func TestLines(t *testing.T) {
	m := pace.Machine{Cut: 50, Travel: 1000, Acceleration: 1000, Lift: 0.1}
	time := func(l geom.Line, passes int) float64 {
		back := 2 * math.Sqrt(l[len(l)-1].Dist(l[0])/1000)
		got := pace.Of(cut.Sheet{Plates: []cut.SheetPlate{{Marks: []geom.Line{l}, Shared: true}}}, m, pace.Work{Passes: passes})
		return got.Moving - float64(passes)*back
	}
	a, b, c := geom.Point{}, geom.Point{X: 100}, geom.Point{X: 50}
	near(t, "100 mm", time(geom.Line{a, b}, 1), 2.05)
	near(t, "100 mm twice", time(geom.Line{a, b}, 2), 4.10)
	near(t, "1 mm", time(geom.Line{a, {X: 1}}, 1), 2*math.Sqrt(0.001))
	near(t, "straight on", time(geom.Line{a, c, b}, 1), 2.05)
	near(t, "and back", time(geom.Line{a, b, c}, 1), 2.05+1.05)
	// A right corner: half = √½, v = √(1000·0.02·0.7071/0.2929) = 6.9487 mm/s, at which
	// the two slow-downs take 2·(50 + 43.0513)/1000 s over 2·(1.25 + 1.2259) mm, the
	// rest 2·97.5241/50 s; the ways there and back are 100 mm each.
	got := pace.Of(cut.Sheet{Height: 0, Plates: []cut.SheetPlate{{Marks: []geom.Line{{{Y: -100}, {}, {X: 100}}}, Shared: true}}}, m, pace.Work{})
	near(t, "a right corner", got.Moving, 4.0871+2*2*math.Sqrt(0.1))
}

// More speed never takes longer, and more passes take longer.
func TestFasterIsSooner(t *testing.T) {
	doc := cuttest.Badge()
	sheets, err := cut.Plan(doc, cut.Options{})
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		speed := rapid.Float64Range(1, 500)
		m := pace.Machine{Cut: speed.Draw(t, "cut"), Travel: speed.Draw(t, "travel"), Acceleration: 10 * speed.Draw(t, "a"), Lift: 0.1}
		slow := pace.Of(sheets[0], m, pace.Work{})
		for _, faster := range []pace.Machine{
			{m.Cut * 2, m.Travel, m.Acceleration, m.Lift}, {m.Cut, m.Travel * 2, m.Acceleration, m.Lift}, {m.Cut, m.Travel, m.Acceleration * 2, m.Lift},
		} {
			if got := pace.Of(sheets[0], faster, pace.Work{}); got.Total() > slow.Total()+1e-9 || !(got.Moving > 0) {
				t.Fatalf("%+v takes %g s, %+v %g", faster, got.Total(), m, slow.Total())
			}
		}
		if twice := pace.Of(sheets[0], m, pace.Work{Passes: 2, Overcut: 1}); twice.Moving <= slow.Moving {
			t.Fatalf("two passes take %g s, one %g", twice.Moving, slow.Moving)
		}
	})
}

// Cramer's rule by hand: 200a + 100b = 340 and 300a + 50b = 420 give a = 1.25, b = 0.9.
func TestCalibrate(t *testing.T) {
	got, err := pace.Calibrate([]pace.Timing{{200, 100, 340}, {300, 50, 420}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "moving", got.Moving, 1.25)
	near(t, "lifts", got.Lifts, 0.9)
	e := pace.Estimate{Moving: 100, Lifts: 40, Cuts: 400}.Scaled(got)
	near(t, "scaled", e.Total(), 161)
	for _, bad := range [][]pace.Timing{
		nil,
		{{200, 100, 340}},
		{{200, 100, 340}, {400, 200, 700}},
		{{200, 100, 340}, {0, 50, 420}},
		{{200, 100, 340}, {300, 50, -1}},
		{{200, 100, 340}, {300, 50, math.NaN()}},
		{{200, 100, 20}, {300, 50, 420}},
		{{200, 100, 6000}, {300, 50, 9000}},
	} {
		if s, err := pace.Calibrate(bad); fault.CodeOf(err) != "cut-timing" {
			t.Errorf("%v gives %v, %v", bad, s, err)
		}
	}
}

func TestCheck(t *testing.T) {
	if err := pace.Usual().Check(); err != nil {
		t.Error(err)
	}
	for _, m := range []pace.Machine{{}, {Cut: math.NaN(), Travel: 1, Acceleration: 1, Lift: 1}, {Cut: 1, Travel: 1, Acceleration: 1, Lift: 11}} {
		if fault.CodeOf(m.Check()) != "cut-option" {
			t.Errorf("%+v passes", m)
		}
	}
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 0.0002 {
		t.Errorf("%s: %.4f, want %.4f", what, got, want)
	}
}
