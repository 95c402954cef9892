package web

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"brushfall/internal/fit"
)

// A job of two lines, handed over as each is ready. Stones that the book does not know of
// are counted up where somebody says that they were there, and used: the shelf has none
// left of them after (arithmetic of the ledger).
func TestAJobIsHandedOverLineByLine(t *testing.T) {
	w := withShop(t)
	run := w.made(w.disc().ID)
	who := read[customerBody](w.send("POST", "/api/shop/customers", map[string]any{"name": "Saltmarsh Herons"}).is(201))
	w.send("POST", "/api/shop/stock/receive", map[string]any{"size": "SS10", "colour": "crystal", "pieces": 10, "cost": "1"}).is(201)
	w.send("POST", "/api/shop/jobs", map[string]any{"customer": who.ID, "lines": []any{
		map[string]any{"run": run, "quantity": 2, "destination": "garment"}, map[string]any{"run": run, "quantity": 3, "destination": "bag"},
	}}).is(201)
	step := func(what string, body map[string]any) answer {
		return w.send("POST", "/api/shop/jobs/1/"+what, body)
	}
	step("promise", map[string]any{}).is(200)
	step("hand-over", map[string]any{"line": 1}).fails(422, "job-line")
	short := step("make", map[string]any{"line": 1}).fails(422, "stock-short")
	if strings.Contains(short.Detail, "brushfall") || !strings.Contains(short.Detail, "all was there") {
		t.Errorf("what is short is told as %q", short.Detail)
	}
	step("make", map[string]any{"line": 1, "found": true}).is(200)
	if stock := read[[]holdingBody](w.send("GET", "/api/shop/stock", nil)); stock[0].Pieces != 0 {
		t.Errorf("%d are left of what was counted up to be used", stock[0].Pieces)
	}
	half := read[jobBody](step("hand-over", map[string]any{"line": 1, "note": "to the cox"}).is(200))
	if half.State != "promised" || !half.Partly || !half.Lines[0].Handed || half.Lines[1].Handed {
		t.Errorf("with one line handed over it is %+v", half)
	}
	step("hand-over", map[string]any{"line": 1}).fails(422, "job-line")
	step("make", map[string]any{"found": true}).is(200)
	done := read[jobBody](step("hand-over", map[string]any{"line": 2}).is(200))
	if done.State != "handed over" || done.Partly {
		t.Errorf("with both handed over it is %+v", done)
	}
	steps := read[[]stepBody](w.send("GET", "/api/shop/jobs/1/steps", nil).is(200))
	if at := steps[3]; at.What != "handed over" || at.Line != 1 || at.Note != "to the cox" || steps[2].Set == "" {
		t.Errorf("the steps are %+v", steps)
	}
}

// 100 stones of 1.42 g make one of 0.0142 g, and 21.35 g of them 1503.5, with the 95 %
// interval of docs/formats/book.md around; what was kept turns 14.2 g into 1,000.
func TestStonesAreCountedByWeightOnThePage(t *testing.T) {
	w := withShop(t)
	ask := map[string]any{"size": "SS10", "colour": "crystal", "samples": []any{map[string]any{"stones": 100, "grams": 1.42}}, "jar": 21.35, "step": 0.01}
	e := read[weighedBody](w.send("POST", "/api/shop/stock/weigh", ask).is(200))
	if math.Abs(float64(e.Pieces)-21.35/0.0142) > 0.5 || e.Low >= e.Pieces || e.High <= e.Pieces || e.Total != e.Pieces+100 || e.Booked != nil {
		t.Errorf("the weighing tells %+v", e)
	}
	if all := read[[]holdingBody](w.send("GET", "/api/shop/stock", nil)); len(all) != 0 {
		t.Errorf("looking booked %+v", all)
	}
	ask["keep"], ask["count"], ask["place"] = true, true, "drawer"
	e = read[weighedBody](w.send("POST", "/api/shop/stock/weigh", ask).is(200))
	if e.Booked == nil || e.Booked.Pieces != e.Total || e.Booked.Place != "drawer" || !strings.Contains(e.Booked.Note, fmt.Sprint(e.High)) {
		t.Errorf("booked is %+v", e.Booked)
	}
	got := read[deedBody](w.send("POST", "/api/shop/stock/receive", map[string]any{"size": "SS10", "colour": "crystal", "grams": 14.2, "cost": "4"}).is(201))
	if got.Pieces != 1000 {
		t.Errorf("14.2 g are %d pieces", got.Pieces)
	}
	w.send("POST", "/api/shop/stock/receive", map[string]any{"size": "SS10", "colour": "crystal", "grams": 14.2, "gross": 1}).fails(422, "usage")
	w.send("POST", "/api/shop/stock/receive", map[string]any{"size": "SS10", "colour": "crystal", "gross": 0.3}).fails(422, "pieces")
	ask["jar"] = -1
	w.send("POST", "/api/shop/stock/weigh", ask).fails(422, "weigh-scale")
}

// What trial holes showed is kept by size, flock and cutter, and layouts go by it: the
// group's number means the fit that its paper has beside it.
func TestFitsAreEnteredOnThePage(t *testing.T) {
	var kept fit.Book
	w := openWindow(t, func(o *Options) {
		o.Fits = func() (fit.Book, error) { return kept, nil }
		o.KeepFits = func(b fit.Book) error { kept = b; return nil }
	})
	if none := read[fitsBody](w.send("GET", "/api/fits", nil).is(200)); len(none.Fits) != 0 || none.Flock != fit.Usual {
		t.Errorf("with none entered they are %+v", none)
	}
	groups := read[[]groupBody](w.send("GET", "/api/papers/gauge?size=SS10&around=0.4&steps=5&step=0.1", nil).is(200))
	if len(groups) != 5 || groups[2].Fit != 0.4 || math.Abs(groups[3].Fit-0.5) > 1e-9 {
		t.Fatalf("the groups are %+v", groups)
	}
	w.send("PUT", "/api/fits", map[string]any{"size": "SS10", "flock": "black", "group": 4, "around": 0.4, "steps": 5, "step": 0.1}).is(200)
	d := w.disc()
	l := read[layoutBody](w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{"effort": "live"}).is(200))
	if f := l.Fits[0]; !f.Own || math.Abs(f.Fit-0.5) > 1e-9 {
		t.Errorf("the layout goes by %+v", f)
	}
	own := read[fitsBody](w.send("PUT", "/api/fits", map[string]any{"size": "SS6", "flock": "white", "cutter": "desk", "fit": 0.3, "usual": true}).is(200))
	if len(own.Fits) != 2 || own.Flock != "white" || own.Cutter != "desk" {
		t.Errorf("they are %+v", own)
	}
	w.send("PUT", "/api/fits", map[string]any{"size": "SS10", "group": 99}).fails(422, "gauge-answer")
	w.send("PUT", "/api/fits", map[string]any{"size": "SS10"}).fails(422, "usage")
	w.send("PUT", "/api/fits", map[string]any{"size": "SS10", "fit": 0.3, "flock": "a\tb"}).fails(422, "fit-name")
	if len(kept.Fits) != 2 {
		t.Errorf("what was refused is kept: %+v", kept)
	}
}
