package web

import (
	"context"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/shop"
)

// The shop's own colours are among those to choose from, and jobs may name them, with
// their looks on the mat; a size that one does not come in is told with a mend.
func TestOwnColoursOnTheBench(t *testing.T) {
	w := withShop(t)
	d := w.disc()
	blue := map[string]any{"stone": map[string]any{"size": "SS10", "colour": "Harbour Blue"}, "regions": nil}
	lay := func(change map[string]any) answer {
		return w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{"effort": "final", "job": changed(t, d.Job, change)})
	}
	if p := lay(blue).fails(422, "colour-unknown"); !strings.Contains(p.Detail, "under Catalogue") {
		t.Errorf("%+v", p)
	}
	b, err := w.server.opt.Shop(context.Background(), true)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []shop.Colour{{Name: "harbour blue", Shown: "#27567f", Finish: catalogue.AB, Sizes: []string{"SS6", "SS10"}}, {Name: "old rose", Shown: "#aa5566", Finish: catalogue.Clear, Retired: true}} {
		if err := b.SetColour(context.Background(), c); err != nil {
			t.Fatal(err)
		}
	}
	about := read[about](w.send("GET", "/api/about", nil).is(200))
	i := slices.IndexFunc(about.Colours, func(c aboutColour) bool { return c.Name == "harbour blue" })
	if i < 0 || !about.Colours[i].Own || !about.Colours[i].AB || about.Colours[i].Hex != "#27567f" || len(about.Colours[i].Sizes) != 2 || !slices.ContainsFunc(about.Colours, func(c aboutColour) bool { return c.Name == "old rose" && c.Retired }) {
		t.Errorf("%+v", about.Colours)
	}
	l := read[layoutBody](lay(blue).is(200))
	if len(l.Kinds) != 1 || l.Kinds[0].Hex != "#27567f" || !l.Kinds[0].AB {
		t.Errorf("%+v", l.Kinds)
	}
	l = read[layoutBody](lay(map[string]any{"regions": []any{map[string]any{"match": map[string]any{"id": "disc"}, "stone": map[string]any{"size": "SS16", "colour": "harbour blue"}}}}).is(200))
	i = slices.IndexFunc(l.Findings, func(f finding) bool { return f.ID == "colour-size" })
	if i < 0 || l.Findings[i].Broken || l.Findings[i].Region != "disc" || l.Findings[i].Mend == nil || l.Findings[i].Mend.Label != "Set them in SS10" {
		t.Fatalf("%+v", l.Findings)
	}
	l = read[layoutBody](lay(map[string]any{"stone": map[string]any{"size": "SS16", "colour": "harbour blue"}}).is(200))
	i = slices.IndexFunc(l.Findings, func(f finding) bool { return f.ID == "colour-size" })
	if i < 0 || l.Findings[i].Mend == nil {
		t.Fatalf("%+v", l.Findings)
	}
	if stone, ok := l.Findings[i].Mend.Job["stone"].(map[string]any); !ok || stone["size"] != "SS10" || stone["colour"] != "harbour blue" {
		t.Errorf("%+v", l.Findings[i].Mend)
	}
	w.put(d, blue).is(200)
	w.made(d.ID)
	if err := b.SetColour(context.Background(), shop.Colour{Name: "harbour blue", Shown: "#27567f", Finish: catalogue.AB, Sizes: []string{"SS6"}}); err != nil {
		t.Fatal(err)
	}
	run := read[runOut](w.send("POST", "/api/designs/"+d.ID+"/runs", nil).is(202)).Run
	if events := string(w.send("GET", "/api/runs/"+run+"/events", nil).is(200).body); !strings.Contains(events, "colour-size") {
		t.Errorf("it was made in a size that there is none of: %.300s", events)
	}
}

// The catalogue is changed as by the commands: a row is new or takes the place of the one
// of its name, what cannot be is refused whole, and a change begins the book.
func TestChangingTheCatalogue(t *testing.T) {
	w := withShop(t)
	own := func() (out []catalogueColour) {
		for _, c := range read[catalogueBody](w.send("GET", "/api/shop/catalogue", nil).is(200)).Colours {
			if c.Own {
				out = append(out, c)
			}
		}
		return out
	}
	for _, wrong := range []map[string]any{{"colour": "", "hex": "#27567f"}, {"colour": "a", "hex": "blue"}} {
		w.send("PUT", "/api/shop/catalogue/colours", wrong).fails(422, "colour")
	}
	w.send("PUT", "/api/shop/catalogue/colours", map[string]any{"colour": "a", "hex": "#27567f", "finish": "dull"}).fails(422, "request")
	w.send("PUT", "/api/shop/catalogue/colours", map[string]any{"colour": "a", "hex": "#27567f", "sizes": []string{"SS11"}}).fails(422, "size-unknown")
	if got := own(); len(got) != 0 {
		t.Fatalf("what was refused is there: %+v", got)
	}
	row := read[catalogueColour](w.send("PUT", "/api/shop/catalogue/colours", map[string]any{"colour": " Harbour  Blue", "hex": "#27567F", "finish": "ab", "sizes": []string{"ss10", "SS6"}}).is(200))
	if row.Colour != "harbour blue" || row.Hex != "#27567f" || !row.Own || strings.Join(row.Sizes, " ") != "SS6 SS10" {
		t.Errorf("%+v", row)
	}
	w.send("PUT", "/api/shop/catalogue/colours", map[string]any{"colour": "harbour blue", "hex": "#27567f", "retired": true}).is(200)
	if got := own(); len(got) != 1 || !got[0].Retired || got[0].Finish != "clear" || len(got[0].Sizes) != 0 {
		t.Errorf("%+v", got)
	}
	w.send("POST", "/api/shop/stock/receive", map[string]any{"size": "SS16", "colour": "harbour blue", "pieces": 10}).is(201)
	if stock := read[[]holdingBody](w.send("GET", "/api/shop/stock", nil).is(200)); stock[0].Hex != "#27567f" {
		t.Errorf("%+v", stock)
	}

	w.send("PUT", "/api/shop/catalogue/goods", map[string]any{"class": "blank", "name": "hoodie", "usual": true}).fails(422, "goods")
	w.send("PUT", "/api/shop/catalogue/goods", map[string]any{"class": "flock", "name": "white roll", "width": 300, "height": 20_000}).fails(422, "goods")
	w.send("PUT", "/api/shop/catalogue/goods", map[string]any{"class": "flock", "name": "white", "cost": "6,50"}).fails(422, "money")
	g := read[goodsBody](w.send("PUT", "/api/shop/catalogue/goods", map[string]any{"class": "flock", "name": "White 12 x 20 in", "width": 304.8, "height": 508, "cost": "6.50", "usual": true}).is(200))
	if g.Name != "white 12 x 20 in" || !g.Usual || !g.Own || g.Cost != "6.5" {
		t.Errorf("%+v", g)
	}
	usual := 0
	for _, o := range read[catalogueBody](w.send("GET", "/api/shop/catalogue", nil).is(200)).Goods {
		if o.Class == "flock" && o.Usual {
			usual++
		}
	}
	if usual != 1 {
		t.Errorf("%d sheets of flock are the usual one", usual)
	}
	w.send("PUT", "/api/shop/catalogue/colours", map[string]any{"colour": "b", "hex": "#27567f"}, "Origin", "https://evil.example").fails(403, "cross-origin")
}
