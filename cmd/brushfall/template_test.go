package main

import (
	"encoding/json"
	"image"
	_ "image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// templateDesk is a desk with the badge made, and a book with what is said.
func templateDesk(t *testing.T) {
	t.Helper()
	desk(t)
	t.Setenv("XDG_DATA_HOME", filepath.Join(mustWd(t), "data"))
	does(t, "make", "badge.yaml", "-o", "badge", "--effort", "live")
}

// enter enters the badge and gives its code.
func enter(t *testing.T, more ...string) string {
	t.Helper()
	var rows []templateRow
	does(t, append([]string{"template", "add", "badge", "--json"}, more...)...).reads(t, &rows)
	if len(rows) != 1 {
		t.Fatalf("%+v", rows)
	}
	return rows[0].Code
}

func found(t *testing.T, words ...string) []templateRow {
	t.Helper()
	var rows []templateRow
	does(t, append([]string{"template", "find", "--json"}, words...)...).reads(t, &rows)
	return rows
}

func TestATemplateIsFoundAgainAndCutAgain(t *testing.T) {
	templateDesk(t)
	code := enter(t, "--place", "Drawer 3", "--note", "Łukasz' regatta")
	if text := get(t, "badge/layout.json"); !strings.Contains(does(t, "template", "show", code).stdout, "at drawer 3") || text == "" {
		t.Error("it is not where it was put")
	}
	for _, words := range []string{"lukasz", "badge", "REGATTA sun", "drawer ss10", code, "bad --colour crystal --size ss10", "--place drawer\u00a03", "--since 2020-01-01 --until 2999-12-31"} {
		if rows := found(t, strings.Fields(words)...); len(rows) != 1 && !strings.HasPrefix(words, "--place") {
			t.Errorf("%q finds %+v", words, rows)
		}
	}
	if rows := found(t, "--place", "DRAWER  3"); len(rows) != 1 {
		t.Errorf("by its place: %+v", rows)
	}
	for _, words := range []string{"marsh", "badge --colour jet", "badge --size SS6", "badge --until 2020-01-01", "badge --place shelf"} {
		if rows := found(t, strings.Fields(words)...); len(rows) != 0 {
			t.Errorf("%q finds %+v", words, rows)
		}
	}
	does(t, "template", "use", strings.ToLower(code), "--pieces", "12", "--note", "Herons").wants(t, exitDone, "brushed 12 times of about 300")
	does(t, "template", "move", code, "--to", "market").wants(t, exitDone, "at market")
	does(t, "template", "worn", code).wants(t, exitDone, "worn")
	does(t, "template", "gone", code, "--note", "torn")
	brushfall(t, "template", "use", code).wants(t, exitInput, "is gone by the book")
	does(t, "template", "good", code, "--place", "shelf")
	does(t, "template", "show", code, "--picture", "small.jpg").wants(t, exitDone, "brushed 12 times", "put at market", "torn", "SS10 crystal", "SS10 sun")
	f, err := os.Open("small.jpg")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if c, kind, err := image.DecodeConfig(f); err != nil || kind != "jpeg" || max(c.Width, c.Height) != 480 {
		t.Errorf("%+v, %s, %v", c, kind, err)
	}
	does(t, "template", "export", "again", code)
	for _, name := range []string{"layout.json", "sheet-1.svg", "sheet-1.dxf", "sheet-1.plt", "sheet-1.pdf"} {
		if get(t, "again/"+name) != get(t, "badge/"+name) {
			t.Errorf("%s is not as it was", name)
		}
	}
	does(t, "inspect", "again")
	does(t, "book", "check").wants(t, exitDone, "1 template")
}

// The stones of an entry are those of counts.csv, and what can be brushed follows
// from them.
func TestWhatCanBeBrushedToday(t *testing.T) {
	templateDesk(t)
	code := enter(t, "--keep", "none")
	kinds := found(t)[0].Kinds
	lines, err := linesOf("badge/counts.csv")
	if err != nil || len(lines) != 2 || len(kinds) != 2 {
		t.Fatal(lines, kinds, err)
	}
	for i, l := range lines {
		if (wantRow{l.Size, l.Colour, l.Pieces, l.Take}) != kinds[i] {
			t.Errorf("%+v, counts.csv has %+v", kinds[i], l)
		}
	}
	answer := func(more ...string) []brushRow {
		var rows []brushRow
		does(t, append([]string{"template", "can-brush", "--json"}, more...)...).reads(t, &rows)
		return rows
	}
	receive := func(k wantRow, n int) {
		text, err := json.Marshal(n)
		if err != nil {
			t.Fatal(err)
		}
		does(t, "stock", "receive", "--size", k.Size, "--colour", k.Colour, "--pieces", string(text), "--cost", "1")
	}
	if rows := answer(); len(rows) != 0 {
		t.Errorf("without a stone: %+v", rows)
	}
	receive(kinds[0], 3*kinds[0].Take)
	receive(kinds[1], kinds[1].Take-5)
	if rows := answer("--all"); len(rows) != 1 || rows[0].Can || len(rows[0].Missing) != 1 || rows[0].Missing[0].Pieces != 5 || rows[0].Code != code {
		t.Errorf("five short: %+v", rows)
	}
	does(t, "template", "can-brush", "--all").wants(t, exitDone, "5 SS10 sun")
	receive(wantRow{Size: "SS10", Colour: "jet"}, 2*kinds[1].Take)
	if rows := answer("--substitute"); len(rows) != 1 || !rows[0].Can || rows[0].Transfers != 2 || len(rows[0].Swaps) != 1 || rows[0].Swaps[0].By.Colour != "jet" {
		t.Errorf("jet stands in: %+v", rows)
	}
	receive(kinds[1], 5)
	if rows := answer(); len(rows) != 1 || !rows[0].Can || rows[0].Transfers != 1 {
		t.Errorf("all there: %+v", rows)
	}
	does(t, "template", "export", "again", code)
	if got := namesIn(t, "again"); got != "layout.json" {
		t.Errorf("kept with --keep none: %s", got)
	}
}

func namesIn(t *testing.T, dir string) string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return strings.Join(names, " ")
}

