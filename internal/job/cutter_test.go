package job

import (
	"bytes"
	"context"
	"math"
	"regexp"
	"strings"
	"testing"

	"brushfall/internal/cut/dxf"
	"brushfall/internal/cut/pace"
)

// The page's example of a cutter is read as it stands.
func TestThePagesCutter(t *testing.T) {
	example := regexp.MustCompile("(?s)```yaml\n(cutter:.*?)```").FindStringSubmatch(page(t))
	if example == nil {
		t.Fatal("the page has no cutter")
	}
	j, err := Parse("heron.yaml", []byte(head+example[1]))
	if err != nil {
		t.Fatal(err)
	}
	c := j.Cutter
	if c.Offset != 0.25 || c.Overcut != 0.5 || c.Passes != 2 || !c.Arcs || c.Speed != 50 || c.Machine.Cut != 50 || c.Force != 80 || c.Tool != 1 || c.DXF != dxf.R2000 {
		t.Errorf("the cutter was read as %+v", c)
	}
	if math.Abs(c.Swivel-math.Pi/9) > 1e-12 || c.Machine != (pace.Machine{Cut: 50, Travel: 400, Acceleration: 2000, Lift: 0.08}) {
		t.Errorf("the cutter was read as %+v", c)
	}
	// 200a + 100b = 340, 300a + 50b = 420, by Cramer's rule.
	if math.Abs(c.Scale.Moving-1.25) > 1e-9 || math.Abs(c.Scale.Lifts-0.9) > 1e-9 {
		t.Errorf("the scale is %+v, want 1.25 and 0.9", c.Scale)
	}
}

func TestCutterRefuses(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"{ofset: 1 mm}", `j.yaml:3:10: cutter has no key "ofset"; did you mean "offset"?`},
		{"{offset: 3 mm}", `j.yaml:3:18: offset is 3 mm; it must be from 0 mm to 2 mm`},
		{"{passes: 0}", `j.yaml:3:18: passes is "0"; write a whole number from 1 to 10`},
		{"{speed: 50}", `j.yaml:3:17: "50" is not a speed; write it like 50 mm/s`},
		{"{speed: 9000 mm/s}", `j.yaml:3:9: a speed of 9000 mm/s is not possible: give 1 to 1279 mm/s`},
		{"{lift: 0 s}", `j.yaml:3:9: a lift of 0 s is not possible: give more than 0 and at most 10 s`},
		{"{swivel: 15}", `j.yaml:3:18: "15" is not an angle; write it like 15 deg`},
		{"{swivel: 400 deg}", `j.yaml:3:9: a swivel angle of 400° is not possible: give 0 to 180°`},
		{"{dxf: r14}", `j.yaml:3:15: there is no release of DXF "r14"; choose r12 or 2000`},
		{"{timings: [{moving: 200 s, lifts: 100 s, took: 340 s}]}", `j.yaml:3:9: one timing cannot tell moving from lifts: time two sheets, one with many small holes and one with few long cuts`},
		{"{timings: [{moving: 200 s, lifts: 100 s}]}", `j.yaml:3:20: a timing has moving, lifts and took: what was estimated of a sheet, and what the clock said`},
		{"{timings: [{moving: soon}]}", `j.yaml:3:29: "soon" is not a time; write it like 3 min 10 s`},
	} {
		_, err := Parse("j.yaml", []byte(head+"cutter: "+c.text+"\n"))
		if err == nil || err.Error() != c.want {
			t.Errorf("%s gives %v, want %s", c.text, err, c.want)
		}
	}
}

func TestDurations(t *testing.T) {
	for text, want := range map[string]float64{"40 s": 40, "3 min": 180, "3 min 10 s": 190, "1 h 2 min": 3720, "0.5 s": 0.5, "3min10s": 190} {
		if got, err := parseDuration(text); err != nil || got != want {
			t.Errorf("%q is %g s, %v, want %g", text, got, err, want)
		}
	}
	for _, bad := range []string{"", "0 s", "3", "3 s 2 min", "-3 s", "9999999 s", "3:10"} {
		if got, err := parseDuration(bad); err == nil {
			t.Errorf("%q is %g s", bad, got)
		}
	}
	for seconds, want := range map[float64]string{0.4: "0 s", 59.6: "1 min", 190: "3 min 10 s", 3725: "1 h 2 min"} {
		if got := Duration(seconds); got != want {
			t.Errorf("%g s prints as %q, want %q", seconds, got, want)
		}
	}
}

func TestAbout(t *testing.T) {
	for seconds, want := range map[float64]string{1: "10 s", 47: "50 s", 190: "3 min 10 s", 716: "12 min", 3590: "1 h 0 min", 5000: "1 h 23 min"} {
		if got := About(seconds); got != want {
			t.Errorf("%g s prints as %q, want %q", seconds, got, want)
		}
	}
}

// The cutter reaches the files: HP-GL with the blade's way, DXF of the release
// asked for, and twice the passes take longer.
func TestCutterReachesTheFiles(t *testing.T) {
	run := func(cutter string) (Result, map[string]string) {
		j, err := Parse("j.yaml", []byte("artwork: a.svg\nwidth: 60 mm\neffort: live\n"+cutter))
		if err != nil {
			t.Fatal(err)
		}
		j.Artwork = []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="60" height="60"><circle cx="30" cy="30" r="30"/></svg>`)
		res, err := Run(context.Background(), j, nil)
		if err != nil {
			t.Fatal(err)
		}
		files := map[string]string{}
		for _, f := range res.Files() {
			files[f.Name] = string(f.Data)
		}
		return res, files
	}
	plain, first := run("")
	trailing, second := run("cutter: {offset: 0.25 mm, passes: 2, speed: 40 mm/s, force: 90, dxf: 2000}\n")
	if strings.Contains(first["sheet-1.plt"], "VS") || !strings.Contains(first["sheet-1.dxf"], "AC1009") {
		t.Error("the plain files tell the cutter a speed, or are not of release 12")
	}
	if !strings.HasPrefix(second["sheet-1.plt"], "IN;\nSP1;\nVS4;\nFS90;\n") || !strings.Contains(second["sheet-1.dxf"], "AC1015") {
		t.Error("speed, force or release did not reach the files")
	}
	if first["sheet-1.svg"] != second["sheet-1.svg"] || first["sheet-1.pdf"] != second["sheet-1.pdf"] {
		t.Error("the outlines of SVG or PDF follow the blade")
	}
	if len(plain.Times) != 1 || len(trailing.Times) != 1 || trailing.Times[0].Moving <= plain.Times[0].Moving || plain.Times[0].Cuts == 0 {
		t.Errorf("estimates %+v and %+v", plain.Times, trailing.Times)
	}
	if !bytes.HasPrefix([]byte(first["sheet-1.pdf"]), []byte("%PDF-")) {
		t.Error("no PDF")
	}
}
