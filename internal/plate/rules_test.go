package plate

import (
	"math"
	"slices"

	"brushfall/internal/design"

	"pgregory.net/rapid"
)

// checkPlan holds a plan against the rules of plates, from its data alone.
func checkPlan(t rapid.TB, in []design.Stone, kinds []design.Kind, opt Options, r Result) {
	t.Helper()
	const eps = 1e-6
	if len(r.Stones) != len(in) || len(r.Plates) == 0 {
		t.Fatalf("%d stones in, %d out, on %d plates", len(in), len(r.Stones), len(r.Plates))
	}
	find := func(s design.Stone) design.Kind {
		i := slices.IndexFunc(kinds, func(k design.Kind) bool { return k.Size == s.Size && k.Colour == s.Colour })
		return kinds[i]
	}
	holes := make([][]design.Hole, len(r.Plates))
	met := make([][]design.Kind, len(r.Plates))
	for i, s := range r.Stones {
		p := s.Plate
		s.Plate = in[i].Plate
		if s != in[i] || p < 1 || p > len(r.Plates) {
			t.Fatalf("stone %d: %+v came out as %+v on plate %d", i, in[i], s, p)
		}
		holes[p-1] = append(holes[p-1], design.Hole{X: s.X, Y: s.Y, D: find(s).Hole})
		if k := find(s); !slices.Contains(met[p-1], k) {
			met[p-1] = append(met[p-1], k)
		}
	}
	for n, p := range r.Plates {
		if p.Number != n+1 || !slices.Equal(p.Holes, holes[n]) || len(p.Holes) == 0 {
			t.Fatalf("plate %d: number %d, %d holes, want %d in the stones' order", n+1, p.Number, len(p.Holes), len(holes[n]))
		}
		if p.Frame != r.Plates[0].Frame || p.Notch != r.Plates[0].Notch {
			t.Fatalf("plate %d has a frame or a notch of its own", n+1)
		}
		checkHoles(t, p, opt, eps)
		checkMarks(t, p, opt, eps)
		checkKinds(t, p, met[n], opt)
	}
	if r.Bound.Plates > len(r.Plates) || r.Bound.Met != (r.Bound.Plates == len(r.Plates)) || r.Bound.Why == "" {
		t.Fatalf("%d plates, %+v", len(r.Plates), r.Bound)
	}
}

func checkHoles(t rapid.TB, p design.Plate, opt Options, eps float64) {
	t.Helper()
	for i, h := range p.Holes {
		edge := min(h.X-p.Frame[0], h.Y-p.Frame[1], p.Frame[2]-h.X, p.Frame[3]-h.Y) - h.D/2
		if edge < opt.Border-eps {
			t.Fatalf("plate %d: hole %+v is %g mm from the frame", p.Number, h, edge)
		}
		for _, g := range p.Holes[:i] {
			if web := math.Hypot(h.X-g.X, h.Y-g.Y) - h.D/2 - g.D/2; web < opt.Web-WebTolerance {
				t.Fatalf("plate %d: a web of %g mm", p.Number, web)
			}
		}
	}
}

// checkMarks holds the marks to what a person needs of them: the notch in the
// middle, as many nicks as the plate's number, all to its right, clear of holes
// and inside the frame.
func checkMarks(t rapid.TB, p design.Plate, opt Options, eps float64) {
	t.Helper()
	middle := (p.Frame[0] + p.Frame[2]) / 2
	if math.Abs(p.Notch[0]-middle) > eps || math.Abs(p.Notch[1]-p.Frame[1]-3) > eps || len(p.Nicks) != p.Number {
		t.Fatalf("plate %d: notch %v, %d nicks in %v", p.Number, p.Notch, len(p.Nicks), p.Frame)
	}
	clear := max(opt.Web, 1)
	marks := [][4]float64{
		{middle - 2, p.Frame[1], p.Notch[0], p.Notch[1]},
		{p.Notch[0], p.Notch[1], middle + 2, p.Frame[1]},
	}
	for _, n := range p.Nicks {
		if n[0] < middle+3 || min(n[1], n[3]) < p.Frame[1]+1 || max(n[0], n[2]) > p.Frame[2]-1 || math.Abs(n[3]-n[1]-3) > eps {
			t.Fatalf("plate %d: nick %v in frame %v", p.Number, n, p.Frame)
		}
		marks = append(marks, n)
	}
	for _, m := range marks {
		for _, h := range p.Holes {
			if d := toSegment(h, m) - h.D/2; d < clear-eps {
				t.Fatalf("plate %d: hole %+v is %g mm from the mark %v", p.Number, h, d, m)
			}
		}
	}
}

func toSegment(h design.Hole, m [4]float64) float64 {
	dx, dy := m[2]-m[0], m[3]-m[1]
	share := min(1, max(0, ((h.X-m[0])*dx+(h.Y-m[1])*dy)/(dx*dx+dy*dy)))
	return math.Hypot(h.X-m[0]-share*dx, h.Y-m[1]-share*dy)
}

// checkKinds holds the kinds of one plate against the rule of the trade: the
// larger cannot enter the smaller hole; brushed largest first (common practice).
func checkKinds(t rapid.TB, p design.Plate, met []design.Kind, opt Options) {
	t.Helper()
	for i, a := range met {
		for _, b := range met[:i] {
			large, small := a, b
			if large.Diameter < small.Diameter {
				large, small = small, large
			}
			if large.Size == small.Size || large.Smallest <= small.Hole {
				t.Fatalf("plate %d: %v falls into the holes of %v", p.Number, large, small)
			}
			if opt.Mode == ByColour && a.Colour != b.Colour {
				t.Fatalf("plate %d holds two colours", p.Number)
			}
		}
	}
	slices.SortFunc(met, func(a, b design.Kind) int { return int(math.Copysign(1, b.Diameter-a.Diameter)) })
	var order []string
	for _, k := range met {
		order = append(order, k.Size+" "+k.Colour)
	}
	if !slices.Equal(order, p.Order) {
		t.Fatalf("plate %d: order %v, want %v", p.Number, p.Order, order)
	}
}
