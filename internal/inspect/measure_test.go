package inspect

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/geom"
)

func table(t *testing.T, name string) [][]float64 {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", "packomania", name))
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out [][]float64
	for _, row := range rows {
		var v []float64
		for _, s := range row {
			f, err := strconv.ParseFloat(s, 64)
			if err != nil {
				t.Fatal(err)
			}
			v = append(v, f)
		}
		out = append(out, v)
	}
	return out
}

func want(t *testing.T, name string, got *float64, value, tolerance float64) {
	t.Helper()
	if got == nil {
		t.Errorf("%s: nothing, want %g", name, value)
	} else if math.Abs(*got-value) > tolerance {
		t.Errorf("%s: %g, want %g", name, *got, value)
	}
}

// No packing exceeds the bound: the best known of up to 200 discs in a disc
// (E. Specht, Packomania) do not, and come within what hexagonal numbers allow.
func TestBoundHoldsForPublishedPackings(t *testing.T) {
	rows := table(t, "radius.csv")
	if len(rows) != 200 {
		t.Fatalf("%d packings", len(rows))
	}
	for _, row := range rows {
		n, r := row[0], row[1]
		inner := 1 - r
		b := PackingBound(math.Pi*inner*inner, 2*math.Pi*inner, 1, 2*r)
		if n > b+1e-9 {
			t.Errorf("%g discs of radius %g exceed the bound %g", n, r, b)
		}
		if n > 30 && n < 0.85*b {
			t.Errorf("%g discs of radius %g are far from the bound %g", n, r, b)
		}
	}
}

// packed is a published packing as a design: stones without gap in a round bed.
func packed(t *testing.T, n int) design.Document {
	k := kind(t, "SS10", "crystal")
	radius := k.Diameter / 2 / table(t, "radius.csv")[n-1][1]
	r := regionOf("disc", k, []design.Treatment{design.Bed}, wavy(radius, 0, 1, 3000))
	r.Gap, r.Pitch = 0, k.Diameter
	doc := design.Document{Kinds: []design.Kind{k}, Regions: []design.Region{r}}
	for _, c := range table(t, "centres"+strconv.Itoa(n)+".csv") {
		put(&doc, r, design.RoleBed, 1, c[0]*radius, c[1]*radius)
	}
	return doc
}

// The published packings break no rule, hold no room for one more, and are as
// full as the bound of their disc says.
func TestPublishedPackings(t *testing.T) {
	for _, n := range []int{7, 19, 37, 91, 200} {
		doc := packed(t, n)
		for _, f := range InspectStones(doc) {
			t.Errorf("%d discs: %v", n, f)
		}
		r := table(t, "radius.csv")[n-1][1]
		inner := (1 - r) / (2 * r) // in pitches
		b := PackingBound(math.Pi*inner*inner, 2*math.Pi*inner, 1, 1)
		row := Measure(doc).Rows[0]
		want(t, strconv.Itoa(n)+" discs", row.Fullness, float64(n)/b, 2e-3)
		if *row.Fullness > 1 || row.Filling != n || *row.Room != 0 {
			t.Errorf("%d discs: %+v", n, row)
		}
	}
}

// A hexagon of side k pitches holds 3k(k+1)+1 points of a honeycomb, and meets
// the bound exactly (Oler 1961). So does its measure: no hole but the comb's.
func TestHoneycomb(t *testing.T) {
	const k = 8
	doc, r := bed(t, wavy(1, 0, 1, 6))
	side := k*r.Pitch + doc.Kinds[0].Diameter/math.Sqrt(3)
	doc.Regions[0].Rings = [][][2]float64{wavy(side, 0, 1, 6)}
	for q := -k; q <= k; q++ {
		for s := max(-k, -k-q); s <= min(k, k-q); s++ {
			put(&doc, r, design.RoleBed, 1, (float64(q)+float64(s)/2)*r.Pitch, float64(s)*r.Pitch*math.Sqrt(3)/2)
		}
	}
	row := Measure(doc).Rows[0]
	if row.Filling != 3*k*(k+1)+1 || *row.Room != 0 {
		t.Errorf("%d stones, %d places left", row.Filling, *row.Room)
	}
	want(t, "fullness", row.Fullness, 1, 1e-4)
	want(t, "largest hole", row.HoleMost, 1, 1e-4)
	want(t, "95 % of holes", row.Hole95, 1, 1e-4)
	want(t, "order", row.Order, 1, 0)
	want(t, "symmetry", row.Symmetry, 0, 1e-3)
	want(t, "worst symmetry", row.SymmetryAll, 0, 1e-3)
	if row.Symmetries != 11 {
		t.Errorf("%d symmetries of a hexagon, want 6 axes and 5 turns", row.Symmetries)
	}
	if row.OrderCount != 3*7*6+1 {
		t.Errorf("%d inner stones, want those within 6 rings", row.OrderCount)
	}
}

