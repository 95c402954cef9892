package sheet

import (
	"fmt"
	"math"
	"math/bits"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// whole is a sheet without margins whose frames may touch, so that whole numbers
// stay whole.
func whole(w, h float64) Options { return Options{Width: w, Height: h, Turn: true, Touch: true} }

func sized(sides ...[2]float64) []Item {
	var out []Item
	for i, s := range sides {
		out = append(out, Item{Design: "Oar", Plate: i + 1, W: s[0], H: s[1]})
	}
	return out
}

// grid is a small sheet of cells, a bit each, on which every way to set rectangles
// of whole sides is tried: nothing of the search is used.
type grid struct{ w, h int }

func (g grid) fits(items [][2]int, taken uint64) bool {
	if len(items) == 0 {
		return true
	}
	for turn := range 2 {
		w, h := items[0][turn], items[0][1-turn]
		for y := 0; y+h <= g.h; y++ {
			for x := 0; x+w <= g.w; x++ {
				var cells uint64
				for row := y; row < y+h; row++ {
					cells |= (1<<w - 1) << (row*g.w + x)
				}
				if taken&cells == 0 && g.fits(items[1:], taken|cells) {
					return true
				}
			}
		}
		if w == h {
			break
		}
	}
	return false
}

// fewest gives the fewest sheets by trying all sets of items on one sheet.
func (g grid) fewest(items [][2]int) int {
	n := len(items)
	most := make([]int, 1<<n)
	for set := 1; set < 1<<n; set++ {
		most[set] = n + 1
		for part := set; part > 0; part = (part - 1) & set {
			if most[set&^part]+1 >= most[set] {
				continue
			}
			var chosen [][2]int
			area := 0
			for rest := uint(part); rest != 0; rest &= rest - 1 {
				it := items[bits.TrailingZeros(rest)]
				chosen, area = append(chosen, it), area+it[0]*it[1]
			}
			if area <= g.w*g.h && g.fits(chosen, 0) {
				most[set] = most[set&^part] + 1
			}
		}
	}
	return most[1<<n-1]
}

// On 200 small cases, among them tight ones, the number of sheets is the least
// that trying everything finds.
func TestSmallCasesAgainstTryingEverything(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 4))
	for n := range 200 {
		g := grid{5 + random.IntN(3), 5 + random.IntN(4)}
		var items []Item
		var sides [][2]int
		for i := range 3 + random.IntN(4) {
			w, h := 1+random.IntN(min(g.w, g.h)), 1+random.IntN(min(g.w, g.h))
			sides = append(sides, [2]int{w, h})
			items = append(items, Item{Design: "Oar", Plate: i + 1, W: float64(w), H: float64(h)})
		}
		opt := whole(float64(g.w), float64(g.h))
		sheets, err := Nest(items, opt)
		if err != nil {
			t.Fatal(err)
		}
		checkSheets(t, sheets, items, opt)
		if want := g.fewest(sides); len(sheets) != want || LowerBound(items, opt) > want {
			t.Errorf("case %d, %v on %v: %d sheets, bound %d, want %d", n, sides, g, len(sheets), LowerBound(items, opt), want)
		}
	}
}

// Odd pieces are taken first: two plates go on the pieces, one on a new sheet, and
// a piece too small for any is not in the answer.
func TestOddPiecesComeFirst(t *testing.T) {
	opt := Defaults()
	opt.Pieces = []Piece{{40, 40}, {203.2, 279.4}, {120, 130}}
	items := sized([2]float64{180, 240}, [2]float64{100, 110}, [2]float64{250, 300})
	got, err := Fill(items, opt)
	if err != nil {
		t.Fatal(err)
	}
	var told []string
	for _, f := range got {
		told = append(told, fmt.Sprint(f.Number, f.Piece, f.Width, f.Height, len(f.Placed)))
	}
	if want := "[1 1 203.2 279.4 1 2 2 120 130 1 3 -1 304.8 508 1]"; fmt.Sprint(told) != want {
		t.Errorf("got %v, want %s", told, want)
	}
	if bound := LowerBound(items, opt); bound != 1 {
		t.Errorf("bound %d new sheets, want 1", bound)
	}
}

// A roll is cut as short as it can be: by hand, 100 mm wide, four squares of 50 mm
// want 100 mm, and rectangles that tile 100 × 90 mm want 90 mm.
func TestRollIsCutShort(t *testing.T) {
	for _, c := range []struct {
		items []Item
		want  float64
	}{
		{sized([2]float64{50, 50}, [2]float64{50, 50}, [2]float64{50, 50}, [2]float64{50, 50}), 100},
		{sized([2]float64{60, 40}, [2]float64{40, 70}, [2]float64{60, 50}, [2]float64{20, 40}), 90},
		{sized([2]float64{100, 30}), 30},
	} {
		opt := whole(100, 500)
		opt.Roll = true
		got, err := Fill(c.items, opt)
		if err != nil || len(got) != 1 || math.Abs(got[0].Height-c.want) > 0.001 {
			t.Errorf("%v: %+v, want %g mm (%v)", c.items, got, c.want, err)
		}
	}
}

