package web

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/job"
)

func TestWhatThereIs(t *testing.T) {
	w := openWindow(t)
	a := read[about](w.send("GET", "/api/about", nil).is(200))
	if len(a.Sizes) < 10 || len(a.Colours) < 20 || len(a.Faces) != 7 || len(a.Samples) != 1 || len(a.Garments) < 10 || a.Limits.Upload != 32<<20 {
		t.Errorf("about is %+v", a)
	}
	var api struct {
		OpenAPI string
		Paths   map[string]any
	}
	if api = read[struct {
		OpenAPI string
		Paths   map[string]any
	}](w.send("GET", "/api/openapi.json", nil).is(200)); !strings.HasPrefix(api.OpenAPI, "3.1") || api.Paths["/api/designs/{id}/layout"] == nil {
		t.Errorf("OpenAPI %s with %d paths", api.OpenAPI, len(api.Paths))
	}
	w.send("GET", "/docs", nil).is(200) // the page itself, no page of documentation from elsewhere
}

// A person's way: drop, look, change, undo, make.
func TestFromDrawingToFiles(t *testing.T) {
	w := openWindow(t)
	d := w.disc()
	if d.Name != "disc" || d.Revision != 1 || len(d.Drawings) != 1 || d.Drawings[0].Name != "disc.svg" {
		t.Fatalf("the design is %s", d.Job)
	}
	// From the disc's left edge at 2 mm to the right edge of the line, which is 1 mm wide, at 42.5 mm.
	if !strings.Contains(string(d.Job), `"width":"40.50 mm"`) {
		t.Errorf("it is not at its own size: %s", d.Job)
	}
	path := "/api/designs/" + d.ID
	l := read[layoutBody](w.send("POST", path+"/layout", map[string]string{"effort": "live"}).is(200))
	if l.Total.Pieces != len(l.Stones.X) || l.Total.Pieces < 50 || len(l.Regions) != 2 || len(l.Plates) != 1 || len(l.Sheets) != 1 {
		t.Errorf("the layout has %d stones in %+v", len(l.Stones.X), l.Regions)
	}
	trial := changed(t, d.Job, map[string]any{"stone": map[string]string{"size": "SS6", "colour": "jet"}})
	other := read[layoutBody](w.send("POST", path+"/layout", map[string]any{"job": trial}).is(200))
	if len(other.Stones.X) <= len(l.Stones.X) || other.Kinds[0].Size != "SS6" || other.Revision != 1 {
		t.Errorf("smaller stones are %d, not more than %d", len(other.Stones.X), len(l.Stones.X))
	}
	w.put(d, map[string]any{"stone": map[string]string{"size": "SS6", "colour": "jet"}}).is(200)
	now := read[designBody](w.send("POST", path+"/undo", nil).is(200))
	if now.Revision != 1 || now.Last != 2 || !bytes.Equal(now.Job, d.Job) {
		t.Errorf("after undoing it is %+v", now)
	}
	if now = read[designBody](w.send("POST", path+"/redo", nil).is(200)); now.Revision != 2 || !strings.Contains(string(now.Job), "SS6") {
		t.Errorf("after doing it again it is %+v", now)
	}
	list := read[[]designRow](w.send("GET", "/api/designs", nil).is(200))
	if len(list) != 1 || list[0].Stones != len(l.Stones.X) || list[0].Width != 40.5 {
		t.Errorf("the list is %+v", list)
	}
	if picture := w.send("GET", list[0].Picture, nil).is(200); !bytes.HasPrefix(picture.body, []byte("\x89PNG")) {
		t.Error("the picture is none")
	}
	run := w.made(d.ID)
	files := read[[]runFile](w.send("GET", "/api/runs/"+run+"/files", nil).is(200))
	for _, name := range []string{"layout.json", "sheet-1.svg", "sheet-1.plt", "ticket.pdf", "disc.yaml", "disc.svg"} {
		if !slices.ContainsFunc(files, func(f runFile) bool { return f.Name == name }) {
			t.Errorf("there is no %s among %+v", name, files)
		}
	}
	w.send("DELETE", path, nil).is(204)
	w.send("GET", path, nil).fails(404, "design-missing")
	w.send("POST", path+"/restore", nil).is(200)
}

// The files are those that the job file gives with the engine alone, byte for byte,
// and the zip holds them in their order, the same each time.
func TestSameBytesAsTheEngine(t *testing.T) {
	w := openWindow(t)
	d := w.disc()
	run := w.made(d.ID)
	text := w.send("GET", "/api/designs/"+d.ID+"/job.yaml", nil).is(200).body
	art := w.send("GET", "/api/designs/"+d.ID+"/drawings/disc.svg", nil).is(200).body
	j, err := job.Parse("job.yaml", text)
	if err != nil {
		t.Fatal(err)
	}
	j.Artwork = art
	res, err := job.Run(t.Context(), j, nil)
	if err != nil {
		t.Fatal(err)
	}
	packed := w.send("GET", "/api/runs/"+run+"/all.zip", nil).is(200).body
	z, err := zip.NewReader(bytes.NewReader(packed), int64(len(packed)))
	if err != nil {
		t.Fatal(err)
	}
	want := append(slices.Clone(res.Files()), job.File{Name: "disc.yaml", Data: text}, job.File{Name: "disc.svg", Data: art})
	if len(z.File) != len(want) {
		t.Fatalf("%d files are packed, want %d", len(z.File), len(want))
	}
	for i, f := range want {
		in, err := z.File[i].Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(in)
		if err != nil || z.File[i].Name != f.Name || !bytes.Equal(data, f.Data) {
			t.Errorf("file %d is %s with %d bytes, want %s with %d (%v)", i, z.File[i].Name, len(data), f.Name, len(f.Data), err)
		}
		if one := w.send("GET", "/api/runs/"+run+"/files/"+f.Name, nil).is(200).body; !bytes.Equal(one, f.Data) {
			t.Errorf("%s alone differs", f.Name)
		}
	}
	if again := w.send("GET", "/api/runs/"+run+"/all.zip", nil).body; !bytes.Equal(again, packed) {
		t.Error("the zip differs from time to time")
	}
}

