package artwork_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"brushfall/internal/artwork"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// square gives a square region.
func square(id string, x, y, side float64) artwork.Region {
	ring := geom.Ring{{X: x, Y: y}, {X: x + side, Y: y}, {X: x + side, Y: y + side}, {X: x, Y: y + side}}
	return artwork.Region{ID: id, Paint: "#000000", Where: "line 1, <rect id=" + id + ">", Shape: geom.Shape{Rings: []geom.Ring{ring}}}
}

func drawing(regions ...artwork.Region) artwork.Drawing {
	return artwork.Drawing{Width: 100, Height: 80, Regions: regions}
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-3 {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

func TestFitWidthMovesTheExtentToTheOrigin(t *testing.T) {
	d := drawing(square("a", 10, 20, 5), square("b", 25, 20, 5))
	d.Regions[1].Lines, d.Regions[1].Shape = []geom.Line{{{X: 25, Y: 20}, {X: 30, Y: 40}}}, geom.Shape{}
	got, err := d.FitWidth(200)
	if err != nil {
		t.Fatal(err)
	}
	b := got.Extent()
	near(t, "left", b.MinX, 0)
	near(t, "top", b.MinY, 0)
	near(t, "width", got.Width, 200)
	near(t, "right", b.MaxX, 200)
	near(t, "height", got.Height, 200)
	if got, err = d.FitHeight(10); err != nil {
		t.Fatal(err)
	}
	near(t, "height", got.Extent().Height(), 10)
	if d.Regions[0].Bounds().MinX != 10 {
		t.Error("the drawing itself was changed")
	}
}

func TestFitRefuses(t *testing.T) {
	flat := square("a", 0, 0, 1)
	flat.Shape, flat.Lines = geom.Shape{}, []geom.Line{{{X: 0, Y: 0}, {X: 9, Y: 0}}}
	for name, c := range map[string]struct {
		d    artwork.Drawing
		mm   float64
		code string
	}{
		"nothing drawn":   {drawing(), 10, "artwork-empty"},
		"no size":         {drawing(square("a", 0, 0, 1)), 0, "artwork-size"},
		"not a number":    {drawing(square("a", 0, 0, 1)), math.NaN(), "artwork-size"},
		"beyond all size": {drawing(square("a", 0, 0, 1)), 1e9, "artwork-size"},
		"no height":       {drawing(flat), 10, "artwork-size"},
	} {
		if _, err := c.d.FitHeight(c.mm); fault.CodeOf(err) != c.code {
			t.Errorf("%s: %v, want code %s", name, err, c.code)
		}
	}
}

func TestVisibleTakesAwayWhatIsCovered(t *testing.T) {
	d := artwork.Visible(drawing(square("under", 0, 0, 10), square("hole", 4, 4, 2), square("over", 5, 0, 10)))
	areas := map[string]float64{}
	for _, r := range d.Regions {
		areas[r.ID] = r.Shape.Area()
	}
	near(t, "under", areas["under"], 50-2) // half is under "over", and "hole" takes 1 × 2 of the rest
	near(t, "hole", areas["hole"], 2)
	near(t, "over", areas["over"], 100)
	if err := artwork.Check(d); err != nil {
		t.Error(err)
	}
}

func TestVisibleDropsWhatIsHidden(t *testing.T) {
	sliver := square("sliver", 0, 0, 10)
	lid := square("lid", artwork.Sliver/2, -1, 12)
	d := artwork.Visible(drawing(sliver, square("hidden", 2, 2, 3), lid))
	if len(d.Regions) != 1 || d.Regions[0].ID != "lid" {
		t.Fatalf("%d regions stay", len(d.Regions))
	}
	codes := []string{}
	for _, w := range d.Warnings {
		codes = append(codes, w.Code+" "+w.Where)
	}
	want := []string{"hidden line 1, <rect id=sliver>", "hidden line 1, <rect id=hidden>"}
	if !slices.Equal(codes, want) {
		t.Errorf("warnings %q, want %q", codes, want)
	}
}

func TestVisibleCutsLinesUnderAreas(t *testing.T) {
	line := artwork.Region{ID: "l", Paint: "#000000", Lines: []geom.Line{{{X: 0, Y: 5}, {X: 30, Y: 5}}}}
	d := artwork.Visible(drawing(line, square("lid", 10, 0, 10)))
	if got := d.Regions[0].Lines; len(got) != 2 || got[0].Length() != 10 || got[1].Length() != 10 {
		t.Errorf("the line became %v", got)
	}
	if d = artwork.Visible(drawing(square("lid", 10, 0, 10), line)); len(d.Regions[1].Lines) != 1 {
		t.Error("a line over an area was cut")
	}
}

func TestCutLinesKeepsTheOutline(t *testing.T) {
	s := square("s", 0, 0, 10).Shape
	along := []geom.Line{{{X: -5, Y: 0}, {X: 15, Y: 0}}}
	for _, inside := range []bool{true, false} {
		total := 0.0
		for _, l := range artwork.CutLines(along, s, inside) {
			total += l.Length()
		}
		want := map[bool]float64{true: 10, false: 20}[inside]
		near(t, "length kept", total, want)
	}
	through := artwork.CutLines([]geom.Line{{{X: -5, Y: -5}, {X: 15, Y: 15}}}, s, true)
	if len(through) != 1 {
		t.Fatalf("a line through two corners gives %d pieces", len(through))
	}
	near(t, "diagonal", through[0].Length(), 10*math.Sqrt2)
}

// TestVisibleIsAPartition: the visible areas have no overlap and together cover
// what all areas cover. Inclusion and exclusion of areas is the check.
func TestVisibleIsAPartition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var d artwork.Drawing
		var all []geom.Shape
		for i := range rapid.IntRange(1, 8).Draw(t, "n") {
			at := rapid.Float64Range(0, 30)
			r := square(string(rune('a'+i)), at.Draw(t, "x"), at.Draw(t, "y"), rapid.Float64Range(1, 20).Draw(t, "side"))
			d.Regions = append(d.Regions, r)
			all = append(all, r.Shape)
		}
		sum, slack := 0.0, 0.0
		seen := artwork.Visible(d)
		for _, r := range seen.Regions {
			sum += r.Shape.Area()
		}
		for _, s := range all { // a dropped sliver is at most this large
			slack += artwork.Sliver * s.Perimeter()
		}
		whole := geom.Union(all...).Area()
		if sum > whole+1e-2 || sum < whole-slack {
			t.Fatalf("visible areas add up to %g mm², together the areas cover %g mm²", sum, whole)
		}
		if err := artwork.Check(seen); err != nil {
			t.Fatal(err)
		}
	})
}

func TestCheckFindsFaults(t *testing.T) {
	twice := drawing(square("a", 0, 0, 1), square("a", 2, 0, 1))
	both := drawing(square("a", 0, 0, 1))
	both.Regions[0].Lines = []geom.Line{{{X: 0, Y: 0}, {X: 1, Y: 1}}}
	grey := drawing(square("a", 0, 0, 1))
	grey.Regions[0].Paint = "grey"
	inside := drawing(square("a", 0, 0, 10))
	inside.Regions[0].Shape.Rings = append(inside.Regions[0].Shape.Rings, square("b", 2, 2, 3).Shape.Rings...)
	lost := drawing(square("a", 0, 0, math.Inf(1)))
	for name, d := range map[string]artwork.Drawing{"id taken": twice, "lines and area": both, "paint": grey, "hole turned wrong": inside, "not finite": lost} {
		if artwork.Check(d) == nil {
			t.Errorf("%s: not found", name)
		}
	}
	if err := artwork.Check(drawing(square("a", 0, 0, 1))); err != nil {
		t.Error(err)
	}
}