// A plate that must stay upright is not turned, whatever the others do.
func TestUprightStaysUpright(t *testing.T) {
	items := sized([2]float64{280, 100}, [2]float64{100, 280}, [2]float64{100, 280})
	items[1].Upright = true
	got, err := Fill(items, Defaults())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range got {
		for _, p := range f.Placed {
			if p.Plate == 2 && p.Turned {
				t.Error("it is turned")
			}
		}
	}
	wide := Item{Design: "Oar", Plate: 1, W: 400, H: 100, Upright: true}
	if _, err := Fill([]Item{wide}, Defaults()); err == nil {
		t.Error("it fits in no other way than turned, and nothing is said")
	}
}

// Frames that share their cuts: 4 × 5 of them fill a sheet exactly, and the sides
// of neighbours agree.
func TestTouchingFramesShareTheirSides(t *testing.T) {
	opt := Defaults()
	opt.Touch = true
	var sides [][2]float64
	for range 20 {
		sides = append(sides, [2]float64{292.8 / 4, 496.0 / 5})
	}
	got, err := Fill(sized(sides...), opt)
	if err != nil || len(got) != 1 {
		t.Fatalf("%d sheets (%v)", len(got), err)
	}
	for _, p := range got[0].Placed {
		right, shared := p.X+292.8/4, math.Abs(p.X+292.8/4-(304.8-6)) < 1e-5
		for _, q := range got[0].Placed {
			shared = shared || math.Abs(q.X-right) < 1e-6
		}
		if !shared {
			t.Errorf("the right side of %+v is shared with none", p)
		}
	}
}

// Offcuts lie on the sheet, clear of every frame and of each other, and nothing
// larger than the largest is left: looked for on the lines of all sides.
func TestOffcutsAreFree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		opt := Defaults()
		var sides [][2]float64
		for range rapid.IntRange(1, 5).Draw(t, "items") {
			sides = append(sides, [2]float64{rapid.Float64Range(20, 280).Draw(t, "w"), rapid.Float64Range(20, 280).Draw(t, "h")})
		}
		items := sized(sides...)
		got, err := Fill(items, opt)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range got {
			var rects [][4]float64
			for _, p := range f.Placed {
				w, h := sides[p.Plate-1][0], sides[p.Plate-1][1]
				if p.Turned {
					w, h = h, w
				}
				rects = append(rects, [4]float64{p.X - opt.Spacing, p.Y - opt.Spacing, p.X + w + opt.Spacing, p.Y + h + opt.Spacing})
			}
			frames := len(rects)
			for i, o := range f.Offcuts {
				r := [4]float64{o.X, o.Y, o.X + o.Width, o.Y + o.Height}
				if r[0] < 0 || r[1] < 0 || r[2] > f.Width+1e-9 || r[3] > f.Height+1e-9 || min(o.Width, o.Height) < LeastOffcut {
					t.Fatalf("offcut %+v", o)
				}
				if over(r, rects) {
					t.Fatalf("offcut %+v lies over something", o)
				}
				if i == 0 && largestFree(f.Width, f.Height, rects) > o.Width*o.Height+1e-6 {
					t.Fatalf("there is a larger one than %+v", o)
				}
				rects = append(rects, r)
			}
			if len(f.Offcuts) == 0 && largestFree(f.Width, f.Height, rects[:frames]) > 0 {
				t.Fatal("an offcut is not told")
			}
		}
	})
}

func over(r [4]float64, rects [][4]float64) bool {
	for _, q := range rects {
		if min(r[2], q[2])-max(r[0], q[0]) > 1e-6 && min(r[3], q[3])-max(r[1], q[1]) > 1e-6 {
			return true
		}
	}
	return false
}

// largestFree tries every rectangle between the lines of the sides.
func largestFree(w, h float64, rects [][4]float64) float64 {
	xs, ys := []float64{0, w}, []float64{0, h}
	for _, r := range rects {
		xs, ys = append(xs, r[0], r[2]), append(ys, r[1], r[3])
	}
	best := 0.0
	for _, x0 := range xs {
		for _, x1 := range xs {
			for _, y0 := range ys {
				for _, y1 := range ys {
					if min(x0, y0) >= 0 && x1 <= w && y1 <= h && x1-x0 >= LeastOffcut && y1-y0 >= LeastOffcut &&
						(x1-x0)*(y1-y0) > best && !over([4]float64{x0, y0, x1, y1}, rects) {
						best = (x1 - x0) * (y1 - y0)
					}
				}
			}
		}
	}
	return best
}
