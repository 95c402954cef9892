package dxfin_test

import (
	"encoding/json"
	"math"
	"os"
	"slices"
	"sort"
	"strings"
	"testing"

	"brushfall/internal/artwork"
	"brushfall/internal/artwork/dxfin"
	"brushfall/internal/geom"
)

// expectation is what testdata/make_fixtures.py measured in a fixture with ezdxf
// and shapely.
type expectation struct {
	Groups        []measured
	Width, Height float64
	Warnings      []string
	Loose         float64 // mm by which lengths may differ beyond flattening, 0 for most files
}

// measured is the sums over the regions of one layer and colour.
type measured struct {
	Layer, Paint          string
	Area, Perimeter, Open float64
	Parts                 int
}

func expectations(t *testing.T) (files map[string]expectation, palette []string) {
	t.Helper()
	text, err := os.ReadFile("testdata/expected.json")
	if err != nil {
		t.Fatal(err)
	}
	var all struct {
		Files   map[string]expectation
		Palette []string
	}
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	return all.Files, all.Palette
}

// flattening is how far the drawing's chords leave the curves, in mm, as the
// formats page promises.
const flattening = 0.01

func TestFixturesAsEzdxfMeasuresThem(t *testing.T) {
	files, _ := expectations(t)
	names := make([]string, 0, len(files))
	for name := range files {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		want := files[name]
		d := read(t, name, dxfin.Options{})
		checkDrawing(t, name, d)
		got := measure(d)
		worst := 0.0
		for _, g := range got {
			i := slices.IndexFunc(want.Groups, func(m measured) bool { return m.Layer == g.Layer && m.Paint == g.Paint })
			if i < 0 {
				t.Errorf("%s: %+v is not in the file", name, g)
				continue
			}
			w := want.Groups[i]
			slack := flattening + want.Loose
			off := math.Abs(g.Area - w.Area)
			worst = math.Max(worst, off/math.Max(w.Area, 1))
			if off > slack*math.Max(w.Perimeter, 1) || math.Abs(g.Perimeter-w.Perimeter) > 0.001*w.Perimeter+want.Loose ||
				math.Abs(g.Open-w.Open) > 0.001*w.Open+want.Loose || g.Parts != w.Parts {
				t.Errorf("%s: got %+v\n\twant %+v", name, g, w)
			}
		}
		if len(got) != len(want.Groups) {
			t.Errorf("%s: %d layers and colours, want %d", name, len(got), len(want.Groups))
		}
		if slack := flattening + want.Loose; math.Abs(d.Width-want.Width) > slack || math.Abs(d.Height-want.Height) > slack {
			t.Errorf("%s: %.3f × %.3f mm, want %.3f × %.3f", name, d.Width, d.Height, want.Width, want.Height)
		}
		var codes []string
		for _, w := range d.Warnings {
			codes = append(codes, w.Code)
		}
		wanted := slices.Clone(want.Warnings)
		slices.Sort(codes)
		slices.Sort(wanted)
		if !slices.Equal(codes, wanted) {
			t.Errorf("%s: warnings %v, want %v", name, d.Warnings, wanted)
		}
		t.Logf("%-20s regions %3d  layers and colours %d  area off by at most %.4f %%  warnings %d", name, len(d.Regions), len(got), 100*worst, len(d.Warnings))
	}
}

// checkDrawing checks what every drawing guarantees.
func checkDrawing(t *testing.T, name string, d artwork.Drawing) {
	t.Helper()
	ids := map[string]bool{}
	box := geom.EmptyBox()
	for _, r := range d.Regions {
		if ids[r.ID] || r.ID == "" {
			t.Errorf("%s: the id %q is not unique", name, r.ID)
		}
		ids[r.ID] = true
		if r.Shape.Empty() == (len(r.Lines) == 0) {
			t.Errorf("%s: region %s has %d rings and %d lines", name, r.ID, len(r.Shape.Rings), len(r.Lines))
		}
		if !strings.HasPrefix(r.Where, "line ") || !strings.Contains(r.Where, "layer ") {
			t.Errorf("%s: region %s is said to be at %q", name, r.ID, r.Where)
		}
		box = box.Join(r.Shape.Bounds())
		for _, l := range r.Lines {
			if len(l) < 2 {
				t.Errorf("%s: region %s has a line of %d points", name, r.ID, len(l))
			}
			box = box.Join(geom.Bounds(l))
		}
	}
	const rounding = 1e-4
	if box.MinX < -rounding || box.MinY < -rounding || box.MaxX > d.Width+rounding || box.MaxY > d.Height+rounding {
		t.Errorf("%s: regions reach %+v, the page is %.3f × %.3f", name, box, d.Width, d.Height)
	}
	for _, w := range d.Warnings {
		if w.Code == "" || w.Message == "" {
			t.Errorf("%s: warning %+v says too little", name, w)
		}
	}
}

// measure sums the regions up by layer and colour.
func measure(d artwork.Drawing) []measured {
	var out []measured
	for _, r := range d.Regions {
		i := slices.IndexFunc(out, func(m measured) bool { return m.Layer == r.Layer && m.Paint == r.Paint })
		if i < 0 {
			i = len(out)
			out = append(out, measured{Layer: r.Layer, Paint: r.Paint})
		}
		m := &out[i]
		if !r.Open() {
			m.Parts++
		}
		m.Area += r.Shape.Area()
		m.Perimeter += r.Shape.Perimeter()
		for _, l := range r.Lines {
			m.Open += l.Length()
		}
	}
	return out
}

func read(t *testing.T, name string, opt dxfin.Options) artwork.Drawing {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	d, err := dxfin.Read(f, opt)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return d
}
