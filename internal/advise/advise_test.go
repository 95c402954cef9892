package advise

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"testing"

	"brushfall/internal/artwork"
	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// slab gives a rectangle with its corner at x, y.
func slab(x, y, w, h float64) geom.Shape {
	return geom.Shape{Rings: []geom.Ring{{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}}}
}

// disc gives a circle as a polygon of 0.01 mm or better.
func disc(x, y, r float64) geom.Shape {
	var ring geom.Ring
	for i := range 180 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 180)
		ring = append(ring, geom.Point{X: x + r*cos, Y: y + r*sin})
	}
	return geom.Shape{Rings: []geom.Ring{ring}}
}

// drawing makes a drawing of areas of one paint; their names are a, b, c.
func drawing(shapes ...geom.Shape) artwork.Drawing {
	var d artwork.Drawing
	for i, s := range shapes {
		d.Regions = append(d.Regions, artwork.Region{ID: string(rune('a' + i)), Paint: "#1f4e79", Shape: s})
	}
	box := d.Extent()
	d.Width, d.Height = box.MaxX, box.MaxY
	return d
}

func sizeOf(t *testing.T, name string) catalogue.Size {
	t.Helper()
	s, err := catalogue.FindSize(name)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// ask gives the advice on a drawing at its own size.
func ask(t *testing.T, d artwork.Drawing, sizes ...string) Report {
	t.Helper()
	return askAt(t, d, d.Extent().Width(), sizes...)
}

func askAt(t *testing.T, d artwork.Drawing, width float64, sizes ...string) Report {
	t.Helper()
	opt := Options{Width: width, Web: catalogue.Web}
	for _, s := range sizes {
		opt.Sizes = append(opt.Sizes, sizeOf(t, s))
	}
	r, err := Run(t.Context(), d, opt, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// near fails unless the figure is within 1 % of the one that was drawn.
func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 0.01*want) {
		t.Errorf("%s: %.3f mm, drawn with %g mm", what, got, want)
	}
}

func TestBarsHaveTheirWidths(t *testing.T) {
	for _, w := range []float64{1, 2, 4, 8} {
		d := drawing(slab(0, 0, 80, w), slab(0, 20, 80, 12))
		a, err := newAdviser(t.Context(), d, Options{Width: 80, Web: catalogue.Web})
		if err != nil {
			t.Fatal(err)
		}
		thin := a.thinnest
		near(t, fmt.Sprintf("bar of %g mm", w), thin.Width, w)
		if thin.Region != "a" || thin.Y > w || len(a.tips) != 0 {
			t.Errorf("bar of %g mm: found in %+v, with %d pointed ends", w, *thin, len(a.tips))
		}
	}
}

func TestGapsHaveTheirWidths(t *testing.T) {
	for _, g := range []float64{0.5, 1, 2} {
		slot := geom.Subtract(slab(0, 0, 60, 30), slab(20, 10, 50, g))
		hole := geom.Subtract(slab(0, 0, 60, 30), disc(30, 15, g/2))
		cases := []struct {
			name  string
			d     artwork.Drawing
			other string
		}{
			{"between bars", drawing(slab(0, 0, 60, 6), slab(0, 6+g, 60, 6)), "b"},
			{"between a bar and a disc", drawing(slab(0, 0, 60, 6), disc(30, 6+g+8, 8)), "b"},
			{"slot", drawing(slot), "a"},
			{"hole", drawing(hole), "a"},
		}
		for _, c := range cases {
			gaps := gapsOf(c.d, newSides(c.d))
			if len(gaps) == 0 {
				t.Errorf("%s of %g mm: none found", c.name, g)
				continue
			}
			near(t, fmt.Sprintf("%s of %g mm", c.name, g), gaps[0].Width, g)
			if gaps[0].Region != "a" || gaps[0].Other != c.other {
				t.Errorf("%s of %g mm: found between %s and %s", c.name, g, gaps[0].Region, gaps[0].Other)
			}
		}
	}
}

// What touches has no gap, nor has an area alone; a field around them is none.
func TestNoGap(t *testing.T) {
	for name, d := range map[string]artwork.Drawing{
		"one bar":            drawing(slab(0, 0, 60, 6)),
		"touching bars":      drawing(slab(0, 0, 60, 6), slab(0, 6, 60, 6)),
		"a corner":           drawing(geom.Subtract(slab(0, 0, 60, 60), slab(30, 30, 40, 40))),
		"bars 40 mm apart":   drawing(slab(0, 0, 60, 6), slab(0, 46, 60, 6)),
		"one bar and a line": {Regions: []artwork.Region{{ID: "l", Lines: []geom.Line{{{X: 0, Y: 0}, {X: 60, Y: 1}}}}}},
	} {
		if gaps := gapsOf(d, newSides(d)); len(gaps) != 0 {
			t.Errorf("%s: %+v", name, gaps[0].Gap)
		}
	}
}

// Pointed ends are told apart from strokes.
func TestPointedEnds(t *testing.T) {
	polygon := func(xy ...float64) geom.Shape {
		var r geom.Ring
		for i := 0; i < len(xy); i += 2 {
			r = append(r, geom.Point{X: xy[i], Y: xy[i+1]})
		}
		return geom.Fill([]geom.Ring{r}, geom.NonZero)
	}
	cases := []struct {
		name    string
		shape   geom.Shape
		least   float64 // bounds of the thinnest stroke, in mm
		most    float64
		pointed int
	}{
		{"picket: a bar with a point", polygon(0, 0, 60, 0, 72, 3, 60, 6, 0, 6), 5.9, 6.1, 1},
		{"swelling stroke, sharp at both ends", polygon(0, 5, 20, 3, 40, 5, 20, 7), 1.8, 3.9, 2},
		{"hair on a disc", geom.Union(disc(20, 20, 15), slab(30, 19.5, 40, 1)), 0.99, 1.01, 0},
		{"hourglass", polygon(0, 0, 20, 8, 40, 0, 40, 20, 20, 12, 0, 20), 3.9, 4.1, 0},
		{"long thorn on a disc", geom.Union(disc(20, 20, 15), polygon(30, 19, 80, 20, 30, 21)), 0.5, 1.5, 1},
	}
	for _, c := range cases {
		d := drawing(c.shape)
		a, err := newAdviser(t.Context(), d, Options{Width: d.Extent().Width(), Web: catalogue.Web})
		if err != nil {
			t.Fatal(err)
		}
		if w := a.thinnest.Width; w < c.least || w > c.most {
			t.Errorf("%s: thinnest stroke %.2f mm, want %g to %g", c.name, w, c.least, c.most)
		}
		if len(a.tips) != c.pointed {
			t.Errorf("%s: pointed ends %+v, want %d", c.name, a.tips, c.pointed)
		}
	}
}

// SS10: 2.7 to 2.9 mm (common practice), a hole of 3.3 mm and a web of 0.5 mm make
// a pitch of 3.8 mm.
func TestRowsByHand(t *testing.T) {
	size := sizeOf(t, "SS10")
	for _, c := range []struct {
		width float64
		rows  int
	}{{0, 0}, {2.7, 0}, {2.81, 1}, {4, 1}, {6.6, 1}, {6.8, 2}, {10.4, 2}, {10.6, 3}} {
		if got := rowsIn(c.width, size, catalogue.Web); got != c.rows {
			t.Errorf("%g mm: %d rows, want %d", c.width, got, c.rows)
		}
	}
}

// The disc between three that touch is 0.1547 times as wide as they are: 2/√3 − 1
// (Descartes' theorem on touching circles with curvatures 1, 1, 1).
func TestHoleOfAFullBed(t *testing.T) {
	touching := catalogue.Size{Largest: 3, Hole: 3}
	if got := voidIn(touching, 0) / 3; math.Abs(got-0.1547) > 5e-5 {
		t.Errorf("%.4f, want 0.1547", got)
	}
	if got := voidIn(sizeOf(t, "SS10"), catalogue.Web); math.Abs(got-(2*3.8/math.Sqrt(3)-2.9)) > 1e-9 {
		t.Errorf("SS10: %.3f mm", got)
	}
}

func TestEveryday(t *testing.T) {
	var names []string
	for _, s := range Everyday() {
		names = append(names, s.Name)
	}
	if want := []string{"SS6", "SS10", "SS16"}; !slices.Equal(names, want) { // common practice
		t.Errorf("%v, want %v", names, want)
	}
}

// What is lost, and why, where it can be told by hand.
func TestLosses(t *testing.T) {
	other := drawing(slab(0, 0, 60, 8), slab(0, 8.5, 60, 8))
	other.Regions[1].Paint = "#6fa3dc"
	cases := []struct {
		name string
		d    artwork.Drawing
		want []string
	}{
		{"a bar", drawing(slab(0, 0, 60, 8)), nil},
		{"a dot narrower than a stone", drawing(slab(0, 0, 60, 8), disc(30, 20, 1)), []string{"b no stone 2.0"}},
		{"bars 0.5 mm apart", drawing(slab(0, 0, 60, 8), slab(0, 8.5, 60, 8)), []string{"a gap shuts 0.5"}},
		{"bars 2 mm apart", drawing(slab(0, 0, 60, 8), slab(0, 10, 60, 8)), nil},
		{"bars of two paints, 0.5 mm apart", other, nil},
	}
	for _, c := range cases {
		v := ask(t, c.d, "SS10").Sizes[0]
		var got []string
		for _, l := range v.Lost {
			got = append(got, fmt.Sprintf("%s %s %.1f", l.Region, l.Kind, l.Width))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: lost %q, want %q", c.name, got, c.want)
		}
		if (v.Grade == Reads) != (len(c.want) == 0) {
			t.Errorf("%s: %s", c.name, v.Grade)
		}
	}
}

// Open lines have no width: they get their row, and are no measure of strokes.
func TestLinesAlone(t *testing.T) {
	d := artwork.Drawing{Regions: []artwork.Region{{ID: "wave", Paint: "#1f4e79", Lines: []geom.Line{{{X: 0, Y: 0}, {X: 30, Y: 20}, {X: 60, Y: 0}}}}}}
	r := ask(t, d, "SS6")
	v := r.Sizes[0]
	if r.Thinnest != nil || r.Finest != nil || v.Whole != nil || v.Stones < 20 || v.Grade != Reads || r.Best != "SS6" {
		t.Errorf("%+v", r)
	}
	var b bytes.Buffer
	if err := r.Table(&b); err != nil || !bytes.Contains(b.Bytes(), []byte("it has lines only")) {
		t.Errorf("%v: %s", err, b.String())
	}
}

// sign is a drawing with strokes of 5 mm, a hole and a gap, 100 mm wide.
func sign() artwork.Drawing {
	frame := geom.Subtract(slab(0, 0, 100, 60), slab(5, 5, 90, 50))
	return drawing(frame, geom.Subtract(disc(50, 30, 18), disc(50, 30, 11)), slab(10, 12, 15, 5), slab(75, 12, 15, 5))
}

// Larger stones need a larger design; what is said to read does, and well below it
// something is lost.
func TestSmallestWidth(t *testing.T) {
	d := sign()
	r := ask(t, d, "SS6", "SS10", "SS16")
	last := 0.0
	for _, v := range r.Sizes {
		if v.Smallest < last || v.Smallest == 0 {
			t.Errorf("%s reads from %g mm, a smaller stone from %g mm", v.Size, v.Smallest, last)
		}
		last = v.Smallest
		if v.ReadsAt != 0 && (v.ReadsAt < r.Width || v.Smallest > v.ReadsAt) || (v.Grade == Reads) != (v.ReadsAt == r.Width) {
			t.Errorf("%s %s at %g mm, and reads at %g mm", v.Size, v.Grade, r.Width, v.ReadsAt)
		}
		for width, want := range map[float64]bool{v.Smallest: true, 0.7 * v.Smallest: false} {
			a, err := newAdviser(t.Context(), d, Options{Width: width, Web: catalogue.Web})
			if err != nil {
				t.Fatal(err)
			}
			at, err := a.try(t.Context(), sizeOf(t, v.Size), width)
			a.measure(&at)
			if err != nil || (at.grade() == Reads) != want {
				t.Errorf("%s at %g mm, its smallest width being %g mm: %s, lost %v", v.Size, width, v.Smallest, at.grade(), at.lost)
			}
		}
	}
}

// A drawing of another scale and place is the same drawing.
func TestScaleOfTheFileIsNothing(t *testing.T) {
	d := sign()
	want := askAt(t, d, 120, "SS10")
	for i, r := range d.Regions {
		d.Regions[i] = r.Transform(geom.Scale(7, 7).Mul(geom.Translate(-300, 55)))
	}
	got := askAt(t, d, 120, "SS10")
	if a, b := got.Sizes[0], want.Sizes[0]; got.Best != want.Best || a.Grade != b.Grade || a.Stones != b.Stones {
		t.Errorf("%+v\nwant %+v", got, want)
	}
	near(t, "thinnest stroke", got.Thinnest.Width, want.Thinnest.Width)
	near(t, "finest gap", got.Finest.Width, want.Finest.Width)
}

func TestSameOnAnyNumberOfCores(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	var first []byte
	for _, n := range []int{1, 4} {
		runtime.GOMAXPROCS(n)
		text, err := json.Marshal(ask(t, sign(), "SS10", "SS16"))
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = text
		} else if !bytes.Equal(first, text) {
			t.Errorf("%s\nwas %s", text, first)
		}
	}
}

