package web

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

// withShop starts a workbench with a book that is begun when something is booked.
func withShop(t *testing.T) *window {
	t.Helper()
	var book *store.Book
	path := filepath.Join(t.TempDir(), "shop.book")
	w := openWindow(t, func(o *Options) {
		o.Shop = func(_ context.Context, begin bool) (Shop, error) {
			var err error
			if book == nil && begin {
				book, err = store.Create(context.Background(), path)
			}
			if book == nil {
				return nil, err
			}
			return book, err
		}
	})
	t.Cleanup(func() {
		if book != nil {
			_ = book.Close()
		}
	})
	return w
}

// A month of a shop: nothing there, packs, what to buy, stones that come in, an order
// that is promised, made and handed over; the stock is what the ledger's arithmetic says.
func TestShopFromThePage(t *testing.T) {
	w := withShop(t)
	for _, path := range []string{"stock", "packs", "suppliers", "customers", "jobs", "templates", "prices", "shortages", "stock/history"} {
		if a := w.send("GET", "/api/shop/"+path, nil).is(200); string(a.body) != "[]\n" {
			t.Errorf("with no book %s is %q", path, a.body)
		}
	}
	w.send("PUT", "/api/shop/suppliers", map[string]any{"name": "Reed & Co", "delivery": "4.50"}).is(200)
	w.send("PUT", "/api/shop/packs", map[string]any{"supplier": "Reed & Co", "size": "ss10", "colour": "Crystal", "labelled": 1440, "prices": []any{map[string]any{"from": 1, "price": "6.50"}, map[string]any{"from": 3, "price": "5.90"}}}).is(200)
	packs := read[[]packBody](w.send("GET", "/api/shop/packs", nil).is(200))
	if len(packs) != 1 || packs[0].Size != "SS10" || len(packs[0].Prices) != 2 {
		t.Fatalf("the packs are %+v", packs)
	}
	// 3,000 stones are three packs of 1,440 at 5.90 each from three on, and 4.50 for delivery: 22.20.
	list := read[buyBody](w.send("POST", "/api/shop/buy", map[string]any{"wants": []any{map[string]any{"size": "SS10", "colour": "crystal", "pieces": 3000}}}).is(200))
	if list.Total != "22.2" || len(list.Needs) != 1 || list.Needs[0].Packs[0].Number != 3 || list.Needs[0].Short != 3000 {
		t.Errorf("the list is %+v", list)
	}
	w.send("POST", "/api/shop/stock/receive", map[string]any{"size": "SS10", "colour": "crystal", "gross": 20, "cost": "11.80", "supplier": "Reed & Co", "place": "drawer"}).is(201)
	w.send("POST", "/api/shop/stock/change", map[string]any{"what": "spoiled", "size": "SS10", "colour": "crystal", "pieces": 80, "place": "drawer"}).is(201)
	stock := read[[]holdingBody](w.send("GET", "/api/shop/stock", nil).is(200))
	if len(stock) != 1 || stock[0].Pieces != 20*catalogue.Gross-80 || stock[0].Lots[0].Places[0].Place != "drawer" || stock[0].Hex == "" {
		t.Fatalf("the stock is %+v", stock)
	}
	who := read[customerBody](w.send("POST", "/api/shop/customers", map[string]any{"name": "Saltmarsh Herons"}).is(201))
	d := w.disc()
	w.put(d, map[string]any{"effort": "live"}).is(200)
	takes := read[layoutBody](w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{}).is(200)).Counts[0]
	job := read[jobBody](w.send("POST", "/api/shop/jobs", map[string]any{"customer": who.ID, "due": "2026-12-04", "lines": []any{map[string]any{"run": w.made(d.ID), "quantity": 3, "destination": "garment"}}}).is(201))
	if job.State != "asked" || job.Called != "Saltmarsh Herons" || job.Lines[0].Name != "disc" {
		t.Fatalf("the job is %+v", job)
	}
	at := func(step string, body any) jobBody {
		return read[jobBody](w.send("POST", "/api/shop/jobs/"+fmt.Sprint(job.ID)+"/"+step, body).is(200))
	}
	at("promise", map[string]any{})
	if short := read[[]shortageBody](w.send("GET", "/api/shop/shortages", nil).is(200)); len(short) == 0 || short[0].Reserved != 3*(takes.Pieces+takes.Spare) || short[0].Short != 0 {
		t.Errorf("reserved is %+v", short)
	}
	if made := at("make", map[string]any{"place": "drawer"}); made.State != "made" {
		t.Errorf("made it is %+v", made)
	}
	if done := at("hand-over", map[string]any{}); done.State != "handed over" {
		t.Errorf("handed over it is %+v", done)
	}
	if left := read[[]holdingBody](w.send("GET", "/api/shop/stock", nil))[0].Pieces; left != 20*catalogue.Gross-80-3*takes.Pieces {
		t.Errorf("%d stones are left", left)
	}
	if steps := read[[]stepBody](w.send("GET", "/api/shop/jobs/"+fmt.Sprint(job.ID)+"/steps", nil).is(200)); len(steps) != 4 {
		t.Errorf("the steps are %+v", steps)
	}
	w.send("PUT", "/api/shop/prices", []any{map[string]any{"design": "Heron badge", "for": "transfer", "from": 1, "price": "4.50"}}).is(200)
	if prices := read[[]ListedRow](w.send("GET", "/api/shop/prices", nil).is(200)); len(prices) != 1 || prices[0].Price != "4.5" {
		t.Errorf("the prices are %+v", prices)
	}
	w.send("DELETE", "/api/shop/customers/"+fmt.Sprint(who.ID), nil).is(200)
	if all := read[[]customerBody](w.send("GET", "/api/shop/customers", nil).is(200)); len(all) != 0 {
		t.Errorf("after erasing there are %+v", all)
	}
}