func TestLetteringAlone(t *testing.T) {
	w := openWindow(t)
	d := read[designBody](w.send("POST", "/api/designs", map[string]any{"lettering": map[string]string{"text": "Splash", "height": "1 in"}}).is(201))
	if l := read[layoutBody](w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{}).is(200)); d.Name != "Splash" || len(l.Stones.X) < 40 {
		t.Errorf("%s has %d stones", d.Name, len(l.Stones.X))
	}
	if o := read[outlineBody](w.send("GET", "/api/designs/"+d.ID+"/outline", nil).is(200)); len(o.Regions) != 6 || !strings.HasPrefix(o.Regions[0].D, "M") {
		t.Errorf("the outline has %d regions", len(o.Regions))
	}
	w.send("POST", "/api/designs", map[string]any{"lettering": map[string]string{"text": " "}}).fails(422, "lettering-empty")
	w.send("POST", "/api/designs", map[string]any{"lettering": map[string]string{"text": "A", "face": "No Such Face"}}).is(422)
}

// What cannot be is refused, with its place, and nothing is saved.
func TestJobsThatAreRefused(t *testing.T) {
	w := openWindow(t)
	d := w.heron()
	path := "/api/designs/" + d.ID + "/job"
	for _, c := range []struct {
		name   string
		change map[string]any
		code   string
		where  string
	}{
		{"unknown key", map[string]any{"stones": 1}, "job-key", "job:12:1"},
		{"wrong value", map[string]any{"gap": "wide"}, "length-number", ""},
		{"no such size", map[string]any{"stone": map[string]string{"size": "SS99"}}, "size-unknown", ""},
		{"a file that is not there", map[string]any{"artwork": "../../../etc/passwd.svg"}, "artwork-missing", ""},
		{"no width", map[string]any{"width": nil}, "width-missing", ""},
		{"a font of the machine by its path", map[string]any{"lettering": []any{map[string]string{"text": "A", "face": "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf", "height": "20 mm"}}}, "face-unknown", ""},
	} {
		p := read[problem](w.put(d, c.change).is(422))
		if p.Code != c.code || p.Detail == "" {
			t.Errorf("%s: %+v, want %s", c.name, p, c.code)
		}
		if strings.HasPrefix(p.Where, "job:") == (c.code == "face-unknown" || c.code == "artwork-missing" || c.code == "width-missing") {
			t.Errorf("%s: the place is %q", c.name, p.Where)
		}
	}
	w.send("PUT", path, []byte(`[1]`), "If-Match", "1").fails(422, "job-json")
	w.send("PUT", path, []byte(d.Job), "If-Match", "7").fails(409, "design-revision")
	w.send("PUT", path, []byte(d.Job)).is(422)
	w.send("PUT", path, []byte(d.Job), "If-Match", "x").fails(400, "request")
	if now := read[designBody](w.send("GET", "/api/designs/"+d.ID, nil).is(200)); now.Revision != 1 || !bytes.Equal(now.Job, d.Job) {
		t.Errorf("something was saved: %+v", now)
	}
}

// A newer layout ends the one under way for the same window, and that one says so;
// that of another window is laid too.
func TestNewestLayoutWins(t *testing.T) {
	w := openWindow(t)
	d := w.heron()
	desk := w.server.desks.of(d.ID)
	desk.busy <- struct{}{} // as if a long layout were under way
	lay := func(window string) chan answer {
		out := make(chan answer)
		go func() { out <- w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{"window": window}) }()
		return out
	}
	waits := func(windows int) {
		for n := 0; n < windows; {
			desk.mu.Lock()
			n = len(desk.under)
			desk.mu.Unlock()
		}
	}
	old := lay("one")
	waits(1)
	other := lay("two")
	waits(2)
	fresh := lay("one")
	(<-old).fails(409, "layout-newer")
	<-desk.busy
	(<-fresh).is(200)
	(<-other).is(200)
	desk.mu.Lock()
	defer desk.mu.Unlock()
	if len(desk.under) > 0 {
		t.Errorf("%d layouts are kept for newer ones to end, though all have ended", len(desk.under))
	}
}

// What a layout remembers changes nothing: after any changes it is what a new start gives.
func TestMemoryChangesNothing(t *testing.T) {
	w, fresh := openWindow(t), openWindow(t)
	d := w.heron()
	var jobs []map[string]any
	for i, size := range []string{"SS8", "SS6"} {
		rules := changed(t, d.Job, nil)["regions"].([]any)
		rules[i+2].(map[string]any)["stone"] = map[string]string{"size": size, "colour": "jet"}
		jobs = append(jobs, changed(t, d.Job, map[string]any{"regions": rules, "gap": fmt.Sprintf("%g mm", 0.9+0.1*float64(i))}))
	}
	strip := func(a answer) string {
		l := read[layoutBody](a.is(200))
		l.MS, l.Revision = 0, 0
		text, err := json.Marshal(l)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	for i, j := range jobs {
		e := fresh.heron()
		got := strip(w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{"job": j}))
		if want := strip(fresh.send("POST", "/api/designs/"+e.ID+"/layout", map[string]any{"job": j})); got != want {
			t.Errorf("job %d: the layout depends on what was laid before", i)
		}
	}
}