// Every design of a folder with several is entered.
func TestAGangIsEntered(t *testing.T) {
	templateDesk(t)
	put(t, "crest.svg", badge)
	put(t, "crest.yaml", strings.Replace(badgeJob, "badge.svg", "crest.svg", 1)+"design: Crest\n")
	does(t, "gang", "badge.yaml", "crest.yaml", "-o", "both", "--effort", "live")
	brushfall(t, "template", "add", "both", "--customer", "1").wants(t, exitInput, "no customer 1")
	does(t, "template", "add", "both").wants(t, exitDone, "badge: 2 plates", "Crest: 2 plates")
	if rows := found(t, "crest"); len(rows) != 1 || rows[0].Design != "Crest" || len(found(t)) != 2 {
		t.Errorf("%+v", rows)
	}
}

func TestTemplatesRefuse(t *testing.T) {
	templateDesk(t)
	brushfall(t, "template", "find", "x").wants(t, exitInput, "there is no book")
	brushfall(t, "template", "add", "badge", "--note", "a\x00b").wants(t, exitInput, "do not print")
	if exists(filepath.Join("data", "brushfall", "shop.book")) {
		t.Error("a book was begun for nothing")
	}
	code := enter(t)
	slip := code[:8] + "3" // one sign misread
	if slip == code {
		slip = code[:8] + "4"
	}
	for args, says := range map[string]string{
		"template add":                         "name the folder",
		"template add nowhere":                 "no such file",
		"template add data":                    "no layout.json",
		"template add badge --keep cdr":        "no kind of cut file",
		"template add badge --lasts -1":        "cannot last",
		"template add badge --customer Herons": "no customer",
		"template use":                         "by its code",
		"template use " + code + " --pieces 0": "0 transfers cannot be",
		"template move " + code:                "say where to",
		"template show HERON":                  "no code of a template",
		"template find ***":                    "no letter and no digit",
		"template find --since yesterday":      "is no day",
		"template find --size SS11":            "SS11",
		"template find --most -1":              "cannot be listed",
		"template can-brush --transfers 0":     "0 transfers cannot be",
		"template export out":                  "name a folder and the code",
		"template show " + slip:                "did you mean " + code,
	} {
		brushfall(t, strings.Fields(args)...).wants(t, exitInput, says)
	}
}
