package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// badge is a drawing of two areas in two colours, a line, and a word that
// cannot become stones.
const badge = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 60" width="100mm" height="60mm">
  <rect id="board" x="2" y="2" width="60" height="56" fill="#1f4e79"/>
  <circle id="sun" cx="82" cy="20" r="12" fill="#f3a021"/>
  <path id="water" d="M66 50 H98" fill="none" stroke="#6fa3dc"/>
  <text x="10" y="30">Herons</text>
</svg>
`

const badgeJob = `artwork: badge.svg
width: 60 mm
stone: {size: SS10, colour: crystal}
regions:
  - match: {id: sun}
    stone: {colour: sun}
`

// outcome is what a run of the program left.
type outcome struct {
	code           int
	stdout, stderr string
}

// brushfall runs the program in the current folder.
func brushfall(t *testing.T, args ...string) outcome {
	t.Helper()
	return brushfallIn(t, t.Context(), args...)
}

func brushfallIn(t *testing.T, ctx context.Context, args ...string) outcome {
	t.Helper()
	var out, err bytes.Buffer
	code := run(ctx, args, &out, &err)
	return outcome{code, out.String(), err.String()}
}

// desk makes a folder with the badge and its job, and goes there. There is no book yet.
func desk(t *testing.T) {
	t.Helper()
	t.Chdir(t.TempDir())
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	put(t, "badge.svg", badge)
	put(t, "badge.yaml", badgeJob)
}

func put(t *testing.T, name, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func get(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// tree lists every file and folder below the current one, hidden ones too.
func tree(t *testing.T) []string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(".", func(path string, _ os.DirEntry, err error) error {
		if path != "." {
			out = append(out, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// wants fails unless the code is right and each part stands in the text.
func (o outcome) wants(t *testing.T, code int, parts ...string) {
	t.Helper()
	if o.code != code {
		t.Errorf("exit %d, want %d", o.code, code)
	}
	for _, p := range parts {
		if !strings.Contains(o.stdout+o.stderr, p) {
			t.Errorf("nothing says %q", p)
		}
	}
	if t.Failed() {
		t.Logf("stdout:\n%s\nstderr:\n%s", o.stdout, o.stderr)
	}
}

// What is wrong with the input is said with a way to mend it, with exit code 2,
// on stderr alone, and leaves the folder as it was.
func TestWrongInput(t *testing.T) {
	cases := []struct {
		name string
		args string
		says []string
	}{
		{"no width", "make badge.svg -o out", []string{"--width 9.5in", "size is missing"}},
		{"width and height", "make badge.svg --width 9in --height 9in -o out", []string{"keep one"}},
		{"width without unit", "make badge.svg --width 9.5 -o out", []string{"--width", "9.5 mm or 9.5 in"}},
		{"unknown size", "make badge.svg --width 9in --stone SS11 -o out", []string{"--stone", `"SS11"`, "SS6", "SS10", "SS40"}},
		{"unknown colour", "make badge.svg --width 9in --colour mud -o out", []string{"--colour", `"mud"`, "light sapphire"}},
		{"gap without unit", "make badge.svg --width 9in --gap 1 -o out", []string{"--gap", "1 mm"}},
		{"unknown garment", "make badge.svg --width 9in --garment teel -o out", []string{"--garment", "navy"}},
		{"unknown paper", "make badge.svg --width 9in --paper a5 -o out", []string{"--paper", "a4 or letter"}},
		{"unknown material", "make badge.svg --width 9in --press wood -o out", []string{"--press", "cotton"}},
		{"unknown effort", "make badge.svg --width 9in --effort max -o out", []string{"--effort", "live or final"}},
		{"no folder", "make badge.svg --width 9in", []string{"-o"}},
		{"no input", "make -o out", []string{"name a drawing or a job file"}},
		{"two inputs", "make badge.svg badge.yaml -o out", []string{"one at a time"}},
		{"missing file", "make bagde.svg --width 9in -o out", []string{"bagde.svg", "no such file", "spelling"}},
		{"a folder for a file", "make dir.svg --width 9in -o out", []string{"dir.svg", "folder"}},
		{"unknown kind of file", "make badge.doc --width 9in -o out", []string{"badge.doc", "SVG or DXF"}},
		{"not a drawing", "make prose.svg --width 9in -o out", []string{"prose.svg"}},
		{"nothing in it", "make empty.svg --width 9in -o out", []string{"empty.svg"}},
		{"only a word", "make word.svg --width 9in -o out", []string{"word.svg", "<text>", "paths"}},
		{"advice on a word", "advise word.svg --width 9in", []string{"word.svg", "<text>", "paths"}},
		{"everything skipped", "make skip.yaml -o out", []string{"badge.svg", "skip"}},
		{"too small for a stone", "make tiny.yaml -o out", []string{"wider", "smaller stone"}},
		{"larger than a sheet", "make badge.svg --width 40in --effort live -o out", []string{"sheet"}},
		{"stones beside a job file", "make badge.yaml --stone SS6 -o out", []string{"badge.yaml", "job file", "--stone"}},
		{"wrong key in a job file", "make wrong.yaml -o out", []string{"wrong.yaml:3:1", "stone"}},
		{"job file without its drawing", "make lost.yaml -o out", []string{"nowhere.svg", "no such file"}},
		{"a file in the way", "make badge.svg --width 9in -o notes.txt", []string{"notes.txt", "not a folder", "-o"}},
		{"below a file", "make badge.svg --width 9in -o notes.txt/out", []string{"notes.txt", "-o"}},
		{"not writable", "make badge.svg --width 9in -o /proc/out", []string{"/proc", "another folder"}},
		{"inspect nothing", "inspect", []string{"layout.json"}},
		{"inspect an empty folder", "inspect dir.svg", []string{"dir.svg: there is no layout.json in this folder", "brushfall make"}},
		{"inspect a drawing", "inspect badge.svg", []string{"badge.svg", "layout.json"}},
		{"measure a job", "measure badge.yaml", []string{"badge.yaml", "layout.json"}},
		{"demo of something", "demo badge.svg", []string{"badge.svg"}},
		{"unknown command", "mak badge.svg", []string{`"mak"`, "make"}},
		{"unknown flag", "make badge.svg --widht 9in", []string{"--widht", "did you mean --width?", "--help"}},
		{"the other spelling", "make badge.svg --width 9in --color jet", []string{"did you mean --colour?"}},
		{"a flag like no other", "make badge.svg --sparkle", []string{"unknown flag: --sparkle; see"}},
		{"a drawing alone", "badge.svg", []string{"brushfall make badge.svg --width"}},
		{"a job file alone", "badge.yaml", []string{"brushfall make badge.yaml -o out"}},
	}
	desk(t)
	put(t, "notes.txt", "keep me")
	put(t, "dir.svg/x", "")
	put(t, "prose.svg", "Dear Herons")
	put(t, "empty.svg", `<svg xmlns="http://www.w3.org/2000/svg"/>`)
	put(t, "word.svg", `<svg xmlns="http://www.w3.org/2000/svg"><text y="9">Herons</text></svg>`)
	put(t, "wrong.yaml", "artwork: badge.svg\nwidth: 9in\nstoen: {size: SS6}\n")
	put(t, "lost.yaml", "artwork: nowhere.svg\nwidth: 9in\n")
	put(t, "tiny.yaml", "artwork: badge.svg\nwidth: 2 mm\ntreatment: bed\n")
	put(t, "skip.yaml", "artwork: badge.svg\nwidth: 9in\nregions:\n  - match: {fill: \"#1f4e79\"}\n    skip: yes\n  - match: {fill: \"#f3a021\"}\n    skip: yes\n  - match: {stroke: \"#6fa3dc\"}\n    skip: yes\n")
	put(t, "badge.doc", badge)
	before := tree(t)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			o := brushfall(t, strings.Fields(c.args)...)
			o.wants(t, exitInput, c.says...)
			if o.stdout != "" {
				t.Errorf("stdout has %q", o.stdout)
			}
			if after := tree(t); !slices.Equal(after, before) {
				t.Errorf("the folder has become %v", after)
			}
		})
	}
}

// full is a disk that takes no more.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }

// An answer that cannot be written is no fault of the program, and no success.
func TestAnswerThatCannotBeWritten(t *testing.T) {
	desk(t)
	brushfall(t, "make", "badge.yaml", "--effort", "live", "-o", "out").wants(t, exitDone)
	for _, args := range [][]string{{"inspect", "out"}, {"measure", "out"}, {"measure", "out", "--json"}, {"make", "badge.yaml", "--effort", "live", "-o", "out"}, {"--help"}} {
		var stderr bytes.Buffer
		code := run(t.Context(), args, full{}, &stderr)
		outcome{code, "", stderr.String()}.wants(t, exitInput, "cannot write the answer: no space left")
		if strings.Contains(stderr.String(), "fault of the program") {
			t.Errorf("%v: %s", args, stderr.String())
		}
	}
}

// For other programs an error is JSON too, with its stable code.
func TestErrorAsJSON(t *testing.T) {
	desk(t)
	o := brushfall(t, "make", "badge.svg", "--width", "9in", "--stone", "SS11", "-o", "out", "--json")
	var got struct {
		Error struct{ Code, Where, Message string }
	}
	if err := json.Unmarshal([]byte(o.stdout), &got); err != nil {
		t.Fatalf("%v in %q", err, o.stdout)
	}
	if o.code != exitInput || got.Error.Code != "size-unknown" || got.Error.Where != "--stone" || !strings.Contains(got.Error.Message, "SS16") {
		t.Errorf("exit %d, %+v", o.code, got)
	}
}

func TestHelpVersionCompletion(t *testing.T) {
	desk(t)
	cases := []struct {
		args []string
		says []string
	}{
		{nil, []string{"brushfall make badge.svg --width 9.5in --stone SS10 -o badge", "brushfall demo", "130"}},
		{[]string{"--help"}, []string{"inspect", "measure", "demo", "completion"}},
		{[]string{"help", "make"}, []string{"ticket.pdf", "--width", "Examples:", `"light sapphire"`}},
		{[]string{"inspect", "--help"}, []string{"docs/findings.md"}},
		{[]string{"--version"}, []string{"brushfall version "}},
		{[]string{"completion", "bash"}, []string{"__start_brushfall"}},
		{[]string{"completion", "zsh"}, []string{"#compdef brushfall"}},
		{[]string{"__complete", "make", "--stone", ""}, []string{"SS10\t2.7 to 2.9 mm", "SS40"}},
		{[]string{"__complete", "make", "--colour", "light s"}, []string{"light sapphire", "light siam"}},
		{[]string{"__complete", "make", "--press", ""}, []string{"cotton", "undecided"}},
		{[]string{"__complete", "make", "--paper", ""}, []string{"letter"}},
		{[]string{"__complete", "make", "--effort", ""}, []string{"live"}},
		{[]string{"__complete", "make", "--gap", ""}, []string{"auto"}},
		{[]string{"__complete", "make", ""}, []string{"svg", "dxf", "yaml"}},
	}
	before := tree(t)
	for _, c := range cases {
		t.Run(strings.Join(c.args, " "), func(t *testing.T) {
			brushfall(t, c.args...).wants(t, exitDone, c.says...)
		})
	}
	if after := tree(t); !slices.Equal(after, before) {
		t.Errorf("the folder has become %v", after)
	}
}