func TestProgressAndCancel(t *testing.T) {
	opt := Options{Width: 100, Sizes: Everyday()[1:], Web: catalogue.Web}
	last, end := 0, 0
	if _, err := Run(t.Context(), sign(), opt, func(done, total int) {
		if done < last {
			t.Errorf("progress goes back from %d to %d", last, done)
		}
		last, end = done, total
	}); err != nil || last != end || last == 0 {
		t.Errorf("%v; progress ends at %d of %d", err, last, end)
	}
	ctx, cancel := context.WithCancel(t.Context())
	if _, err := Run(ctx, sign(), opt, func(int, int) { cancel() }); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

func TestFaults(t *testing.T) {
	for _, c := range []struct {
		name string
		d    artwork.Drawing
		opt  Options
		code string
	}{
		{"no size", sign(), Options{Width: 100}, "stone-missing"},
		{"no width", sign(), Options{Sizes: Everyday()}, "artwork-size"},
		{"width of no number", sign(), Options{Sizes: Everyday(), Width: math.NaN()}, "artwork-size"},
		{"empty", artwork.Drawing{}, Options{Sizes: Everyday(), Width: 100}, "artwork-empty"},
	} {
		if _, err := Run(t.Context(), c.d, c.opt, nil); fault.CodeOf(err) != c.code {
			t.Errorf("%s: %v, want %s", c.name, err, c.code)
		}
	}
}

// Far too small for any stone is an answer, not a fault.
func TestFarTooSmall(t *testing.T) {
	r := askAt(t, sign(), 3, "SS6", "SS16")
	if r.Best != "" || r.Sizes[0].Grade != Unreadable {
		t.Errorf("%+v", r)
	}
}

func TestAbout(t *testing.T) {
	for n, want := range map[int]int{0: 0, 7: 7, 99: 99, 101: 100, 648: 650, 1638: 1600, 19_950: 20_000} {
		if got := about(n); got != want {
			t.Errorf("%d: %d, want %d", n, got, want)
		}
	}
}

// Two lines read as two while the clear way between their stones is wider than the
// holes of a full bed: from 2p/√3 = 4.388 mm between the lines for SS10, whose pitch p
// is 3.8 mm. Where a pen goes back beside its own stroke there is nothing to see.
func TestLinesCloseUp(t *testing.T) {
	pair := func(apart float64) artwork.Drawing {
		return artwork.Drawing{Regions: []artwork.Region{{
			ID: "track", Paint: "#000000",
			Lines: []geom.Line{{{X: 0, Y: 0}, {X: 60, Y: 0}}, {{X: 0, Y: apart}, {X: 60, Y: apart}}},
		}}}
	}
	for apart, want := range map[float64]int{3.9: 1, 4.3: 1, 4.5: 0, 6: 0} {
		if v := ask(t, pair(apart), "SS10").Sizes[0]; len(v.Lost) != want {
			t.Errorf("%g mm apart: lost %v, with %d stones", apart, v.Lost, v.Stones)
		}
	}
	back := artwork.Drawing{Regions: []artwork.Region{{
		ID: "stem", Paint: "#000000", Lines: []geom.Line{{{X: 0, Y: 0}, {X: 0, Y: 60}, {X: 0.8, Y: 60}, {X: 0.8, Y: 0}, {X: 40, Y: 0}}},
	}}}
	if v := ask(t, back, "SS10").Sizes[0]; len(v.Lost) > 0 {
		t.Errorf("a stroke that goes back beside itself has lost %v", v.Lost)
	}
	if r := ask(t, pair(6), "SS10"); r.Finest != nil || r.Thinnest != nil {
		t.Errorf("lines have no width: %+v", r)
	}
}

// The grade at a width is that of the whole advice at it.
func TestGradeAt(t *testing.T) {
	for _, width := range []float64{40, 100} {
		got, err := GradeAt(t.Context(), sign(), sizeOf(t, "SS10"), width, catalogue.Web)
		if want := askAt(t, sign(), width, "SS10").Sizes[0].Grade; err != nil || got != want {
			t.Errorf("%g mm: %s (%v), want %s", width, got, err, want)
		}
	}
	if _, err := GradeAt(t.Context(), artwork.Drawing{}, sizeOf(t, "SS10"), 10, catalogue.Web); fault.CodeOf(err) != "artwork-empty" {
		t.Errorf("nothing: %v", err)
	}
}

// Strokes of 1.5 mm at 20 mm do not read in SS10 within the usual strides, far up they do.
func TestFarUpItReads(t *testing.T) {
	thin := drawing(slab(0, 0, 20, 1.5), slab(0, 1.5, 1.5, 20), slab(10, 10, 8, 1.5))
	opt := Options{Width: 20, Sizes: []catalogue.Size{sizeOf(t, "SS10")}, Web: catalogue.Web, Far: true}
	last, end := 0, 0
	far, err := Run(t.Context(), thin, opt, func(done, total int) { last, end = done, total })
	if err != nil || last != end {
		t.Fatalf("%v; progress ends at %d of %d", err, last, end)
	}
	opt.Far = false
	near, err := Run(t.Context(), thin, opt, nil)
	if err != nil {
		t.Fatal(err)
	}
	if v := far.Sizes[0]; v.Smallest == 0 || v.ReadsAt != v.Smallest || near.Sizes[0].Smallest > 0 && near.Sizes[0].Smallest != v.Smallest {
		t.Errorf("far: %g and %g mm, near: %g mm", v.Smallest, v.ReadsAt, near.Sizes[0].Smallest)
	}
}
