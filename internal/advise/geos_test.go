package advise

import (
	"bytes"
	"encoding/json"
	"math"
	"os/exec"
	"testing"

	"brushfall/examples"
	"brushfall/internal/artwork"
	"brushfall/internal/artwork/svgin"
	"brushfall/internal/catalogue"
	"brushfall/internal/geom"
	"brushfall/internal/outside"
)

// polygons gives a shape as GEOS reads it: outer rings with their holes.
func polygons(s geom.Shape) [][][][2]float64 {
	var out [][][][2]float64
	for _, c := range s.Components() {
		var rings [][][2]float64
		for _, r := range c.Rings {
			rings = append(rings, pairs(r))
		}
		out = append(out, rings)
	}
	return out
}

type found struct{ Thin, Gap *float64 }

// askGEOS puts all shapes to GEOS in one run.
func askGEOS(t *testing.T, shapes []geom.Shape) []found {
	t.Helper()
	var in, out, complaints bytes.Buffer
	enc := json.NewEncoder(&in)
	for _, s := range shapes {
		if err := enc.Encode(polygons(s)); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command(outside.Python(t), "testdata/geos.py")
	cmd.Stdin, cmd.Stdout, cmd.Stderr = &in, &out, &complaints
	if err := cmd.Run(); err != nil {
		t.Fatalf("%v: %s", err, complaints.String())
	}
	answers := make([]found, len(shapes))
	dec := json.NewDecoder(&out)
	for i := range answers {
		if err := dec.Decode(&answers[i]); err != nil {
			t.Fatal(err)
		}
	}
	return answers
}

// heron gives the heron 228.6 mm wide, as it is seen.
func heron(t *testing.T) artwork.Drawing {
	t.Helper()
	_, file := examples.Heron()
	d, err := svgin.Read(bytes.NewReader(file.Data), svgin.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if d, err = d.FitWidth(228.6); err != nil {
		t.Fatal(err)
	}
	return artwork.Visible(d)
}

// wave is a stroke along a sine that swells and shrinks, 2 mm at its thinnest.
func wave() geom.Shape {
	var top, foot geom.Ring
	for i := range 121 {
		x := float64(i)
		y, half := 10*math.Sin(x/12), 2-math.Cos(x/17)
		slope := math.Hypot(1, 10.0/12*math.Cos(x/12))
		nx, ny := -10.0/12*math.Cos(x/12)/slope, 1/slope
		top = append(top, geom.Point{X: x - half*nx, Y: y - half*ny})
		foot = append(geom.Ring{{X: x + half*nx, Y: y + half*ny}}, foot...)
	}
	return geom.Fill([]geom.Ring{append(top, foot...)}, geom.NonZero)
}

// What erosion and growth say, within 2 %: shapes without pointed ends, for GEOS
// takes those away without a change to be told.
func TestStrokesAndGapsAgreeWithGEOS(t *testing.T) {
	shapes := map[string]geom.Shape{
		"dumbbell":        geom.Union(disc(0, 0, 10), disc(40, 3, 8), slab(0, -1, 40, 2.3)),
		"eccentric ring":  geom.Subtract(disc(0, 0, 20), disc(2.2, 1, 15)),
		"window":          geom.Union(geom.Subtract(slab(0, 0, 60, 50), slab(6, 6, 48, 38)), slab(0, 20, 60, 3), slab(20, 0, 4.2, 50)),
		"wave":            wave(),
		"grille":          geom.Subtract(slab(0, 0, 60, 30), geom.Union(slab(5, 5, 2.5, 20), slab(12, 5, 1.7, 20), slab(25, 5, 6, 20))),
		"disc in a hole":  geom.Union(geom.Subtract(disc(0, 0, 20), disc(0, 0, 8)), disc(1, 0.5, 5)),
		"two discs":       geom.Union(disc(0, 0, 10), disc(21.3, 4, 12)),
		"letter-like bow": geom.Subtract(geom.Union(slab(0, 0, 6, 40), disc(10, 12, 12)), disc(11, 12, 7)),
	}
	d := heron(t)
	strokes := 0
	for _, r := range d.Regions {
		if r.Stroke {
			shapes[r.ID] = r.Shape
			strokes++
		}
	}
	if strokes < 15 {
		t.Fatalf("the heron has %d strokes", strokes)
	}
	var whole geom.Shape
	for _, r := range d.Regions {
		whole.Rings = append(whole.Rings, r.Shape.Rings...)
	}
	shapes["all of the heron"] = whole
	var names []string
	var list []geom.Shape
	for name, s := range shapes {
		names, list = append(names, name), append(list, s)
	}
	gaps, thins := 0, 0
	for i, f := range askGEOS(t, list) {
		one := drawing(list[i])
		if names[i] == "all of the heron" {
			one = d
		} else if f.Thin != nil {
			a, err := newAdviser(t.Context(), one, Options{Width: one.Extent().Width(), Web: catalogue.Web})
			if err != nil {
				t.Fatal(err)
			}
			agree(t, names[i]+": thinnest stroke", a.thinnest.Width, *f.Thin)
			thins++
		}
		if g := gapsOf(one, newSides(one)); f.Gap != nil && *f.Gap < widestGap {
			if len(g) == 0 {
				t.Errorf("%s: no gap found, GEOS has one of %.3f mm", names[i], *f.Gap)
				continue
			}
			agree(t, names[i]+": finest gap", g[0].Width, *f.Gap)
			gaps++
		}
	}
	if gaps < 5 || thins < 20 {
		t.Errorf("only %d gaps and %d strokes were held to GEOS", gaps, thins)
	}
}

func agree(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 0.02*want) {
		t.Errorf("%s: %.3f mm, GEOS has %.3f", what, got, want)
	}
}
