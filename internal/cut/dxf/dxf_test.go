package dxf_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/cut"
	"brushfall/internal/cut/cuttest"
	"brushfall/internal/cut/dxf"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
	"brushfall/internal/outside"
)

type file struct {
	Version               string
	Units                 int
	Errors, Fixes, Layers []string
	ExtMin, ExtMax        []float64
	Entities              []entity
}

type entity struct {
	Kind, Layer string
	Centre      []float64
	Radius      float64
	Closed      bool
	Points      [][]float64
}

// Every hole of the file, read and audited by ezdxf.
func TestEveryHoleByEzdxf(t *testing.T) {
	for _, doc := range []design.Document{cuttest.Badge(), cuttest.Marked(), cuttest.Many()} {
		planned := cuttest.Plan(t, doc)
		for k, f := range slices.Concat(read(t, dxf.R12, planned...), read(t, dxf.R2000, planned...)) {
			i, release := k%len(planned), dxf.Release(k/len(planned))
			sheet := doc.Sheets[i]
			checkHead(t, f, sheet, release)
			var got []cuttest.Hole
			for _, e := range f.Entities {
				if e.Kind != "CIRCLE" {
					continue
				}
				h := cuttest.Hole{X: e.Centre[0], Y: sheet.Height - e.Centre[1], D: 2 * e.Radius}
				if _, err := fmt.Sscanf(e.Layer, "PLATE-%d-HOLES", &h.Plate); err != nil {
					t.Errorf("a hole on the layer %q", e.Layer)
				}
				got = append(got, h)
			}
			cuttest.Compare(t, fmt.Sprintf("dxf %s, ezdxf: %s %d", f.Version, doc.Design, i+1), cuttest.Expected(doc, sheet), got)
			cuttest.InOrder(t, planned[i], got)
		}
	}
}

func checkHead(t *testing.T, f file, sheet design.Sheet, release dxf.Release) {
	t.Helper()
	if len(f.Errors)+len(f.Fixes) > 0 {
		t.Errorf("the audit is not clean: %q, %q", f.Errors, f.Fixes)
	}
	version, units := "AC1009", 0 // release 12 has no place for a unit
	if release == dxf.R2000 {
		version, units = "AC1015", 4 // millimetres
	}
	if f.Version != version || f.Units != units {
		t.Errorf("release %s in units %d, want %s in %d", f.Version, f.Units, version, units)
	}
	if !slices.Equal(f.ExtMin[:2], []float64{0, 0}) || !slices.Equal(f.ExtMax[:2], []float64{sheet.Width, sheet.Height}) {
		t.Errorf("extents %v to %v, the sheet is %g × %g", f.ExtMin, f.ExtMax, sheet.Width, sheet.Height)
	}
}

func TestFramesMarksNicksAndAnEmptySheet(t *testing.T) {
	for _, release := range []dxf.Release{dxf.R12, dxf.R2000} {
		checkParts(t, release)
	}
}

func checkParts(t *testing.T, release dxf.Release) {
	t.Helper()
	// ezdxf repairs some files as it reads them; a file without a single plate
	// must be whole too.
	marked := cuttest.Plan(t, cuttest.Badge())[0]
	marked.Plates[1].Marks = []geom.Line{{{X: 1, Y: 1}, {X: 3, Y: 1}, {X: 3, Y: 3}}}
	files := read(t, release, marked, cut.Sheet{Number: 1, Width: 100, Height: 50})
	f, empty := files[0], files[1]
	checkHead(t, empty, design.Sheet{Width: 100, Height: 50}, release)
	if len(empty.Entities) != 0 {
		t.Errorf("an empty sheet holds %v", empty.Entities)
	}
	for _, want := range []string{"PLATE-1-HOLES", "PLATE-1-NICKS", "PLATE-1-FRAME", "PLATE-2-HOLES", "PLATE-2-NICKS", "PLATE-2-FRAME"} {
		if !slices.Contains(f.Layers, want) {
			t.Errorf("no layer %s in %v", want, f.Layers)
		}
	}
	var kinds []string
	for _, e := range f.Entities {
		kinds = append(kinds, strings.TrimPrefix(e.Kind, "LW")+" "+e.Layer)
	}
	kinds = slices.Compact(kinds)
	want := []string{
		"CIRCLE PLATE-1-HOLES", "LINE PLATE-1-NICKS", "POLYLINE PLATE-1-FRAME",
		"CIRCLE PLATE-2-HOLES", "POLYLINE PLATE-2-MARKS", "LINE PLATE-2-NICKS", "POLYLINE PLATE-2-FRAME",
	}
	if !slices.Equal(kinds, want) {
		t.Errorf("the file goes %v, want %v", kinds, want)
	}
	// The frame of plate 1, worked out by hand, y up from 101.6 mm.
	at := slices.IndexFunc(f.Entities, func(e entity) bool { return e.Layer == "PLATE-1-FRAME" })
	frame := [][]float64{{5, 96.1}, {47.81, 96.1}, {49.81, 93.1}, {51.81, 96.1}, {94.62, 96.1}, {94.62, 35.99}, {5, 35.99}}
	got := f.Entities[at]
	if !got.Closed || len(got.Points) != len(frame) {
		t.Fatalf("frame %+v, want a closed one of %d points", got, len(frame))
	}
	for i, p := range frame {
		if math.Hypot(got.Points[i][0]-p[0], got.Points[i][1]-p[1]) > 0.001 {
			t.Errorf("frame point %d is %v, want %v", i, got.Points[i], p)
		}
	}
}

func TestWriteFails(t *testing.T) {
	if err := dxf.Write(broken{}, cut.Sheet{}, dxf.R2000); fault.CodeOf(err) != "cut-write" {
		t.Errorf("a writer that fails gives %v", err)
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func read(t *testing.T, release dxf.Release, sheets ...cut.Sheet) []file {
	t.Helper()
	arguments := []string{"testdata/read.py"}
	for _, s := range sheets {
		var b bytes.Buffer
		if err := dxf.Write(&b, s, release); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), "sheet.dxf")
		if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		arguments = append(arguments, path)
	}
	cmd := exec.Command(outside.Python(t), arguments...)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	files := make([]file, len(sheets))
	lines := json.NewDecoder(bytes.NewReader(out))
	for i := range files {
		if err := lines.Decode(&files[i]); err != nil {
			t.Fatal(err)
		}
	}
	return files
}