func TestShopRefuses(t *testing.T) {
	w := withShop(t)
	w.send("POST", "/api/shop/stock/receive", map[string]any{"size": "SS99", "colour": "crystal", "pieces": 1}).fails(422, "size-unknown")
	w.send("POST", "/api/shop/stock/receive", map[string]any{"size": "SS10", "colour": "crystal", "pieces": 1, "cost": "6,50"}).fails(422, "money")
	w.send("POST", "/api/shop/stock/receive", map[string]any{"size": "SS10", "colour": "crystal", "pieces": -1}).fails(422, "request")
	if p := w.send("POST", "/api/shop/stock/change", map[string]any{"what": "used", "size": "SS10", "colour": "crystal", "pieces": 5}).fails(422, "stock-short"); strings.Contains(p.Detail, "brushfall") || !strings.Contains(p.Help, "Stock") {
		t.Errorf("the page is told of a command: %+v", p)
	}
	w.send("POST", "/api/shop/stock/change", map[string]any{"what": "eaten", "size": "SS10", "colour": "crystal", "pieces": 5}).fails(422, "request")
	w.send("POST", "/api/shop/jobs", map[string]any{"lines": []any{map[string]any{"run": "none", "quantity": 1, "destination": "garment"}}}).fails(404, "run-missing")
	w.send("POST", "/api/shop/jobs", map[string]any{"lines": []any{}}).fails(422, "job")
	w.send("GET", "/api/shop/jobs/7", nil).fails(404, "job-unknown")
	w.send("POST", "/api/shop/jobs/7/eat", map[string]any{}).fails(422, "request")
	w.send("GET", "/api/shop/templates/NONE", nil).fails(422, "template-code")
	w.send("GET", "/api/shop/templates/NONE/picture", nil).fails(422, "template-code")
	w.send("POST", "/api/shop/customers", map[string]any{"name": "Mallory"}, "Origin", "https://evil.example").fails(403, "cross-origin")
	openWindow(t).send("GET", "/api/shop/stock", nil).fails(404, "book-missing")
}