// In a square grid a stone has four neighbours, and the circles of its
// triangles are √1.5 as wide as a honeycomb's.
func TestSquareGrid(t *testing.T) {
	doc, r := bed(t, ring(0, 0, 60, 0, 60, 60, 0, 60))
	for x := 2.0; x < 58.5; x += r.Pitch {
		for y := 2.0; y < 58.5; y += r.Pitch {
			put(&doc, r, design.RoleBed, 1, x, y)
		}
	}
	row := Measure(doc).Rows[0]
	want(t, "order", row.Order, 0, 0)
	want(t, "largest hole", row.HoleMost, math.Sqrt(1.5), 1e-4)
	if row.OrderCount < 50 {
		t.Errorf("%d inner stones", row.OrderCount)
	}
}

// rim sets n stones on a circle of radius r; the one of number moved is turned
// by share of a step.
func rimOf(n int, moved int, share float64) (design.Document, design.Region) {
	k := design.Kind{Size: "SS10", Colour: "crystal", Diameter: 2.9, Smallest: 2.7, Hole: 3.3}
	radius := 3.8 / 2 / math.Sin(math.Pi/float64(n))
	r := regionOf("rim", k, []design.Treatment{design.Rim}, wavy(radius+1.45, 0, 1, 1440))
	doc := design.Document{Kinds: []design.Kind{k}, Regions: []design.Region{r}}
	for i := range n {
		at := float64(i)
		if i == moved {
			at += share
		}
		sin, cos := math.Sincos(2 * math.Pi * at / float64(n))
		put(&doc, r, design.RoleRim, 1, radius*cos, radius*sin)
	}
	return doc, r
}

// Chords of a circle: stones at equal steps are even; one moved by a tenth of a
// step makes chords of 0.9 and 1.1 steps.
func TestEvenness(t *testing.T) {
	doc, _ := rimOf(30, -1, 0)
	row := Measure(doc).Rows[0]
	want(t, "even rim", row.Evenness, 1, 1e-9)
	want(t, "spacing", row.Spacing, 1, 1e-9)
	want(t, "truth", row.Truth, 0, 1e-4)
	doc, _ = rimOf(30, 7, 0.1)
	chord := func(steps float64) float64 { return math.Sin(math.Pi * steps / 30) }
	want(t, "moved stone", Measure(doc).Rows[0].Evenness, chord(1.1)/chord(0.9), 1e-9)
	doc, _ = rimOf(30, -1, 0)
	doc.Stones = slices.Delete(doc.Stones, 4, 5)
	row = Measure(doc).Rows[0]
	want(t, "a gap ends the run", row.Evenness, 1, 1e-9)
	if n := len(row.distances); n != 28 {
		t.Errorf("%d distances along an open run of 29", n)
	}
	doc.Stones[3].X += 0.2
	want(t, "truth of a shifted stone", Measure(doc).Rows[0].Truth, 0.2*math.Cos(2*math.Pi*3/30), 5e-3)
}

// square is a square rim path of side 10 pitches with stones at every pitch,
// and its outline with corners cut to a circle of the radius given.
func square(round float64) design.Document {
	k := design.Kind{Size: "SS10", Colour: "crystal", Diameter: 2.9, Smallest: 2.7, Hole: 3.3}
	out := 38 + 2.9 + 0.0
	var outline [][2]float64
	for c, corner := range [4][2]float64{{out - round, out - round}, {round, out - round}, {round, round}, {out - round, round}} {
		for i := 0; i <= 12; i++ {
			sin, cos := math.Sincos(math.Pi / 2 * (float64(c) + float64(i)/12))
			outline = append(outline, [2]float64{corner[0] + round*cos, corner[1] + round*sin})
		}
	}
	r := regionOf("square", k, []design.Treatment{design.Rim}, outline)
	doc := design.Document{Kinds: []design.Kind{k}, Regions: []design.Region{r}}
	for side := range 4 {
		for i := range 10 {
			v := geom.Point{X: float64(i)*3.8 - 19, Y: -19}
			for range side {
				v = v.Perp()
			}
			put(&doc, r, design.RoleRim, 1, v.X+out/2, v.Y+out/2)
		}
	}
	return doc
}

