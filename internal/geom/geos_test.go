package geom

import (
	"bufio"
	"bytes"
	"encoding/json"
	"math"
	"os/exec"
	"testing"

	"brushfall/internal/outside"
)

// geosCase is one question to testdata/geos.py and the result it is asked about.
type geosCase struct {
	Op      string     `json:"op"`
	Raw     [][]pair   `json:"rings,omitempty"`
	EvenOdd bool       `json:"evenodd"`
	Shape   [][][]pair `json:"shape,omitempty"`
	Other   [][][]pair `json:"other,omitempty"`
	D       float64    `json:"d"`
	Result  [][][]pair `json:"result"`
	name    string
	area    float64
}

// geosAnswer is what GEOS finds: why the result is not valid, the area that should
// be, the area of the symmetric difference, and for insets the least distance of the
// result to the outline.
type geosAnswer struct {
	Valid string
	Area  float64
	Diff  float64
	Near  float64
}

type pair [2]float64

func pairs(points []Point) []pair {
	out := make([]pair, len(points))
	for i, p := range points {
		out[i] = pair{p.X, p.Y}
	}
	return out
}

func rawRings(rings []Ring) [][]pair {
	out := [][]pair{}
	for _, r := range rings {
		out = append(out, pairs(r))
	}
	return out
}

// polygons gives the shape as GEOS wants it: outer rings with their holes.
func polygons(s Shape) [][][]pair {
	out := [][][]pair{}
	for _, c := range s.Components() {
		out = append(out, rawRings(c.Rings))
	}
	return out
}

// askGEOS puts all cases to GEOS in one run.
func askGEOS(t *testing.T, cases []geosCase) []geosAnswer {
	t.Helper()
	var in, out, complaints bytes.Buffer
	enc := json.NewEncoder(&in)
	for _, c := range cases {
		if err := enc.Encode(c); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command(outside.Python(t), "testdata/geos.py")
	cmd.Stdin, cmd.Stdout, cmd.Stderr = &in, &out, &complaints
	if err := cmd.Run(); err != nil {
		t.Fatalf("geos.py: %v\n%s", err, complaints.String())
	}
	answers := make([]geosAnswer, 0, len(cases))
	dec := json.NewDecoder(bufio.NewReader(&out))
	for range cases {
		var a geosAnswer
		if err := dec.Decode(&a); err != nil {
			t.Fatal(err)
		}
		answers = append(answers, a)
	}
	return answers
}

// agree compares areas: to the share, or to floor mm² where that is more.
func agree(t *testing.T, c geosCase, a geosAnswer, share, floor float64) {
	t.Helper()
	if a.Valid != "" {
		t.Errorf("%s: not valid: %s", c.name, a.Valid)
	}
	if limit := math.Max(share*a.Area, floor); math.Abs(c.area-a.Area) > limit || a.Diff > 2*limit {
		t.Errorf("%s: area %.5f, GEOS %.5f, differing in %.5f", c.name, c.area, a.Area, a.Diff)
	}
}

func TestFillIconsAgainstGEOS(t *testing.T) {
	var cases []geosCase
	for _, c := range icons(t) {
		for _, rings := range c.paths {
			for _, rule := range []FillRule{NonZero, EvenOdd} {
				s := Fill(rings, rule)
				cases = append(cases, geosCase{
					Op: "fill", name: c.name, Raw: rawRings(rings), EvenOdd: rule == EvenOdd,
					Result: polygons(s), area: s.Area(),
				})
			}
		}
	}
	worst := 0.0
	for i, a := range askGEOS(t, cases) {
		agree(t, cases[i], a, 1e-5, 1e-3)
		worst = math.Max(worst, a.Diff)
	}
	t.Logf("%d fills; largest difference from GEOS %.6f mm²", len(cases), worst)
}

func TestBooleansAgainstGEOS(t *testing.T) {
	var cases []geosCase
	all := icons(t)
	for i := 0; i < len(all); i += 2 {
		a, b := all[i].shape, all[(i*37+5)%len(all)].shape
		for op, s := range map[string]Shape{"union": Union(a, b), "intersect": Intersect(a, b), "subtract": Subtract(a, b)} {
			cases = append(cases, geosCase{
				Op: op, name: op + " " + all[i].name, Shape: polygons(a), Other: polygons(b),
				Result: polygons(s), area: s.Area(),
			})
		}
	}
	worst := 0.0
	for i, a := range askGEOS(t, cases) {
		agree(t, cases[i], a, 1e-5, 1e-3)
		worst = math.Max(worst, a.Diff)
	}
	t.Logf("%d booleans; largest difference from GEOS %.6f mm²", len(cases), worst)
}

// TestInsetIconsAgainstGEOS compares with GEOS's buffer of 32 segments a quarter.
func TestInsetIconsAgainstGEOS(t *testing.T) {
	const tol = 0.002
	depths := []float64{0.7, 1.45, 3, -1}
	var cases []geosCase
	for _, c := range icons(t) {
		for _, d := range depths {
			s := Inset(c.shape, d, tol)
			cases = append(cases, geosCase{Op: "inset", name: c.name, Shape: polygons(c.shape), D: d, Result: polygons(s), area: s.Area()})
		}
	}
	type row struct {
		n, empty          int
		share, diff, near float64
	}
	table := map[float64]*row{}
	for _, d := range depths {
		table[d] = &row{near: math.Inf(1)}
	}
	for i, a := range askGEOS(t, cases) {
		c, r := cases[i], table[cases[i].D]
		agree(t, c, a, 0.003, 0.01)
		r.n++
		if len(c.Result) == 0 {
			r.empty++
			continue
		}
		if a.Near < math.Abs(c.D)-0.005 {
			t.Errorf("%s inset by %v: a point is %.5f from the outline", c.name, c.D, a.Near)
		}
		r.near = math.Min(r.near, a.Near-math.Abs(c.D))
		if a.Area > 3 {
			r.share = math.Max(r.share, math.Abs(c.area-a.Area)/a.Area)
		}
		r.diff = math.Max(r.diff, a.Diff)
	}
	t.Log("inset mm | outlines | empty | largest area error of areas over 3 mm² | largest difference mm² | nearest point less inset mm")
	for _, d := range depths {
		r := table[d]
		t.Logf("%8.2f | %8d | %5d | %9.5f %% | %.5f | %+.6f", d, r.n, r.empty, 100*r.share, r.diff, r.near)
	}
}
