package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"regexp"
	"strings"
	"testing"

	"brushfall/internal/inspect"
	"brushfall/internal/job"
)

func TestInspect(t *testing.T) {
	desk(t)
	brushfall(t, "make", "badge.yaml", "-o", "out").wants(t, exitDone)
	sound := get(t, "out/layout.json")
	counts := get(t, "out/counts.csv")
	stones := regexp.MustCompile(`(?m)^ \{"x":[^,]+,"y":[^,]+,"size"`)
	first := stones.FindString(sound)
	// every stone where the first one is
	crowded := stones.ReplaceAllString(sound, first)
	cases := []struct {
		name           string
		layout, counts string
		path           string
		code           int
		says           string
	}{
		{"sound folder", sound, counts, "out", exitDone, "no rule is broken"},
		{"sound file", sound, counts, "out/layout.json", exitDone, "no rule is broken"},
		{"stones on each other", crowded, counts, "out", exitFindings, "BF-GAP at "},
		{"wrong counts", sound, strings.Replace(counts, ",sun,", ",siam,", 1), "out", exitFindings, "BF-COUNT"},
		{"wrong counts, file alone", sound, "", "out/layout.json", exitDone, "no rule is broken"},
		{"counts that are no table", sound, "what?", "out", exitInput, "no column"},
		{"no number of pieces", sound, strings.Replace(counts, "SS10,sun,", "SS10,sun,many", 1), "out", exitInput, "line 3"},
		{"cut off", sound[:200], counts, "out", exitInput, "out/layout.json"},
		{"later version", strings.Replace(sound, `"version":1`, `"version":2`, 1), counts, "out", exitInput, "version 2"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			put(t, "out/layout.json", c.layout)
			put(t, "out/counts.csv", c.counts)
			brushfall(t, "inspect", c.path).wants(t, c.code, c.says)
		})
	}
}

func TestInspectAsJSON(t *testing.T) {
	desk(t)
	brushfall(t, "make", "badge.yaml", "-o", "out").wants(t, exitDone)
	type answer struct {
		Findings []struct{ ID, Message string }
	}
	read := func(o outcome) (a answer) {
		t.Helper()
		if err := json.Unmarshal([]byte(o.stdout), &a); err != nil {
			t.Fatalf("%v in %q", err, o.stdout)
		}
		return a
	}
	o := brushfall(t, "inspect", "out", "--json")
	if a := read(o); o.code != exitDone || a.Findings == nil || len(a.Findings) != 0 {
		t.Errorf("exit %d, %+v", o.code, a)
	}
	put(t, "out/layout.json", strings.Replace(get(t, "out/layout.json"), `"web":0.5`, `"web":5`, 1))
	o = brushfall(t, "inspect", "out", "--json")
	if a := read(o); o.code != exitFindings || len(a.Findings) == 0 || a.Findings[0].ID != "BF-WEB" {
		t.Errorf("exit %d, %+v", o.code, a)
	}
}

// A design that breaks a rule is told and not written.
func TestRefusedDesign(t *testing.T) {
	var out, stderr bytes.Buffer
	a := &app{out: &out, err: &stderr}
	err := a.refuse(job.Result{Findings: []inspect.Finding{{ID: inspect.Gap, Stone: 3, Message: "too near"}}})
	if code := a.finish(err); code != exitFindings {
		t.Errorf("exit %d", code)
	}
	if !strings.Contains(stderr.String(), "in 1 place, so nothing was written") || !strings.Contains(out.String(), "BF-GAP at 0.000, 0.000: too near") {
		t.Errorf("stdout %q, stderr %q", out.String(), stderr.String())
	}
}

func TestFaultOfTheProgram(t *testing.T) {
	var out, stderr bytes.Buffer
	a := &app{out: &out, err: &stderr}
	if code := a.finish(errors.New("a loose end")); code != exitInternal {
		t.Errorf("exit %d", code)
	}
	if !strings.Contains(stderr.String(), "a fault of the program (internal), not yours") {
		t.Errorf("stderr %q", stderr.String())
	}
}

func TestMeasure(t *testing.T) {
	desk(t)
	brushfall(t, "make", "badge.yaml", "-o", "out").wants(t, exitDone)
	brushfall(t, "measure", "out").wants(t, exitDone, "board", "sun", "water")
	o := brushfall(t, "measure", "out/layout.json", "--json")
	if !json.Valid([]byte(o.stdout)) || o.code != exitDone {
		t.Errorf("exit %d: %s", o.code, o.stdout)
	}
	if err := os.Remove("out/layout.json"); err != nil {
		t.Fatal(err)
	}
	brushfall(t, "measure", "out").wants(t, exitInput, "there is no layout.json in this folder")
}