func TestCorners(t *testing.T) {
	row := Measure(square(0)).Rows[0]
	want(t, "all corners", row.Corners, 1, 0)
	if row.CornerCount != 4 {
		t.Errorf("%d corners of a square", row.CornerCount)
	}
	want(t, "evenness", row.Evenness, 1, 1e-9)
	doc := square(0)
	doc.Stones[0].X += 0.5
	doc.Stones[10].X += 0.1
	row = Measure(doc).Rows[0]
	want(t, "one corner missed", row.Corners, 0.75, 0)
	if n := Measure(square(6)).Rows[0].CornerCount; n != 0 {
		t.Errorf("%d corners of a well rounded square", n)
	}
}

// Regular polygons turn by 360°/n at each corner: eight do by more than 35°,
// twelve do not.
func TestCornerTurn(t *testing.T) {
	for n, found := range map[int]int{3: 3, 5: 5, 8: 8, 12: 0} {
		var path []geom.Point
		for _, p := range wavy(30, 0, 1, n) {
			path = append(path, geom.Point{X: p[0], Y: p[1]})
		}
		if c := corners(path, true, 3.8, 0); len(c) != found {
			t.Errorf("%d corners of a polygon of %d", len(c), n)
		}
	}
	open := []geom.Point{{X: 0}, {X: 20}, {X: 20, Y: 20}, {X: 21, Y: 40}}
	if c := corners(open, false, 3.8, 0); len(c) != 1 || c[0] != open[1] {
		t.Errorf("corners of an open line: %v", c)
	}
}

// turnedBy turns a whole design.
func turnedBy(doc design.Document, angle float64) design.Document {
	sin, cos := math.Sincos(angle)
	doc.Regions = slices.Clone(doc.Regions)
	for i, r := range doc.Regions {
		var rings [][][2]float64
		for _, ring := range r.Rings {
			var out [][2]float64
			for _, p := range ring {
				out = append(out, [2]float64{p[0]*cos - p[1]*sin, p[0]*sin + p[1]*cos})
			}
			rings = append(rings, out)
		}
		doc.Regions[i].Rings = rings
	}
	doc.Stones = slices.Clone(doc.Stones)
	for i, s := range doc.Stones {
		doc.Stones[i].X, doc.Stones[i].Y = s.X*cos-s.Y*sin, s.X*sin+s.Y*cos
	}
	return doc
}

func TestSymmetry(t *testing.T) {
	ellipse := func() (design.Document, design.Region) {
		var outline [][2]float64
		for i := range 200 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 200)
			outline = append(outline, [2]float64{20 * cos, 12 * sin})
		}
		return bed(t, outline)
	}
	for _, angle := range []float64{0, 0.4, 2} {
		doc, r := ellipse()
		for _, p := range [][2]float64{{0, 0}, {10, 0}, {-10, 0}, {0, 7}, {0, -7}, {7, 4}, {-7, 4}, {7, -4}, {-7, -4}} {
			put(&doc, r, design.RoleBed, 1, p[0], p[1])
		}
		row := Measure(turnedBy(doc, angle)).Rows[0]
		if row.Symmetries != 3 {
			t.Errorf("turned by %g: %d symmetries of an ellipse, want 2 axes and a half turn", angle, row.Symmetries)
		}
		want(t, "symmetric stones", row.SymmetryAll, 0, 0.02)
		doc.Stones[1].X += 0.5 // stays on the long axis, leaves the short one
		row = Measure(turnedBy(doc, angle)).Rows[0]
		want(t, "axis kept", row.Symmetry, 0, 0.02)
		want(t, "axis left", row.SymmetryAll, 0.5, 0.02)
	}
	doc, r := bed(t, ring(0, 0, 30, 0, 30, 10, 12, 10, 12, 25, 0, 25))
	put(&doc, r, design.RoleBed, 1, 5, 5)
	if row := Measure(doc).Rows[0]; row.Symmetries != 0 || row.Symmetry != nil {
		t.Errorf("an uneven L has %d symmetries", row.Symmetries)
	}
	star, r := bed(t, wavy(20, 6, 5, 500))
	put(&star, r, design.RoleBed, 1, 0, 0)
	if row := Measure(star).Rows[0]; row.Symmetries != 9 {
		t.Errorf("a star of five has %d symmetries, want 5 axes and 4 turns", row.Symmetries)
	}
}

