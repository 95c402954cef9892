package plate

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/geom"

	"pgregory.net/rapid"
)

// Whatever is asked for, all marks lie inside the frame, clear of the holes by
// the web, and clear of each other.
func TestMarksKeepClear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kinds := drawKinds(t, 6)
		stones := drawStones(t, kinds, rapid.IntRange(1, 40).Draw(t, "stones"), rapid.Float64Range(1, 60).Draw(t, "spread"))
		opt := Options{
			Web: rapid.Float64Range(0.2, 5).Draw(t, "web"), Border: rapid.Float64Range(0, 10).Draw(t, "border"),
			RoundFrame: rapid.SampledFrom([]float64{0, 12.7, 25.4}).Draw(t, "round"),
			Register:   rapid.SampledFrom([]Register{NoRegister, Crosses, Corners}).Draw(t, "register"),
			Code:       rapid.SampledFrom([]string{"", "HERON", "A-1", "LONG CODE 2026"}).Draw(t, "code"),
			OwnCode:    rapid.Bool().Draw(t, "own"),
		}
		r, err := Plan(stones, kinds, opt)
		if err != nil {
			t.Fatal(err)
		}
		checkPlan(t, stones, kinds, opt, r)
		left := slices.ContainsFunc(r.Notes, func(n Note) bool { return n.Code == "code-left-out" })
		for _, p := range r.Plates {
			if !slices.EqualFunc(p.Register, r.Plates[0].Register, slices.Equal) || len(p.Register) != []int{0, 8, 4}[opt.Register] {
				t.Fatalf("plate %d has %d register marks", p.Number, len(p.Register))
			}
			if want := (opt.Code != "" || opt.OwnCode) && !left; want != (len(p.Letters) > 0) || want != (p.Code != "") {
				t.Fatalf("plate %d: letters %q, want some: %v", p.Number, p.Code, want)
			}
			checkStrokes(t, p, max(1.5, opt.Web))
		}
	})
}

// checkStrokes measures every point of the marks, taken at a tenth of a mm.
func checkStrokes(t rapid.TB, p design.Plate, clear float64) {
	t.Helper()
	groups := map[string][]geom.Point{}
	for name, lines := range map[string][][][2]float64{"register": p.Register, "letters": p.Letters} {
		for _, l := range lines {
			for i := 1; i < len(l); i++ {
				a, b := geom.Point{X: l[i-1][0], Y: l[i-1][1]}, geom.Point{X: l[i][0], Y: l[i][1]}
				for s := 0.0; s <= 1; s += 0.1 / max(0.1, a.Dist(b)) {
					groups[name] = append(groups[name], a.Lerp(b, s))
				}
			}
		}
	}
	var nicks []geom.Point
	for _, n := range p.Nicks {
		nicks = append(nicks, geom.Point{X: n[0], Y: n[1]}, geom.Point{X: n[2], Y: n[3]})
	}
	const eps = 1e-6
	for name, points := range groups {
		for _, q := range points {
			if edge := min(q.X-p.Frame[0], q.Y-p.Frame[1], p.Frame[2]-q.X, p.Frame[3]-q.Y); edge < 1.5-eps {
				t.Fatalf("plate %d: %s %g mm from the frame", p.Number, name, edge)
			}
			for _, h := range p.Holes {
				if d := q.Dist(geom.Point{X: h.X, Y: h.Y}) - h.D/2; d < clear-eps {
					t.Fatalf("plate %d: %s %g mm from a hole", p.Number, name, d)
				}
			}
			for _, n := range nicks {
				if q.Dist(n) < clear-eps {
					t.Fatalf("plate %d: %s %g mm from a nick", p.Number, name, q.Dist(n))
				}
			}
			if name == "letters" {
				for _, o := range groups["register"] {
					if q.Dist(o) < clear-eps {
						t.Fatalf("plate %d: letters %g mm from a register mark", p.Number, q.Dist(o))
					}
				}
			}
		}
	}
}

