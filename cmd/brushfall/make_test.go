package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"brushfall/internal/design"
	"brushfall/internal/job"
)

// outputs are the files of a design on one sheet.
func outputs() []string {
	return []string{"counts.csv", "layout.json", "proof.png", "sheet-1.dxf", "sheet-1.pdf", "sheet-1.plt", "sheet-1.svg", "ticket.pdf"}
}

func inFolder(t *testing.T, dir string) []string {
	t.Helper()
	var out []string
	for _, path := range tree(t) {
		if rel, err := filepath.Rel(dir, path); err == nil && rel != "." && !strings.HasPrefix(rel, "..") {
			out = append(out, rel)
		}
	}
	return out
}

func layoutOf(t *testing.T, dir string) design.Document {
	t.Helper()
	doc, err := design.Read(strings.NewReader(get(t, filepath.Join(dir, layoutName))))
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func TestMakeFromADrawing(t *testing.T) {
	desk(t)
	o := brushfall(t, "make", "badge.svg", "--width", "60mm", "--stone", "SS6", "--colour", "jet", "-o", "out")
	o.wants(t, exitDone, "badge: ", "SS6 jet", "60 mm", "In the folder out:", "ticket.pdf", "Please look at:", "badge.svg", "text")
	if o.stderr != "" {
		t.Errorf("stderr, which is no terminal, has %q", o.stderr)
	}
	if got := inFolder(t, "out"); !slices.Equal(got, outputs()) {
		t.Errorf("the folder has %v, want %v", got, outputs())
	}
	for name, start := range map[string]string{"ticket.pdf": "%PDF-", "proof.png": "\x89PNG", "sheet-1.svg": "<", "sheet-1.plt": "IN"} {
		if !strings.HasPrefix(strings.TrimLeft(get(t, filepath.Join("out", name)), " \n"), start) {
			t.Errorf("%s does not start with %q", name, start)
		}
	}
	doc := layoutOf(t, "out")
	if len(doc.Stones) < 150 || doc.Width < 58 || doc.Width > 60.001 {
		t.Errorf("%d stones, %v mm wide", len(doc.Stones), doc.Width)
	}
	for _, s := range doc.Stones {
		if s.Size != "SS6" || s.Colour != "jet" {
			t.Fatalf("a stone is %s %s", s.Size, s.Colour)
		}
	}
}

// layout.json is what docs/formats/layout.schema.json says, and the counts are
// those of its stones.
func TestLayoutAndCountsOfAJob(t *testing.T) {
	schema, err := jsonschema.NewCompiler().Compile(filepath.Join("..", "..", "docs", "formats", "layout.schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	desk(t)
	brushfall(t, "make", "badge.yaml", "-o", "out").wants(t, exitDone, "SS10 crystal", "SS10 sun", "plate 2")
	value, err := jsonschema.UnmarshalJSON(strings.NewReader(get(t, "out/layout.json")))
	if err != nil {
		t.Fatal(err)
	}
	if err := schema.Validate(value); err != nil {
		t.Error(err)
	}
	stones := map[string]int{}
	for _, s := range layoutOf(t, "out").Stones {
		stones[s.Size+" "+s.Colour]++
	}
	rows, err := csv.NewReader(strings.NewReader(get(t, "out/counts.csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows[1 : len(rows)-1] {
		if want := strconv.Itoa(stones[r[0]+" "+r[1]]); r[2] != want {
			t.Errorf("%s %s: counts.csv has %s, the layout %s", r[0], r[1], r[2], want)
		}
	}
	if len(rows) != len(stones)+2 {
		t.Errorf("%d rows for %d kinds", len(rows), len(stones))
	}
}

// A job file's drawing is looked for beside the job file, from wherever the
// program is run; the same job gives the same bytes.
func TestJobIsFoundAndRepeats(t *testing.T) {
	desk(t)
	put(t, "shop/badge.svg", badge)
	put(t, "shop/badge.yaml", badgeJob)
	brushfall(t, "make", "badge.yaml", "-o", "a").wants(t, exitDone)
	brushfall(t, "make", "shop/badge.yaml", "-o", "deep/down/b").wants(t, exitDone)
	for _, name := range outputs() {
		if get(t, filepath.Join("a", name)) != get(t, filepath.Join("deep/down/b", name)) {
			t.Errorf("%s differs between two runs", name)
		}
	}
}

func TestFlagsOverAJob(t *testing.T) {
	desk(t)
	brushfall(t, "make", "badge.yaml", "--height", "30mm", "--effort", "live", "-o", "out").wants(t, exitDone)
	if doc := layoutOf(t, "out"); doc.Height > 30.001 || doc.Height < 28 {
		t.Errorf("%v mm high, want the 30 of the flag", doc.Height)
	}
}

func TestMakeAsJSON(t *testing.T) {
	desk(t)
	o := brushfall(t, "make", "badge.yaml", "-o", "out", "--json")
	o.wants(t, exitDone)
	var got summary
	if err := json.Unmarshal([]byte(o.stdout), &got); err != nil {
		t.Fatalf("%v in %s", err, o.stdout)
	}
	doc := layoutOf(t, "out")
	if got.Stones != len(doc.Stones) || len(got.Plates) != len(doc.Plates) || got.Folder != "out" || len(got.Files) != len(outputs()) || len(got.Warnings) == 0 {
		t.Errorf("%+v", got)
	}
}

// A folder that is there keeps what is not ours; sheets of an earlier design go.
func TestFolderIsReplacedCarefully(t *testing.T) {
	desk(t)
	brushfall(t, "make", "badge.svg", "--width", "40mm", "-o", "out").wants(t, exitDone)
	old := get(t, "out/layout.json")
	put(t, "out/sheet-7.svg", "an old sheet")
	put(t, "out/sheet-music.svg", "not ours")
	put(t, "out/notes.txt", "not ours")
	brushfall(t, "make", "badge.yaml", "-o", "out").wants(t, exitDone)
	want := append(outputs(), "notes.txt", "sheet-music.svg")
	slices.Sort(want)
	if got := inFolder(t, "out"); !slices.Equal(got, want) {
		t.Errorf("the folder has %v, want %v", got, want)
	}
	if get(t, "out/layout.json") == old {
		t.Error("the layout is still the old one")
	}
}

// A folder that has never held a design keeps even a file that is named like one
// of our sheets.
func TestFolderOfSomeoneElse(t *testing.T) {
	desk(t)
	put(t, "out/sheet-7.svg", "someone's own")
	brushfall(t, "make", "badge.yaml", "-o", "out").wants(t, exitDone)
	if get(t, "out/sheet-7.svg") != "someone's own" {
		t.Error("a file that was not ours is gone")
	}
}

func TestStoppedRunLeavesNothing(t *testing.T) {
	desk(t)
	put(t, "old/layout.json", "the old one")
	before := tree(t)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	for _, dir := range []string{"out", "deep/down/out", "old"} {
		brushfallIn(t, ctx, "make", "badge.yaml", "-o", dir).wants(t, exitStopped, "nothing was written")
	}
	if after := tree(t); !slices.Equal(after, before) || get(t, "old/layout.json") != "the old one" {
		t.Errorf("the folder has become %v", after)
	}
}

// A run that is stopped between two files leaves neither.
func TestCommitStopsBetweenFiles(t *testing.T) {
	t.Chdir(t.TempDir())
	f, err := openFolder("out")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	err = f.commit(ctx, []job.File{{Name: "a", Data: []byte("a")}})
	f.discard()
	if err != context.Canceled || len(tree(t)) != 0 {
		t.Errorf("%v, and the folder has %v", err, tree(t))
	}
}

// A name that is taken by a folder stops the commit; the rest of it is cleaned up.
func TestCommitThatCannotReplace(t *testing.T) {
	desk(t)
	put(t, "out/ticket.pdf/x", "a folder in the way")
	brushfall(t, "make", "badge.yaml", "-o", "out").wants(t, exitInput, "ticket.pdf", "cannot write here")
	for _, path := range tree(t) {
		if strings.Contains(path, ".brushfall-") {
			t.Errorf("%s is left behind", path)
		}
	}
}

func TestDemo(t *testing.T) {
	t.Chdir(t.TempDir())
	brushfall(t, "demo").wants(t, exitDone, "Heron badge", "2 plates", "In the folder brushfall-demo:", "heron.yaml")
	want := append(outputs(), "heron.svg", "heron.yaml")
	slices.Sort(want)
	if got := inFolder(t, demoFolder); !slices.Equal(got, want) {
		t.Errorf("the folder has %v, want %v", got, want)
	}
	brushfall(t, "inspect", demoFolder).wants(t, exitDone, "no rule is broken")
	brushfall(t, "make", "brushfall-demo/heron.yaml", "-o", "again").wants(t, exitDone)
	if a, b := get(t, "brushfall-demo/layout.json"), get(t, "again/layout.json"); !bytes.Equal([]byte(a), []byte(b)) {
		t.Error("the demo's job file does not make the demo")
	}
}
