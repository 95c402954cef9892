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
	if p := lay(blue).fails(422, "colour-unknown"); !strings.Contains(p.Detail, "in the shop's book") {
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
	if i < 0 || l.Findings[i].Broken || l.Findings[i].Region != "disc" || l.Findings[i].Mend == nil || l.Findings[i].Mend.Label != "Set it in SS10" {
		t.Fatalf("%+v", l.Findings)
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