// The blur of an edge is the normal distribution function: 0.8413 one standard
// deviation inside, 0.9772 two (Abramowitz and Stegun, table 26.1).
func TestBlur(t *testing.T) {
	const sigma = pixelsPerPitch
	c := canvas{w: 200, h: 200, scale: 1}
	a := make([]float32, c.w*c.h)
	for i := range a {
		if i%c.w >= 100 {
			a[i] = 1
		}
	}
	c.blur(a, sigma)
	for _, p := range []struct{ sigmas, value float64 }{{-2, 0.0228}, {-1, 0.1587}, {0, 0.5}, {1, 0.8413}, {2, 0.9772}} {
		// Between two pixels, whose middles lie half a pixel to each side.
		i := 100*c.w + 99 + int(p.sigmas*sigma)
		if got := float64(c.between(a, i, 0.5, 0.5)); math.Abs(got-p.value) > 2e-3 {
			t.Errorf("%g deviations inside: %g, want %g", p.sigmas, got, p.value)
		}
	}
}

// A full bed reads as its artwork; with half of its stones it reads as half.
func TestReads(t *testing.T) {
	doc, r := bed(t, ring(0, 0, 90, 0, 90, 60, 0, 60))
	comb(&doc, r, 1.45, 1.45, 90-2.9, 60-2.9)
	full := Measure(doc)
	want(t, "full", full.Rows[0].Reads, 1, 0.05)
	want(t, "total", full.Total.Reads, *full.Rows[0].Reads, 1e-9)
	doc.Stones = slices.DeleteFunc(doc.Stones, func(s design.Stone) bool { return s.X > 45 })
	want(t, "half", Measure(doc).Rows[0].Reads, 0.5, 0.04)
}

func TestReport(t *testing.T) {
	report := Measure(sound(t))
	var text strings.Builder
	if err := report.Table(&text); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(text.String()), "\n")
	if len(lines) != 6 || !strings.Contains(lines[5], "total") {
		t.Errorf("table:\n%s", text.String())
	}
	data, err := json.Marshal(report)
	if err != nil {
		t.Fatal(err)
	}
	var back Report
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatal(err)
	}
	var again strings.Builder
	if err := back.Table(&again); err != nil || again.String() != text.String() {
		t.Errorf("the table of the report read back differs:\n%s", again.String())
	}
	if report.Total.Broken != 0 || report.Total.Stones != 45 || *report.Total.Room != 0 {
		t.Errorf("%+v", report.Total)
	}
	for _, r := range Measure(design.Document{Web: catalogue.Web}).Rows {
		t.Errorf("a row of nothing: %+v", r)
	}
}

// Every finding has its paragraph.
func TestFindingsAreDocumented(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "..", "docs", "findings.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range IDs() {
		if !strings.Contains(string(page), "| "+string(id)+" |") {
			t.Errorf("docs/findings.md has no line for %s", id)
		}
	}
}

// The picture is that of pixels so fine that the blur is all there is: the same
// steps at ten pixels a mm, sample by sample, give the same share.
func TestReadsAgainstFinePixels(t *testing.T) {
	doc, r := bed(t, wavy(7, 2, 3, 120))
	for _, p := range [][2]float64{{0, 0}, {4, 1}, {-3, 3}, {-1, -5}, {6, -3}, {-5, -2}} {
		put(&doc, r, design.RoleBed, 1, p[0], p[1])
	}
	const scale = 10
	c := canvas{box: geom.Box{MinX: -26, MinY: -26, MaxX: 26, MaxY: 26}, scale: scale, w: 520, h: 520}
	art, stones := make([]float32, c.w*c.h), make([]float32, c.w*c.h)
	for i := range art {
		p := geom.Point{X: float64(i%c.w)/scale - 26 + 0.05, Y: float64(i/c.w)/scale - 26 + 0.05}
		if depthOf(r.Rings, p) > 0 {
			art[i] = 1
		}
		for _, s := range doc.Stones {
			if math.Hypot(s.X-p.X, s.Y-p.Y) < 1.45 {
				stones[i] = 1
			}
		}
	}
	c.blur(art, r.Pitch*scale)
	c.blur(stones, r.Pitch*scale)
	halfA, halfS := greatest(art)/2, greatest(stones)/2
	both, either := 0, 0
	for i := range art {
		if art[i] > halfA && stones[i] > halfS {
			both++
		}
		if art[i] > halfA || stones[i] > halfS {
			either++
		}
	}
	want(t, "reads", Measure(doc).Rows[0].Reads, float64(both)/float64(either), 5e-3)
}

func BenchmarkMeasure10000(b *testing.B) {
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
	for b.Loop() {
		Measure(doc)
	}
}
