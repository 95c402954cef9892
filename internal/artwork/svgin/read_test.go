package svgin

import (
	"bytes"
	"math"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brushfall/internal/artwork"
	"brushfall/internal/geom"
)

func TestNamesOfRegions(t *testing.T) {
	d := read(t, `<g id="badge" class="outer"><g class="inner deep"><rect id="eye" class="c" width="9" height="9" stroke="#fff" stroke-width="2"/></g></g>
<path d="M0 50h9v9z"/><path id="path-1" d="M20 50h9v9z"/><path d="M0 70h20" stroke="red" stroke-width="3"/>
<use id="copy" href="#eye" x="50"/>`)
	var got []string
	for _, r := range d.Regions {
		got = append(got, r.ID)
	}
	want := []string{"eye", "eye-stroke", "path-1-2", "path-1", "path-3", "eye-2", "eye-stroke-2"}
	if !slices.Equal(got, want) {
		t.Errorf("ids %q, want %q", got, want)
	}
	eye := d.Regions[1]
	if !eye.Stroke || eye.Element != "eye" || eye.Paint != "#ffffff" || eye.Where != "line 1, <rect id=eye>" ||
		!slices.Equal(eye.Groups, []string{"badge"}) || !slices.Equal(eye.Classes, []string{"outer", "inner", "deep", "c"}) {
		t.Errorf("the stroke of the eye is %+v", eye)
	}
	if copied := d.Regions[5]; !slices.Equal(copied.Groups, []string{"copy"}) {
		t.Errorf("the copy is in %q", copied.Groups)
	}
}

// TestHairlines: a stroke under the threshold is a line, a wider one an area; the
// page is 100 px, so that the threshold is 26.46 mm ÷ 2,500 = 0.0106 mm = 0.04 px.
func TestHairlines(t *testing.T) {
	d := read(t, `<path d="M10 10H90" stroke="#000" stroke-width=".039"/><path d="M10 20H90" stroke="#000" stroke-width=".041"/><rect x="10" y="30" width="20" height="20" fill="none" stroke="#00f" stroke-width=".01"/>`)
	if len(d.Regions) != 3 || !d.Regions[0].Open() || d.Regions[1].Open() || !d.Regions[2].Open() {
		t.Fatalf("%+v", d.Regions)
	}
	if got := d.Regions[0].Lines[0].Length(); math.Abs(got-80*mmPerPx) > 1e-9 {
		t.Errorf("the hairline is %g mm long", got)
	}
	square := d.Regions[2].Lines[0]
	if len(square) != 5 || square[0] != square[4] {
		t.Errorf("the closed hairline is %v", square)
	}
	wide, err := Read(strings.NewReader(head+`<path d="M10 10H90" stroke="#000" stroke-width="2"/></svg>`), Options{Hairline: 1})
	if err != nil || !wide.Regions[0].Open() {
		t.Errorf("a threshold of 1 mm leaves a stroke of 0.53 mm an area (%v)", err)
	}
}

// TestAreas compares areas with formulas of school geometry.
func TestAreas(t *testing.T) {
	for _, c := range []struct {
		name, body string
		px         float64 // area in px²
	}{
		{"circle", `<circle cx="50" cy="50" r="40"/>`, math.Pi * 1600},
		{"ellipse", `<ellipse cx="50" cy="50" rx="40" ry="10"/>`, math.Pi * 400},
		{"rounded rect", `<rect width="60" height="40" rx="10"/>`, 2400 - (4-math.Pi)*100},
		{"ring stroke", `<circle cx="50" cy="50" r="30" fill="none" stroke="#000" stroke-width="4"/>`, math.Pi * (32*32 - 28*28)},
		{"round caps", `<path d="M20 50H80" stroke="#000" stroke-width="10" stroke-linecap="round"/>`, 600 + math.Pi*25},
		{"half circle arc", `<path d="M20 50A30 30 0 0 1 80 50z"/>`, math.Pi * 450},
		{"parabola", `<path d="M0 0Q50 100 100 0z"/>`, 100 * 50 * 2 / 3.0},
		{"skewed", `<rect width="40" height="40" transform="matrix(1 .5 .25 1 0 0)"/>`, 1600 * (1 - .125)},
	} {
		d := read(t, c.body)
		got := d.Regions[0].Shape.Area() / (mmPerPx * mmPerPx)
		if math.Abs(got-c.px) > 0.002*c.px {
			t.Errorf("%s: %g px², want %g", c.name, got, c.px)
		}
	}
}

