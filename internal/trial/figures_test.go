package trial

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/color"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/inspect"
	"brushfall/internal/layout"
	"brushfall/internal/outside"
)

func value(v float64) *float64 { return &v }

func count(n int) *int { return &n }

// made gives two cases with measures chosen by hand: a sound one with 100 stones
// where a honeycomb has 100, and a poor one with 288 where it has 300.
func made() []Trial {
	square := geom.Fill([]geom.Ring{{{}, {X: 30}, {X: 30, Y: 30}, {Y: 30}}}, geom.NonZero)
	name := func(s string) Case {
		return Case{Shape: Shape{Name: s, Area: square}, Size: "SS6", Diameter: 2.1, Gap: 0.8}
	}
	good := Trial{Case: name("good"), Honeycomb: 100, Bound: 110, Strokes: 1}
	poor := Trial{Case: name("poor"), Honeycomb: 300, Bound: 330, Strokes: 1}
	for s := range settings {
		good.Laid[s] = Laid{Done: true, Seconds: 4, Row: inspect.Row{
			Filling: 100, Fullness: value(100.0 / 110), Corners: value(1), CornerCount: 4, CornersMost: 4, Room: count(0),
			Truth: value(0.001), Hole95: value(1.1), HoleMost: value(1.5), Symmetry: value(0.01), SymmetryAll: value(0.01),
			Order: value(0.95), OrderCount: 40, Reads: value(0.95),
			Runs: []inspect.Run{{Stones: 2, Evenness: 1, Spacing: 1.5}, {Stones: 3, Evenness: 1.02, Spacing: 1.3}, {Stones: 9, Evenness: 1.04, Spacing: 1}},
		}}
		poor.Laid[s] = Laid{Done: true, Row: inspect.Row{
			Filling: 288, Fullness: value(288.0 / 330), Corners: value(0.5), CornerCount: 4, CornersMost: 3, Room: count(2), Broken: 3,
			Truth: value(0.03), Hole95: value(1.31), HoleMost: value(1.6), Symmetry: value(0.5), SymmetryAll: value(0.7),
			Order: value(0.5), OrderCount: 60, Reads: value(0.8),
			Runs: []inspect.Run{{Stones: 4, Evenness: 1.3, Spacing: 1.05}, {Stones: 8, Evenness: 1.1, Spacing: 1.2}},
		}}
	}
	return []Trial{good, poor}
}

// The table's arithmetic, by hand: of four runs of three stones two are even,
// three do not limp; √(1 · 0.96) = 0.9798; (38 + 30) ÷ 100 inner stones in order.
func TestFigures(t *testing.T) {
	want := []struct {
		begins, cell, worst string
		met                 bool
	}{
		{"rules broken", "3", "3 poor SS6 (auto live)", false},
		{"places with room", "2", "2 poor SS6 (auto live)", false},
		{"evenness: runs with largest ÷ smallest step ≤ 1.05", "50.0 %", "1.300 poor SS6 (auto live)", false},
		{"evenness: runs with largest ÷ smallest step ≤ 1.15", "75.0 %", "1.300 poor SS6 (auto live)", false},
		{"spacing", "50.0 %", "1.200 poor SS6 (auto live)", false},
		{"truth", "0.0300 (1/2 miss)", "0.0300 poor SS6 (auto live)", false},
		{"corners", "75.0 % of 87.5 %", "1 missed of those that can poor SS6 (auto live)", false},
		{"fullness ÷ best honeycomb, mean, 30 stones", "0.9798 (2)", "0.960 poor SS6 (rim+bed live)", false},
		{"fullness ÷ best honeycomb, mean, 30 to", "1.0000 (1)", "1.000 good SS6 (rim+bed final)", false},
		{"fullness ÷ best honeycomb, mean, above", "0.9600 (1)", "0.960 poor SS6 (rim+bed final)", false},
		{"fullness ÷ bound, never", "0.9091", "0.9091 good SS6 (rim+bed live)", true},
		{"fullness ÷ bound, 150", "0.8727 (1/1 miss)", "0.8727 poor SS6 (rim+bed live)", false},
		{"holes: 95th", "1.31 (1/2 miss)", "1.31 poor SS6 (auto live)", false},
		{"holes: largest", "1.60", "1.60 poor SS6 (auto live)", true},
		{"symmetry: miss of the best", "0.500 (1/2 miss)", "0.500 poor SS6 (auto live)", false},
		{"symmetry: miss of the worst", "0.700 (1/2 miss)", "0.700 poor SS6 (auto live)", false},
		{"order: inner", "0.500 (1/2 miss)", "0.500 poor SS6 (auto live)", false},
		{"order: over all", "0.680", "", false},
		{"reads", "0.800 (1/2 miss)", "0.800 poor SS6 (auto live)", false},
		{"longest", "4.00", "4.00 good SS6 (auto live)", true},
	}
	got := Figures(made())
	if len(got) != len(want) {
		t.Fatalf("%d lines, want %d", len(got), len(want))
	}
	for i, w := range want {
		f := got[i]
		if !strings.HasPrefix(f.Name, w.begins) || f.Cells[FullFinal] != w.cell && f.Cells[FullLive] != w.cell || f.Worst != w.worst || f.Met != w.met {
			t.Errorf("%+v\nwant %+v", f, w)
		}
	}
}

