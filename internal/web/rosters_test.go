package web

import (
	"bytes"
	"fmt"
	"mime/multipart"
	"reflect"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/job"
	"brushfall/internal/roster"
)

// list sends a list for a design.
func (w *window) list(design, name, text string) answer {
	w.Helper()
	var b bytes.Buffer
	form := multipart.NewWriter(&b)
	part, err := form.CreateFormFile("list", name)
	if err == nil {
		_, err = part.Write([]byte(text))
	}
	if err == nil {
		err = form.WriteField("design", design)
	}
	if err == nil {
		err = form.Close()
	}
	if err != nil {
		w.Fatal(err)
	}
	return w.send("POST", "/api/rosters", b.Bytes(), "Content-Type", form.FormDataContentType())
}

func TestListOfNames(t *testing.T) {
	w := openWindow(t)
	d := read[designBody](w.send("POST", "/api/designs", map[string]any{"lettering": map[string]string{"text": "{name}", "face": "EMS Readability", "height": "20 mm"}}).is(201))
	w.put(d, map[string]any{"effort": "live", "design": "Crew {name}"}).is(200)
	const good = "name,quantity,boat\nOtter,2,1\nReed,,2\nOtter,1,3\n"
	r := read[rosterBody](w.list(d.ID, "crew.csv", good).is(200))
	if r.Designs != 2 || r.Transfers != 4 || len(r.Rows) != 3 || len(r.Faults) != 0 || !slices.Equal(r.Unused, []string{"boat"}) || r.Rows[1].Number != 3 {
		t.Fatalf("the list is %+v", r)
	}
	run := read[runOut](w.send("POST", "/api/rosters/"+r.Roster+"/runs", map[string]any{}).is(202)).Run
	if events := string(w.send("GET", "/api/runs/"+run+"/events", nil).is(200).body); !strings.Contains(events, "event: done") {
		t.Fatalf("it ends with %.400s", events)
	}
	// The files are those of the engine with the job file that can be downloaded.
	tm, err := job.ParseTemplate("job", w.send("GET", "/api/designs/"+d.ID+"/job.yaml", nil).is(200).body)
	if err != nil {
		t.Fatal(err)
	}
	l, faults, err := roster.Read("crew.csv", strings.NewReader(good))
	if err != nil {
		t.Fatal(err)
	}
	composed, err := job.Compose(tm, l, faults, "test", func(j job.Job) (job.Job, error) { return j, nil })
	if err != nil {
		t.Fatal(err)
	}
	want := &gathering{}
	if _, err := job.RunRoster(t.Context(), composed, job.RosterOptions{Store: want}, nil); err != nil {
		t.Fatal(err)
	}
	files := read[[]runFile](w.send("GET", "/api/runs/"+run+"/files", nil).is(200))
	if len(files) != len(want.sorted()) || len(files) < 16 || strings.Contains(files[0].Name, "/") {
		t.Fatalf("%d files, want %d: %+v", len(files), len(want.files), files)
	}
	for i, f := range want.sorted() {
		if got := w.send("GET", "/api/runs/"+run+"/files/"+strings.ReplaceAll(f.Name, "/", "%2F"), nil).is(200); files[i].Name != f.Name || !bytes.Equal(got.body, f.Data) {
			t.Errorf("file %d is %s, want %s, or differs", i, files[i].Name, f.Name)
		}
	}
}

func TestFaultyList(t *testing.T) {
	w := openWindow(t)
	d := read[designBody](w.send("POST", "/api/designs", map[string]any{"lettering": map[string]string{"text": "{name}", "face": "EMS Readability", "height": "20 mm"}}).is(201))
	w.put(d, map[string]any{"effort": "live"}).is(200)
	r := read[rosterBody](w.list(d.ID, "crew.csv", "name,quantity\nOtter,2\n,1\nReed,many\n").is(200))
	if len(r.Faults) != 2 || r.Designs != 1 || !r.Rows[1].Faulty || r.Rows[0].Faulty || r.Faults[1].Row != 4 || r.Faults[1].Column != "quantity" {
		t.Fatalf("the list is %+v", r)
	}
	path := "/api/rosters/" + r.Roster + "/runs"
	w.send("POST", path, map[string]any{}).fails(422, "roster-faulty")
	run := read[runOut](w.send("POST", path, map[string]any{"skip_faulty": true}).is(202)).Run
	if events := string(w.send("GET", "/api/runs/"+run+"/events", nil).is(200).body); !strings.Contains(events, "event: done") {
		t.Errorf("without the faulty rows it ends with %.300s", events)
	}
	w.list(d.ID, "crew.csv", "").is(422)
	w.list(d.ID, "crew.xlsx", "PK no workbook").is(422)
	w.list(d.ID, "crew.csv", "word\nx\n").is(422)
	w.list("none", "crew.csv", "name\nx\n").fails(404, "design-missing")
	w.list(w.disc().ID, "crew.csv", "name\nx\n").fails(422, "job-field")
	w.send("POST", "/api/rosters/none/runs", map[string]any{}).fails(404, "roster-missing")
}