func TestPageSize(t *testing.T) {
	for _, c := range []struct {
		attributes string
		w, h       float64
	}{
		{`width="96" height="2in"`, 25.4, 50.8},
		{`width="10cm" height="50mm" viewBox="0 0 5 5"`, 100, 50},
		{`viewBox="0 0 48 24"`, 12.7, 6.35},
		{`width="50mm" viewBox="0 0 100 30"`, 50, 15},
		{`width="100%" height="100%" viewBox="0 0 96 96"`, 25.4, 25.4},
		{`width="-5" height="x" viewBox="0 0 96 96"`, 25.4, 25.4},
		{``, 70 * mmPerPx, 60 * mmPerPx}, // the drawing itself, moved on to the page
	} {
		d, err := Read(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" `+c.attributes+`><rect x="-10" y="10" width="70" height="50"/></svg>`), Options{})
		if err != nil || math.Abs(d.Width-c.w) > 1e-5 || math.Abs(d.Height-c.h) > 1e-5 {
			t.Errorf("%s: %g × %g mm (%v), want %g × %g", c.attributes, d.Width, d.Height, err, c.w, c.h)
		}
	}
}

// TestSameTwice: the same file gives the same drawing, whatever runs beside it.
func TestSameTwice(t *testing.T) {
	for _, file := range filesOf(t, "testdata/icons/fluent-emoji-flat/*.svg") {
		a, b := artwork.Visible(readFile(t, file)), artwork.Visible(readFile(t, file))
		if !reflect.DeepEqual(a, b) {
			t.Errorf("%s: two readings differ", file)
		}
	}
}

// TestGuarantees holds every file of the test data against the guarantees, as it
// is read, as it is seen, and at the size of a transfer.
func TestGuarantees(t *testing.T) {
	files := slices.Concat(filesOf(t, "testdata/*/*.svg"), filesOf(t, "testdata/icons/*/*.svg"))
	each(files, func(_ int, file string) {
		d := readFile(t, file)
		if len(d.Regions) == 0 {
			return
		}
		large, err := d.FitWidth(240)
		if err != nil {
			t.Errorf("%s: %v", file, err)
			return
		}
		for _, one := range []artwork.Drawing{d, large, artwork.Visible(large)} {
			if err := artwork.Check(one); err != nil {
				t.Errorf("%s: %v", file, err)
			}
		}
	})
}

// TestTransformInvariance: moving, turning and mirroring a drawing moves its
// regions and changes no area.
func TestTransformInvariance(t *testing.T) {
	body := `<path d="M40 40q20-30 30 0t-10 20a8 5 30 1 1-20-5z" stroke="#f00" stroke-width="3" stroke-linejoin="round"/>`
	plain := read(t, body)
	rapid.Check(t, func(rt *rapid.T) {
		angle := rapid.Float64Range(-180, 180).Draw(rt, "angle")
		mirror := rapid.SampledFrom([]string{"", "translate(100 0)scale(-1 1)"}).Draw(rt, "mirror")
		turned := read(t, `<g transform="`+mirror+` rotate(`+formatFloat(angle)+` 50 50)">`+body+`</g>`)
		for i, r := range turned.Regions {
			want := plain.Regions[i].Shape.Area()
			if got := r.Shape.Area(); math.Abs(got-want) > 0.002*want {
				rt.Fatalf("region %d: %g mm², unturned %g", i, got, want)
			}
		}
	})
}

func TestToleranceIsKept(t *testing.T) {
	file := `<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 1 1"><circle cx=".5" cy=".5" r=".4"/></svg>`
	d, err := Read(strings.NewReader(file), Options{Tolerance: 0.05})
	if err != nil {
		t.Fatal(err)
	}
	ring := d.Regions[0].Shape.Rings[0]
	if len(ring) > 120 { // 2π ÷ 2·acos(1 − 0.05/80) = 89, a quarter at a time
		t.Errorf("%d points at a tolerance of 0.05 mm", len(ring))
	}
	for i, p := range ring {
		middle := p.Lerp(ring[(i+1)%len(ring)], 0.5)
		if off := 80 - middle.Dist(geom.Point{X: 100, Y: 100}); off > 0.0501 {
			t.Fatalf("a chord is %g mm off the circle", off)
		}
	}
}

// FuzzRead: no input makes the reader panic, and what it accepts keeps the
// guarantees.
func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"testdata/features/*.svg", "testdata/warnings/*.svg", "testdata/path/*.svg", "testdata/standard/*.svg"} {
		for _, file := range filesOf(f, pattern) {
			data, err := os.ReadFile(file)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(data)
		}
	}
	f.Add([]byte(head + `<style>{}}a{b:c;;d}@media{</style><path d="M1e300 1e300A1 1 0 00-1e300 0"/><use/></svg>`))
	f.Fuzz(func(t *testing.T, data []byte) {
		opt := Options{MaxBytes: 1 << 16, MaxElements: 500, MaxPoints: 20_000, MaxSheetWork: 100_000}
		d, err := Read(bytes.NewReader(data), opt)
		if err != nil {
			return
		}
		if err := artwork.Check(d); err != nil {
			t.Fatal(err)
		}
	})
}
