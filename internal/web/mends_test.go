package web

import (
	"slices"
	"testing"
)

// crowded is a drawing with a shape that no stone of the usual size fits into, beside
// one that holds many.
const crowded = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<circle id="disc" cx="20" cy="20" r="18" fill="#1f4e79"/><circle id="dot" cx="50" cy="20" r="1.2" fill="#d4af37"/></svg>`

// Every mend that is offered does away with its finding when it is taken.
func TestMendsMend(t *testing.T) {
	w := openWindow(t)
	made := read[designBody](w.drop("/api/designs", "crowded.svg", []byte(crowded)).is(201))
	first := w.send("POST", "/api/designs/"+made.ID+"/layout", map[string]any{"effort": "live"})
	for _, f := range read[layoutBody](first.is(200)).Findings {
		if f.Mend != nil {
			t.Error("a quick look tries mends")
		}
	}
	for _, c := range []struct {
		code   string
		change map[string]any
		mended bool
	}{
		{"region-empty", map[string]any{"stone": map[string]any{"size": "SS10"}, "treatment": []any{"rim", "bed"}}, true},
		{"region-empty", map[string]any{"regions": []any{map[string]any{"match": map[string]any{"fill": "#d4af37"}, "treatment": []any{"rim"}, "stone": map[string]any{"size": "SS16", "colour": "jet"}}}}, true},
		{"rule-unused", map[string]any{"regions": []any{map[string]any{"match": map[string]any{"id": "moon"}}}}, true},
		{"hand-region", map[string]any{"hand": []any{map[string]any{"pin": map[string]any{"region": "moon", "at": []any{0.25, 0.5}}}}}, true},
		{"hand-outside", map[string]any{"hand": []any{map[string]any{"add": map[string]any{"region": "disc", "at": []any{0.99, 0.01}}}}}, true},
		{"kind-split", map[string]any{"gap": "0.3 mm"}, true},
		{"code-left-out", map[string]any{"frame": map[string]any{"code": "A CODE THAT IS LONG 123", "round": "0.5 in"}}, true},
		{"eye-shut", map[string]any{"lettering": []any{map[string]any{"text": "A", "face": "Lora Bold", "height": "12 mm"}}, "stone": map[string]any{"size": "SS10"}}, true},
	} {
		j := changed(t, made.Job, c.change)
		l := read[layoutBody](w.send("POST", "/api/designs/"+made.ID+"/layout", map[string]any{"effort": "final", "job": j}).is(200))
		i := slices.IndexFunc(l.Findings, func(f finding) bool { return f.ID == c.code })
		if i < 0 {
			t.Errorf("%s does not come: %+v", c.code, l.Findings)
			continue
		}
		f := l.Findings[i]
		if (f.Mend != nil) != c.mended {
			t.Errorf("%s: %q has the mend %+v", c.code, f.Text, f.Mend)
			continue
		}
		if l.Minutes == nil || l.Minutes.Cut <= 0 {
			t.Errorf("%s: no time to cut", c.code)
		}
		for k, v := range f.Mend.Job {
			j[k] = v
		}
		after := read[layoutBody](w.send("POST", "/api/designs/"+made.ID+"/layout", map[string]any{"effort": "final", "job": j}).is(200))
		if slices.ContainsFunc(after.Findings, func(o finding) bool { return o.ID == f.ID && o.Region == f.Region }) {
			t.Errorf("%s: %q is still there after %q: %+v", c.code, f.Text, f.Mend.Label, after.Findings)
		}
		t.Logf("%s: %s -> %s", c.code, f.Text, f.Mend.Label)
	}
}
