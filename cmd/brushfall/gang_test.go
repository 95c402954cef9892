package main

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"
)

// gangDesk puts two quick jobs on the desk.
func gangDesk(t *testing.T) {
	t.Helper()
	desk(t)
	put(t, "oar.yaml", strings.Replace(badgeJob, "width: 60 mm", "width: 45 mm\ndesign: Oar\neffort: live", 1))
	put(t, "cap.yaml", strings.Replace(badgeJob, "width: 60 mm", "width: 70 mm\ndesign: Cap badge\neffort: live", 1))
}

func TestGang(t *testing.T) {
	gangDesk(t)
	put(t, "out/sheets.json", "{}")
	put(t, "out/sheet-9.plt", "left by an earlier run")
	put(t, "out/notes.txt", "keep me")
	brushfall(t, "gang", "oar.yaml:3", "cap.yaml", "--piece", "4x6in:2", "-o", "out").
		wants(t, exitDone, "2 designs on", "odd piece", "Oar", "Cap badge", "Tape: 1 sheet", "offcuts.csv", "cap-badge")
	for _, name := range []string{"sheet-1.svg", "sheet-1.dxf", "sheet-1.plt", "ticket.pdf", "counts.csv", "offcuts.csv", "sheets.json", "oar/layout.json", "oar/ticket.pdf", "oar/counts.csv", "oar/proof.png", "cap-badge/layout.json", "notes.txt"} {
		get(t, "out/"+name)
	}
	if isThere("out/sheet-9.plt") || isThere("out/oar/sheet-1.svg") {
		t.Error("there are sheets that are not of this run, or not where they belong")
	}
	brushfall(t, "inspect", "out").wants(t, exitDone, "2 designs", "no rule is broken")
	brushfall(t, "inspect", "out/oar").wants(t, exitDone, "no rule is broken")
	// what is left over serves the next run
	brushfall(t, "gang", "oar.yaml", "--pieces", "out/offcuts.csv", "-o", "next").wants(t, exitDone, "0 new sheets of flock and 1 odd piece")
}

func TestGangAsJSON(t *testing.T) {
	gangDesk(t)
	o := brushfall(t, "gang", "oar.yaml:2", "cap.yaml", "--roll", "12in", "--common-cuts", "--json", "-o", "out")
	o.wants(t, exitDone)
	var got gangSummary
	if err := json.Unmarshal([]byte(o.stdout), &got); err != nil {
		t.Fatalf("%v in %s", err, o.stdout)
	}
	if len(got.Designs) != 2 || got.Designs[0].Templates != 2 || len(got.Sheets) != 1 || got.Sheets[0].Width != 304.8 || got.Sheets[0].Height >= 300 || got.New != 1 {
		t.Errorf("%+v", got)
	}
	for _, name := range got.Files {
		get(t, "out/"+name)
	}
}

// A design moved by hand over another is found in the folder of both.
func TestInspectFindsDesignsOverEachOther(t *testing.T) {
	gangDesk(t)
	brushfall(t, "gang", "oar.yaml", "cap.yaml", "-o", "out").wants(t, exitDone)
	at := regexp.MustCompile(`"plate":1,"x":[^,]*,"y":[^,]*,"turned":(true|false)`)
	there := at.FindString(get(t, "out/cap-badge/layout.json"))
	put(t, "out/oar/layout.json", at.ReplaceAllLiteralString(get(t, "out/oar/layout.json"), there))
	brushfall(t, "inspect", "out").wants(t, exitFindings, "BF-OVERLAP", "Oar", "Cap badge")
	put(t, "out/sheets.json", `{"designs":[{"folder":"../elsewhere"}]}`)
	brushfall(t, "inspect", "out").wants(t, exitInput)
	put(t, "out/sheets.json", "[]")
	brushfall(t, "inspect", "out").wants(t, exitInput)
}

func TestWrongGang(t *testing.T) {
	gangDesk(t)
	put(t, "sheet.yaml", strings.Replace(badgeJob, "width: 60 mm", "width: 45 mm\ndesign: Float\nsheet: {width: 10 in, height: 10 in}", 1))
	put(t, "huge.yaml", strings.Replace(badgeJob, "width: 60 mm", "width: 900 mm\ndesign: Banner\neffort: live", 1))
	before := strings.Join(tree(t), " ")
	for args, says := range map[string]string{
		"gang -o out":                                   "name one or more job files",
		"gang oar.yaml":                                 "-o",
		"gang oar.yaml:0 -o out":                        "no number of templates",
		"gang oar.yaml: -o out":                         "no number of templates",
		"gang oar.yaml:many -o out":                     "no number of templates",
		"gang none.yaml:2 -o out":                       "there is no such file",
		"gang badge.svg -o out":                         "gang takes job files",
		"gang oar.yaml sheet.yaml -o out":               "different sheets",
		"gang oar.yaml --sheet 12x20 -o out":            "--sheet",
		"gang oar.yaml --sheet 9x9in --roll 9in -o out": "keep one",
		"gang oar.yaml --longest 9in -o out":            "--roll",
		"gang oar.yaml --sheet 10x10mm -o out":          "no room",
		"gang oar.yaml --spacing 1mm -o out":            "tears",
		"gang oar.yaml --piece 8 -o out":                "--piece",
		"gang oar.yaml --pieces none.csv -o out":        "there is no such file",
		"gang oar.yaml --tape big -o out":               "--tape",
		"gang oar.yaml huge.yaml -o out":                "Banner",
	} {
		o := brushfall(t, strings.Fields(args)...)
		o.wants(t, exitInput)
		if !strings.Contains(o.stderr, says) {
			t.Errorf("%s says %q, without %q", args, o.stderr, says)
		}
	}
	if after := strings.Join(tree(t), " "); after != before {
		t.Errorf("the desk has %s, it had %s", after, before)
	}
}

// Colons of drive letters, in folders and in names stay what they are.
func TestNumbersAfterNames(t *testing.T) {
	there := func(name string) bool { return name == "odd.yaml:3" }
	for arg, want := range map[string]struct {
		name   string
		number int
	}{
		"heron.yaml":             {"heron.yaml", 1},
		"heron.yaml:3":           {"heron.yaml", 3},
		`C:\\jobs\\heron.yaml`:   {`C:\\jobs\\heron.yaml`, 1},
		`C:\\jobs\\heron.yml:12`: {`C:\\jobs\\heron.yml`, 12},
		"club:2026/heron.YAML:2": {"club:2026/heron.YAML", 2},
		"a:5.yaml":               {"a:5.yaml", 1},
		"odd.yaml:3":             {"odd.yaml:3", 1},
	} {
		name, number, err := splitNumber(arg, there)
		if err != nil || name != want.name || number != want.number {
			t.Errorf("%s: %s, %d (%v)", arg, name, number, err)
		}
	}
}