// A run that is stopped says so and has no files; a job with several widths has a
// folder for each.
func TestRunsStopAndHaveFolders(t *testing.T) {
	w := openWindow(t)
	d := w.disc()
	w.server.runs.one <- struct{}{} // as if another run were under way
	run := read[runOut](w.send("POST", "/api/designs/"+d.ID+"/runs", nil).is(202)).Run
	w.send("GET", "/api/runs/"+run+"/files", nil).fails(409, "run-under-way")
	w.send("DELETE", "/api/runs/"+run, nil).is(204)
	if events := string(w.send("GET", "/api/runs/"+run+"/events", nil).is(200).body); !strings.Contains(events, "event: failed") || !strings.Contains(events, "run-stopped") {
		t.Errorf("it ends with %s", events)
	}
	w.send("GET", "/api/runs/"+run+"/all.zip", nil).fails(409, "run-stopped")
	<-w.server.runs.one
	w.put(d, map[string]any{"effort": "live", "width": nil, "widths": []string{"40 mm", "50 mm"}}).is(200)
	if l := read[layoutBody](w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{}).is(200)); l.Width != 40 {
		t.Errorf("what is shown is %g mm wide", l.Width)
	}
	files := fmt.Sprint(read[[]runFile](w.send("GET", "/api/runs/"+w.made(d.ID)+"/files", nil).is(200)))
	for _, name := range []string{"40mm/sheet-1.plt", "50mm/layout.json", "sizes.csv", "disc.svg"} {
		if !strings.Contains(files, name) {
			t.Errorf("there is no %s in %s", name, files)
		}
	}
	w.send("GET", "/api/runs/none/events", nil).fails(404, "run-missing")
}

// A field may stand where a size or a colour should: the bench saves it, shows what it
// says for an empty cell, and makes files of it from a list alone.
func TestFieldsBesideWords(t *testing.T) {
	w := openWindow(t)
	d := read[designBody](w.send("POST", "/api/designs", map[string]any{"lettering": map[string]any{"text": "{name}", "height": "20 mm"}}).is(201))
	with := func(size string) map[string]any {
		return changed(t, d.Job, map[string]any{"stone": map[string]any{"size": size, "colour": "{colour|jet}"}})
	}
	w.put(d, with("{size}")).fails(422, "job-field")
	w.put(d, with("{size|SS6}")).is(200)
	l := read[layoutBody](w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{}).is(200))
	if len(l.Kinds) != 1 || l.Kinds[0].Size != "SS6" || l.Kinds[0].Colour != "jet" {
		t.Errorf("the kinds are %+v", l.Kinds)
	}
	w.send("POST", "/api/designs/"+d.ID+"/runs", map[string]any{}).fails(422, "job-field")
}

// Before there is a list the bench and the shelf show the words of a field for an empty
// cell, its name where it has none; the job keeps its fields, and a list its cells.
func TestWordsOfAListAreShown(t *testing.T) {
	w := openWindow(t)
	lettered := func(text string) (designBody, layoutBody) {
		d := read[designBody](w.send("POST", "/api/designs", map[string]any{"lettering": map[string]any{"text": text, "height": "20 mm"}}).is(201))
		return d, read[layoutBody](w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{}).is(200))
	}
	for text, words := range map[string]string{"{name|Mudlark}": "Mudlark", "{name}": "name"} {
		_, want := lettered(words)
		d, got := lettered(text)
		if len(want.Stones.X) == 0 || got.Width != want.Width || !reflect.DeepEqual(got.Stones, want.Stones) {
			t.Errorf("%s is laid %g mm wide with %d stones, %s %g mm with %d", text, got.Width, len(got.Stones.X), words, want.Width, len(want.Stones.X))
		}
		list := read[[]designRow](w.send("GET", "/api/designs", nil).is(200))
		if i := slices.IndexFunc(list, func(r designRow) bool { return r.ID == d.ID }); i < 0 || list[i].Name != words {
			t.Errorf("the shelf is %+v, want the name %s", list, words)
		}
		if kept := w.send("GET", "/api/designs/"+d.ID+"/job.yaml", nil).is(200); !strings.Contains(string(kept.body), text) {
			t.Errorf("the job file has lost %s: %s", text, kept.body)
		}
		r := read[rosterBody](w.list(d.ID, "crew.csv", "name\nOtter\n").is(200))
		p, err := w.server.rosters.find(r.Roster)
		if err != nil || len(p.composed.Designs) != 1 || p.composed.Designs[0].Job.Lettering[0].Text != "Otter" {
			t.Errorf("the list makes %+v, %v", p, err)
		}
	}
}

// Braces in the name of a drawing are no fields: the drawing is laid.
func TestDrawingNamedWithBraces(t *testing.T) {
	w := openWindow(t)
	d := read[designBody](w.drop("/api/designs", "disc {last}.svg", []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 40 40"><circle cx="20" cy="20" r="18"/></svg>`)).is(201))
	if l := read[layoutBody](w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{}).is(200)); len(l.Stones.X) == 0 {
		t.Error("it has no stones")
	}
}