// The code is cut with the number of the plate; one that is too long for the
// frame is left out, told, and takes no room.
func TestCodes(t *testing.T) {
	k, j := kindOf("SS10", "crystal"), kindOf("SS10", "jet")
	stones := append(row(k, 0, 5, 12), row(j, 20, 5, 11)...)
	plan := func(opt Options) Result {
		opt.Web, opt.Border = 0.5, 6
		r, err := Plan(stones, []design.Kind{k, j}, opt)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	plain, own, named, long := plan(Options{}), plan(Options{OwnCode: true}), plan(Options{Code: "HERON"}), plan(Options{Code: "SALTMARSH HERONS 2026"})
	if got := named.Plates[1].Code; got != "HERON 2/2" {
		t.Errorf("plate 2 says %q", got)
	}
	if want := Code(own.Plates); own.Plates[0].Code != want+" 1/2" || len(want) != 9 {
		t.Errorf("plate 1 says %q, its code is %q", own.Plates[0].Code, want)
	}
	if len(long.Notes) != 1 || long.Notes[0].Code != "code-left-out" || fmt.Sprint(long.Plates) != fmt.Sprint(plain.Plates) {
		t.Errorf("a code that is too long: %v, %v", long.Notes, long.Plates[0].Frame)
	}
	if high := named.Plates[0].Frame[3] - plain.Plates[0].Frame[3]; math.Abs(high-1) > 1e-9 {
		t.Errorf("letters take %g mm more, want 1.5 + 4 + 1.5 − 6", high)
	}
	if _, err := Plan(stones, []design.Kind{k, j}, Options{Code: "№ 7"}); fault.CodeOf(err) != "letter-unknown" {
		t.Errorf("a code without letters: %v", err)
	}
	if _, err := Plan(stones, []design.Kind{k, j}, Options{Register: 9}); fault.CodeOf(err) != "plate-options" {
		t.Errorf("unknown marks: %v", err)
	}
}

// worstStep gives how much the tallest stone lifted before stands over the
// lowest of a later plate, at worst.
func worstStep(order [][2]float64) float64 {
	worst := math.Inf(-1)
	for i, late := range order {
		for _, early := range order[:i] {
			worst = max(worst, early[0]-late[1])
		}
	}
	return worst
}

// No order of the lifts has a smaller worst step, by trying them all.
func TestOrderOfLifts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kinds := drawKinds(t, 9)
		stones := drawStones(t, kinds, rapid.IntRange(1, 30).Draw(t, "stones"), 500)
		opt := usual()
		opt.TapeStep = rapid.Float64Range(0, 2).Draw(t, "step")
		r, err := Plan(stones, kinds, opt)
		if err != nil {
			t.Fatal(err)
		}
		heights := make([][2]float64, len(r.Plates))
		for p := range heights {
			heights[p] = [2]float64{0, math.Inf(1)}
		}
		for _, s := range r.Stones {
			h := kindOf(s.Size, s.Colour).Height
			e := &heights[s.Plate-1]
			e[0], e[1] = max(e[0], h), min(e[1], h)
		}
		got := worstStep(heights)
		if warned := slices.ContainsFunc(r.Notes, func(n Note) bool { return n.Code == "lift-step" }); warned != (got > opt.TapeStep+1e-6) {
			t.Fatalf("a step of %g mm, %g allowed, warned: %v", got, opt.TapeStep, warned)
		}
		if len(heights) > 6 {
			return
		}
		var try func(n int)
		try = func(n int) {
			if n == len(heights) {
				if s := worstStep(heights); s < got-1e-9 {
					t.Fatalf("a worst step of %g mm, %g in the order %v", got, s, heights)
				}
				return
			}
			for i := n; i < len(heights); i++ {
				heights[n], heights[i] = heights[i], heights[n]
				try(n + 1)
				heights[n], heights[i] = heights[i], heights[n]
			}
		}
		try(0)
	})
}

// Two colours in tall and low sizes: whichever lifts first, its tall stones stand
// over the other's low ones, and the warning names the plates.
func TestWarningOfLifts(t *testing.T) {
	kinds := []design.Kind{kindOf("SS30", "crystal"), kindOf("SS6", "crystal"), kindOf("SS30", "jet"), kindOf("SS6", "jet")}
	var stones []design.Stone
	for i, k := range kinds {
		stones = append(stones, row(k, float64(20*i), 9, 4)...)
	}
	opt := usual()
	opt.TapeStep = 1
	r, err := Plan(stones, kinds, opt)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Plates) != 2 || len(r.Notes) != 1 || !strings.Contains(r.Notes[0].Message, "plate 2 presses on stones of plate 1 that stand 1.55 mm higher") {
		t.Errorf("%d plates, %v", len(r.Plates), r.Notes)
	}
}
