package layout

import (
	"context"
	"errors"
	"math/rand/v2"
	"reflect"
	"sync"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// moved gives a request with everything moved.
func moved(req Request, by geom.Point) Request {
	out := req
	out.Regions = nil
	for _, r := range req.Regions {
		out.Regions = append(out.Regions, r.shifted(by))
	}
	return out
}

// at gives stones moved.
func at(stones []design.Stone, by geom.Point) []design.Stone {
	var out []design.Stone
	for _, s := range stones {
		p := round(geom.Point{X: s.X, Y: s.Y}.Add(by))
		s.X, s.Y = p.X, p.Y
		out = append(out, s)
	}
	return out
}

func laidOut(t *testing.T, req Request) Result {
	t.Helper()
	res, err := Run(t.Context(), req, nil)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// A design is laid out the same wherever it stands.
func TestPlaceChangesNothing(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(3, 4))
	req := emblem()
	req.Regions[3].BedAs.Centre = &geom.Point{X: 1, Y: 20}
	want := laidOut(t, req)
	for range 4 {
		by := geom.Snap(geom.Point{X: 200 * rnd.NormFloat64(), Y: 200 * rnd.NormFloat64()})
		if got := laidOut(t, moved(req, by)); !reflect.DeepEqual(got.Stones, at(want.Stones, by)) {
			t.Errorf("moved by %v it is laid out in another way", by)
		}
	}
}

// Whatever other designs have left, at whatever place and in whatever colours, a
// design is laid out as without it, by several at a time too.
func TestRepeatsChangeNothing(t *testing.T) {
	t.Parallel()
	repeats := &Repeats{}
	rnd := rand.New(rand.NewPCG(5, 6))
	var wait sync.WaitGroup
	for range 3 {
		req := moved(emblem(), geom.Snap(geom.Point{X: 90 * rnd.Float64(), Y: 50}))
		for step := range 5 {
			want := laidOut(t, req)
			for range 2 {
				with := req
				with.Repeats = repeats
				wait.Go(func() {
					if got, err := Run(t.Context(), with, nil); err != nil || !reflect.DeepEqual(got, want) {
						t.Errorf("step %d: the outcome is not that of a run without repeats (%v)", step, err)
					}
				})
			}
			wait.Wait() // before anything changes in place
			anyChange(rnd, &req, want.Stones)
		}
	}
	if len(repeats.kept) < 7 || repeats.stones == 0 {
		t.Errorf("%d regions are kept", len(repeats.kept))
	}
}

// A region that repeats is not laid again, and one whose laying was broken off is.
func TestRepeatsLayOnce(t *testing.T) {
	t.Parallel()
	repeats := &Repeats{}
	lone := Request{Effort: Live, Repeats: repeats, Regions: emblem().Regions[:1]}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := Run(ctx, lone, nil); !errors.Is(err, context.Canceled) || len(repeats.kept) != 0 {
		t.Errorf("cancelled: %v, %d are kept", err, len(repeats.kept))
	}
	for i := range 3 {
		req := moved(lone, geom.Snap(geom.Point{X: 31.7 * float64(i)}))
		req.Memory = &Memory{}
		laidOut(t, req)
		if n := req.Memory.Fresh(); (n == 1) != (i == 0) {
			t.Errorf("the region of design %d is laid %d times", i, n)
		}
	}
}

// A region as far from an earlier one as two stones must be is laid as it would be
// alone; nearer, or touching, it makes way.
func TestRegionsFarEnoughStandFree(t *testing.T) {
	t.Parallel()
	disc := func(x float64) Region {
		return Region{ID: "r", Shape: blot(x, 0, 11, 0), Bed: design.Comb, Size: "SS10", Diameter: 2.9, Gap: 0.9}
	}
	alone := laidOut(t, Request{Effort: Live, Regions: []Region{disc(0)}}).Stones
	for clear, same := range map[float64]bool{1.5: true, 0.2: false, 0: false} {
		by := geom.Snap(geom.Point{X: 22 + clear})
		req := Request{Effort: Live, Regions: []Region{disc(0), disc(0).shifted(by)}}
		both := laidOut(t, req).Stones
		if got := reflect.DeepEqual(both[len(alone):], at(alone, by)); got != same {
			t.Errorf("%g mm apart: as alone is %v", clear, got)
		}
		for i, s := range both {
			for _, o := range both[:i] {
				if d := (geom.Point{X: s.X, Y: s.Y}).Dist(geom.Point{X: o.X, Y: o.Y}); d < 3.8-gapEase {
					t.Errorf("%g mm apart: two stones have their centres %.4f mm from each other", clear, d)
				}
			}
		}
	}
}
