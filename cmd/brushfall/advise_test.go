package main

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
)

func TestAdvise(t *testing.T) {
	desk(t)
	before := tree(t)
	o := brushfall(t, "advise", "badge.svg", "--width", "100mm")
	o.wants(t, exitDone, "The drawing, 100 mm", "thinnest stroke", "finest gap", "SS6", "SS10", "SS16", "smallest width", "Please look at", "text")
	if first, _, _ := strings.Cut(o.stdout, "\n"); !strings.HasPrefix(first, "Take SS") {
		t.Errorf("the first line is %q", first)
	}
	if after := tree(t); !slices.Equal(after, before) {
		t.Errorf("the folder has become %v", after)
	}
}

func TestAdviseAsJSON(t *testing.T) {
	desk(t)
	o := brushfall(t, "advise", "badge.svg", "--width", "4in", "--stone", "ss 10", "--json")
	o.wants(t, exitDone)
	var got advice
	if err := json.Unmarshal([]byte(o.stdout), &got); err != nil {
		t.Fatalf("%v in %s", err, o.stdout)
	}
	if len(got.Sizes) != 1 || got.Sizes[0].Size != "SS10" || got.Width != 101.6 || len(got.Warnings) == 0 || got.Recommendation == "" {
		t.Errorf("%+v", got)
	}
	if !strings.Contains(o.stdout, `"lost": []`) { // an empty list, as every list is
		t.Errorf("nothing is lost, and the answer is %s", o.stdout)
	}
}

func TestAdviseIsRefused(t *testing.T) {
	desk(t)
	put(t, "empty.svg", `<svg xmlns="http://www.w3.org/2000/svg"/>`)
	put(t, "prose.svg", "Dear Herons")
	for _, c := range []struct {
		args string
		says []string
	}{
		{"advise", []string{"name a drawing"}},
		{"advise badge.svg", []string{"--width 9.5in"}},
		{"advise badge.svg --width 9", []string{"--width", "9 mm or 9 in"}},
		{"advise badge.svg --width 9in --stone SS11", []string{"--stone", `"SS11"`, "SS40"}},
		{"advise badge.doc --width 9in", []string{"badge.doc", "SVG or DXF"}},
		{"advise bagde.svg --width 9in", []string{"bagde.svg", "no such file"}},
		{"advise empty.svg --width 9in", []string{"empty.svg"}},
		{"advise prose.svg --width 9in", []string{"prose.svg"}},
	} {
		o := brushfall(t, strings.Fields(c.args)...)
		o.wants(t, exitInput, c.says...)
		if o.stdout != "" {
			t.Errorf("%s: stdout has %q", c.args, o.stdout)
		}
	}
}

// Of a job file with lettering, advise says from which height the letters read.
func TestAdviseOnLettering(t *testing.T) {
	desk(t)
	put(t, "names.yaml", "lettering: {text: HI, face: Archivo ExtraBold, height: 30 mm}\n")
	o := brushfall(t, "advise", "names.yaml", "--stone", "SS6")
	o.wants(t, exitDone, "SS6", `"HI", now 30.0 mm, reads with SS6 from`)
}

// A word needs no file; what it is said to read from reads when it is asked about.
func TestAdviseOnAWord(t *testing.T) {
	t.Chdir(t.TempDir())
	o := brushfall(t, "advise", "--text", "Eel", "--stone", "SS10")
	o.wants(t, exitDone, `"Eel" in Archivo ExtraBold`, "SS10", "reads from")
	o = brushfall(t, "advise", "--text", "Eel", "--stone", "SS10", "--json")
	o.wants(t, exitDone)
	var got advice
	if err := json.Unmarshal([]byte(o.stdout), &got); err != nil || len(got.Letters) != 1 || got.Letters[0].Capital != 25 {
		t.Fatalf("%v in %s", err, o.stdout)
	}
	from := fmt.Sprintf("%.6fmm", got.Letters[0].Reads[0].Capital)
	brushfall(t, "advise", "--text", "Eel", "--stone", "SS10", "--height", from).wants(t, exitDone, "SS10 reads, with about")
	brushfall(t, "advise", "--text", "Eel", "--face", "ems readability", "--height", "6mm", "--stone", "SS16").
		wants(t, exitDone, "EMS Readability", "SS16 loses details", "closes up")
	for args, says := range map[string]string{
		"advise --text Eel eel.svg":              "leave out the file",
		"advise --text Eel --width 3in":          "leave out the file",
		"advise --face Pacifico eel.svg":         "go with --text",
		"advise --text Eel --face Nonesuch":      "there is no face",
		"advise --text Eel --height 3":           "--height",
		"advise --text 李":                        "no letter",
		"advise --text Eel --stone SS11":         "SS40",
		"advise --text Eel --face font/none.ttf": "no such file",
	} {
		brushfall(t, strings.Fields(args)...).wants(t, exitInput, says)
	}
	brushfall(t, "advise", "--text", "I", "--face", "EMS Readability").wants(t, exitInput, "single upright line")
	brushfall(t, "advise", "--text", " ").wants(t, exitInput, "no text")
}