// What is to be bought for designs of the bench is what their layouts take.
func TestBuyForDesigns(t *testing.T) {
	w := withShop(t)
	d := w.disc()
	l := read[layoutBody](w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{}).is(200))
	list := read[buyBody](w.send("POST", "/api/shop/buy", map[string]any{"designs": []any{map[string]any{"id": d.ID, "number": 30}}}).is(200))
	if want := 30 * (l.Counts[0].Pieces + l.Counts[0].Spare); len(list.Needs) != 1 || list.Needs[0].Wanted != want || list.Needs[0].Unpriced == 0 {
		t.Errorf("the list is %+v, want %d", list, want)
	}
}

// What a transfer costs stands beside its layout: nothing without a book, why not while
// prices are missing, and then the stones' share of their lot, where all else is free:
// 2,880 for 14.40 are 0.005 each.
func TestCostOfALayout(t *testing.T) {
	w := withShop(t)
	d := w.disc()
	final := func() layoutBody {
		return read[layoutBody](w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{"effort": "final"}).is(200))
	}
	if c := final().Cost; c == nil || c.Each != "" || c.Missing == "" {
		t.Errorf("without a book the cost is %+v", c)
	}
	w.send("POST", "/api/shop/stock/receive", map[string]any{"size": "SS10", "colour": "crystal", "gross": 20, "cost": "14.40"}).is(201)
	if c := final().Cost; c.Each != "" || !strings.Contains(c.Missing, "labour") {
		t.Errorf("without the price of work the cost is %+v", c)
	} else if c.Code != "price-unset" || c.Of != "labour, flock, tape" || strings.Contains(c.Missing, "brushfall") {
		t.Errorf("what the cost lacks is %+v", c)
	}
	b, err := w.server.opt.Shop(t.Context(), false)
	if err != nil {
		t.Fatal(err)
	}
	var rates []shop.Rate
	for name, value := range map[string]string{"labour": "0", "flock": "0", "tape": "0", "waste": "0%", "currency": "EUR"} {
		rates = append(rates, shop.Rate{Name: name, Value: value})
	}
	if err := b.SetRates(t.Context(), w.server.opt.Now(), rates); err != nil {
		t.Fatal(err)
	}
	l := final()
	if want := fmt.Sprintf("%.2f", float64(l.Total.Pieces)*0.005); l.Cost.Each != want || l.Cost.Currency != "EUR" || l.Cost.Missing != "" {
		t.Errorf("%d stones cost %+v, want %s", l.Total.Pieces, l.Cost, want)
	}
}

// Of each region the layout says which rule sets it, and of a stroke that the program
// gave one row, that it is too narrow for more; not where one row was asked for.
func TestRuleAndAdviceOfARegion(t *testing.T) {
	w := openWindow(t)
	drawing := `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="40mm" viewBox="0 0 100 40"><rect id="thin" width="100" height="4"/><rect id="asked" y="8" width="100" height="4"/><rect id="wide" y="16" width="100" height="24"/></svg>`
	d := read[designBody](w.drop("/api/designs", "strokes.svg", []byte(drawing)).is(201))
	job := changed(t, d.Job, map[string]any{"regions": []any{map[string]any{"match": map[string]string{"id": "asked"}, "treatment": []string{"spine"}}}})
	l := read[layoutBody](w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{"job": job}).is(200))
	for _, r := range l.Regions {
		rule := map[string]int{"asked": 0, "thin": -1, "wide": -1}[r.ID]
		if r.Rule != rule || (r.Advice != "") != (r.ID == "thin") {
			t.Errorf("%s: rule %d, advice %q", r.ID, r.Rule, r.Advice)
		}
	}
	if len(l.Regions) != 3 {
		t.Errorf("%d regions", len(l.Regions))
	}
}