func TestMissed(t *testing.T) {
	all := made()
	if m := all[0].Missed(FullFinal); len(m) > 0 {
		t.Errorf("the sound case misses %q", m)
	}
	want := []string{"M1 3 broken", "M2 1.30", "M2 step 1.20", "M3 0.030", "M4 2 missed", "M5 0.873 B", "M6 2", "M7 p95 1.31", "M8 0.50", "M9 0.50", "M10 0.80"}
	if m := all[1].Missed(FullFinal); !slices.Equal(m, want) {
		t.Errorf("the poor case misses %q, want %q", m, want)
	}
	all[1].Laid[FullFinal] = Laid{}
	if m := all[1].Missed(FullFinal); len(m) > 0 {
		t.Errorf("a setting that was not tried misses %q", m)
	}
}

// A setting that was not tried has no figures and fails no target.
func TestSettingsLeftOut(t *testing.T) {
	all := made()[:1]
	for s := range settings {
		if s != FullLive {
			all[0].Laid[s] = Laid{}
		}
	}
	for _, f := range Figures(all) {
		if c := f.Cells[AutoFinal]; c != "-" && c != "" || f.Verdict() == "MISS" || strings.HasSuffix(f.Target, "final") && f.Verdict() != "" {
			t.Errorf("%+v", f)
		}
	}
}

func TestGrowthAndShare(t *testing.T) {
	times := []Speed{{Stones: 1000, Seconds: 0.05, Effort: layout.Live}, {Stones: 100_000, Seconds: 5, Effort: layout.Live}, {Stones: 1000, Seconds: 9}}
	if g := growth(times); g != 1 {
		t.Errorf("a hundredfold time for hundredfold stones grows as n^%g", g)
	}
	if m := MeanShare([]Packed{{10, 10}, {20, 19}}); m != 0.975 {
		t.Errorf("mean share %g, want 0.975", m)
	}
}

// The sheet is sound XML with every stone, and an outside reader draws it in the
// colours it says.
func TestSheet(t *testing.T) {
	rsvg := outside.Need(t, "rsvg-convert")
	all := made()
	all[1].Case.Shape.Name = "a<b&c"
	all[1].Laid[AutoLive].Stones = []design.Stone{{X: 15, Y: 15, Role: design.RoleRim}, {X: 18, Y: 15, Role: design.RoleRim}, {X: 3, Y: 3, Role: design.RoleBed}}
	all[1].Laid[AutoLive].Broken = []inspect.Finding{{X: 18, Y: 15}}
	var svg bytes.Buffer
	if err := (Sheet{Setting: AutoLive, Columns: 2, Cell: 100, Steps: true}).Write(&svg, all); err != nil {
		t.Fatal(err)
	}
	circles := 0
	for d := xml.NewDecoder(bytes.NewReader(svg.Bytes())); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := token.(xml.StartElement); ok && e.Name.Local == "circle" {
			circles++
		}
	}
	if circles != 4 {
		t.Errorf("%d circles for three stones and a finding", circles)
	}
	file := filepath.Join(t.TempDir(), "sheet.png")
	cmd := exec.Command(rsvg, "--output", file)
	cmd.Stdin = &svg
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	checkColours(t, file)
}

// checkColours reads the second picture of the sheet: its square of 30 mm and a
// stone's radius around starts at 124, 8 and is 100 wide.
func checkColours(t *testing.T, file string) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	picture, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	const k = 100 / 32.1
	for _, c := range []struct {
		x, y float64
		want color.RGBA
	}{{14.2, 15, color.RGBA{0x1d, 0x4f, 0x91, 255}}, {3, 3, color.RGBA{0x5a, 0xa6, 0x8f, 255}}, {25, 25, color.RGBA{0xe3, 0xe3, 0xe3, 255}}} {
		x, y := 124+int((c.x+1.05)*k), 8+int((c.y+1.05)*k)
		if got := color.RGBAModel.Convert(picture.At(x, y)); got != c.want {
			t.Errorf("at %g, %g: %v, want %v", c.x, c.y, got, c.want)
		}
	}
}
