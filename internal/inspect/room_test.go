package inspect

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// wavy is a ring around 0, 0 with bumps and hollows.
func wavy(r, swing float64, waves, n int) [][2]float64 {
	var out [][2]float64
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		k := r + swing*math.Sin(2*math.Pi*float64(waves*i)/float64(n))
		out = append(out, [2]float64{k * cos, k * sin})
	}
	return out
}

// bed gives a design of one empty bed of SS10.
func bed(t testing.TB, rings ...[][2]float64) (design.Document, design.Region) {
	k := kind(t, "SS10", "crystal")
	r := regionOf("bed", k, []design.Treatment{design.Bed}, rings...)
	return design.Document{Web: catalogue.Web, Border: catalogue.Border, Kinds: []design.Kind{k}, Regions: []design.Region{r}}, r
}

// depthOf measures an outline without the geometry that the code uses: even-odd
// crossings, and the distance to every side.
func depthOf(rings [][][2]float64, p geom.Point) float64 {
	inside, best := false, math.Inf(1)
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a[1] > p.Y) != (b[1] > p.Y) && p.X < a[0]+(p.Y-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
				inside = !inside
			}
			dx, dy := b[0]-a[0], b[1]-a[1]
			t := math.Max(0, math.Min(1, ((p.X-a[0])*dx+(p.Y-a[1])*dy)/(dx*dx+dy*dy)))
			best = math.Min(best, math.Hypot(p.X-a[0]-t*dx, p.Y-a[1]-t*dy))
		}
	}
	if inside {
		return best
	}
	return -best
}

// fits says, stone by stone, whether one more stone of the region fits at p.
func fits(doc *design.Document, r design.Region, p geom.Point) bool {
	for _, s := range doc.Stones {
		if math.Hypot(s.X-p.X, s.Y-p.Y) < r.Pitch-1e-5 {
			return false
		}
	}
	return depthOf(r.Rings, p) >= doc.Kinds[0].Diameter/2-1e-4
}

// Beds filled at random until nothing more is found have no room that a fine
// search finds; with a tenth of the stones taken out again, every place found
// is one where a stone fits, and each stone's old place is near one.
func TestRoomAgainstSearch(t *testing.T) {
	for seed := uint64(0); seed < 3; seed++ {
		doc, r := bed(t, wavy(14, 4, 3+int(seed)%3, 90), wavy(3.1, 0.5, 3, 40))
		rng := rand.New(rand.NewPCG(seed, 2))
		for range 30 {
			if p := (geom.Point{X: rng.Float64()*36 - 18, Y: rng.Float64()*36 - 18}); fits(&doc, r, p) {
				put(&doc, r, design.RoleBed, 1, p.X, p.Y)
			}
		}
		for {
			found := newModel(doc).rooms(0)
			if len(found) == 0 {
				break
			}
			for _, p := range found {
				if !fits(&doc, r, p) {
					t.Fatalf("seed %d: no stone fits at %v", seed, p)
				}
			}
			for _, p := range found {
				put(&doc, r, design.RoleBed, 1, p.X, p.Y)
			}
		}
		for x := -18.0; x < 18; x += 0.1 {
			for y := -18.0; y < 18; y += 0.1 {
				if p := (geom.Point{X: x, Y: y}); fits(&doc, r, p) && fits(&doc, r, geom.Point{X: x + 1e-3, Y: y}) {
					t.Fatalf("seed %d: a stone fits at %v, not found", seed, p)
				}
			}
		}
		if len(doc.Stones) < 30 {
			t.Errorf("seed %d: only %d stones", seed, len(doc.Stones))
		}
		for range 4 {
			i := rng.IntN(len(doc.Stones))
			gone := doc.Stones[i]
			doc.Stones = slices.Delete(doc.Stones, i, i+1)
			near := func(p geom.Point) bool { return math.Hypot(p.X-gone.X, p.Y-gone.Y) < r.Pitch }
			if !slices.ContainsFunc(newModel(doc).rooms(0), near) {
				t.Errorf("seed %d: no room where stone %d was", seed, i)
			}
		}
	}
}

// A honeycomb with one stone taken out has room for exactly one, there.
func TestRoomInHoneycomb(t *testing.T) {
	doc, r := bed(t, ring(0, 0, 80, 0, 80, 60, 0, 60))
	comb(&doc, r, 1.45, 1.45, 80-2.9, 60-2.9)
	for _, i := range []int{30, 100, 201} {
		d := doc
		d.Stones = slices.Delete(slices.Clone(doc.Stones), i, i+1)
		var found []geom.Point
		for _, p := range newModel(d).rooms(0) {
			// The box is no whole number of rows: leave its far edges out of account.
			if p.X < 70 && p.Y < 52 {
				found = append(found, p)
			}
		}
		want := geom.Point{X: doc.Stones[i].X, Y: doc.Stones[i].Y}
		if len(found) != 1 || found[0].Dist(want) > 1e-6 {
			t.Errorf("without stone %d at %v: room at %v", i, want, found)
		}
	}
}

// An empty bed has room, however its outline is: even where it holds no corner.
func TestRoomInEmptyBed(t *testing.T) {
	hole := wavy(4, 0, 1, 60)
	for name, rings := range map[string][][][2]float64{
		"disc": {wavy(9, 0, 1, 100)}, "ring": {wavy(9, 0, 1, 100), hole}, "just one": {wavy(1.47, 0, 1, 60)},
	} {
		doc, _ := bed(t, rings...)
		if len(newModel(doc).rooms(0)) == 0 {
			t.Errorf("%s: no room", name)
		}
	}
	doc, _ := bed(t, wavy(1.44, 0, 1, 400))
	if found := newModel(doc).rooms(0); len(found) != 0 {
		t.Errorf("too small for a stone, yet room at %v", found)
	}
}

// Stones of another region keep a place from counting, by the larger gap.
func TestRoomBesideAnotherRegion(t *testing.T) {
	doc, r := bed(t, wavy(1.6, 0, 1, 200))
	other := regionOf("line", doc.Kinds[0], []design.Treatment{design.Spine}, ring(5.4, -1, 5.4, 1))
	other.Open, other.Gap, other.Pitch = true, 2.8, 5.7
	doc.Regions = append(doc.Regions, other)
	put(&doc, other, design.RoleSpine, 1, 5.4, 0)
	if found := newModel(doc).rooms(0); len(found) != 0 {
		t.Errorf("room at %v, nearer to the line's stone than %g", found, other.Pitch)
	}
	doc.Regions[1].Gap, doc.Regions[1].Pitch = r.Gap, r.Pitch
	if found := newModel(doc).rooms(0); len(found) != 1 {
		t.Errorf("room at %v, want one place", found)
	}
}

// Only a bed that was asked to be sparse may have room: a full scatter may not.
func TestSparseBedNeedNotBeFull(t *testing.T) {
	doc, _ := bed(t, wavy(9, 0, 1, 100))
	doc.Regions[0].Bed = design.Scatter
	if found := InspectStones(doc); len(found) == 0 || found[0].ID != Room {
		t.Errorf("an empty scatter that is to be full: %v", found)
	}
	doc.Regions[0].Density = 0.4
	if found := InspectStones(doc); len(found) != 0 {
		t.Error(found)
	}
	if row := Measure(doc).Rows[0]; row.Room != nil {
		t.Errorf("a sparse bed is measured to have %d rooms", *row.Room)
	}
	for _, density := range []float64{-0.1, 1, 2, math.NaN()} {
		doc.Regions[0].Density = density
		if found := InspectStones(doc); len(found) == 0 || found[0].ID != Value {
			t.Errorf("a density of %v: %v", density, found)
		}
	}
}

func BenchmarkInspect10000(b *testing.B) {
	doc, r := bed(b, wavy(210, 20, 7, 4000))
	rise := r.Pitch * math.Sqrt(3) / 2
	for row := -70; row < 70; row++ {
		for col := -70; col < 70; col++ {
			x, y := (float64(col)+float64(row&1)/2)*r.Pitch, float64(row)*rise
			if depthOf(r.Rings, geom.Point{X: x, Y: y}) >= 1.45 {
				put(&doc, r, design.RoleBed, 1, x, y)
			}
		}
	}
	b.Logf("%d stones", len(doc.Stones))
	for b.Loop() {
		Inspect(doc)
	}
}
