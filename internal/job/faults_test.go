package job

import (
	"strings"
	"testing"

	"brushfall/internal/fault"
)

type faultCase struct{ text, code, want string }

// head is a sound job of two lines, so that what follows stands on line 3.
const head = "artwork: a.svg\nwidth: 9.5 in\n"

// faultCases holds a wrong job file beside the whole message it must give.
func faultCases() []faultCase {
	return []faultCase{
		{"artwork: a.svg\r\n\r\n# the stones\r\nstoen: {size: SS10}\r\n", "job-key", `j.yaml:4:1: a job file has no key "stoen"; did you mean "stone"?`},
		{head + "stoen: {size: SS10}\n", "job-key", `j.yaml:3:1: a job file has no key "stoen"; did you mean "stone"?`},
		{head + "color: navy\n", "job-key", `j.yaml:3:1: a job file has no key "color"; did you mean "colours"?`},
		{head + "stone: {color: jet}\n", "job-key", `j.yaml:3:9: stone has no key "color"; did you mean "colour"?`},
		{head + "regions:\n  - match: {fil: navy}\n", "job-key", `j.yaml:4:13: match has no key "fil"; did you mean "fill"?`},
		{head + "regions:\n  - mach: {fill: navy}\n", "job-key", `j.yaml:4:5: a rule has no key "mach"; did you mean "match"?`},
		{head + "width: 5 in\n", "job-key", `j.yaml:3:1: "width" stands twice; keep one of them`},
		{head + "stone: {size: SS6, size: SS10}\n", "job-key", `j.yaml:3:20: "size" stands twice; keep one of them`},
		{head + "sheet: {hight: 20 in}\n", "job-key", `j.yaml:3:9: sheet has no key "hight"; did you mean "height"?`},

		{head + "gap: 1\n", "length-unit", `j.yaml:3:6: "1" has no unit; write 1 mm or 1 in`},
		{head + "gap: 80 mm\n", "gap-range", `j.yaml:3:6: a gap of 80 mm is too wide; at most 50 mm`},
		{head + "margin: -1 mm\n", "length-range", `j.yaml:3:9: "-1" is negative; a length is more than 0`},
		{head + "web: 9 mm\n", "length-range", `j.yaml:3:6: web is 9 mm; it must be from 0.2 mm to 5 mm`},
		{head + "border: 1 mm\n", "length-range", `j.yaml:3:9: border is 1 mm; it must be from 4 mm to 100 mm`},
		{"artwork: a.svg\nwidth: wide\n", "length-number", `j.yaml:2:8: "wide" is not a length; write it like 240 mm, 24 cm or 9.5 in`},
		{head + "sheet: {width: 10 mm, height: 10 mm}\n", "sheet-size", `j.yaml:3:8: a sheet of 10 mm (0.394 in) × 10 mm (0.394 in) with margins of 6 mm (0.236 in) has no room left`},

		{head + "stone: {size: SS11}\n", "size-unknown", `j.yaml:3:15: there is no stone size "SS11"; the sizes are SS3, SS4, SS5, SS6, SS7, SS8, SS9, SS10, SS12, SS14, SS16, SS20, SS30, SS34, SS40`},
		{head + "stone: SS10\n", "job-value", `j.yaml:3:8: stone takes keys and values: size, colour`},
		{head + "stone:\n", "job-value", `j.yaml:3:8: stone takes keys and values: size, colour`},
		{head + "treatment: fringe\n", "choice", `j.yaml:3:12: there is no treatment "fringe"; choose rim, spine, bed or auto`},
		{head + "treatment: [rim, auto]\n", "choice", `j.yaml:3:18: auto stands alone; leave it out or leave the others out`},
		{head + "treatment: [rim, rim]\n", "choice", `j.yaml:3:18: treatment "rim" stands twice`},
		{head + "treatment: []\n", "choice", `j.yaml:3:12: the list of treatments is empty; choose rim, spine, bed or auto, or write skip: true`},
		{head + "bed: quilt\n", "choice", `j.yaml:3:6: there is no bed "quilt"; choose comb, echo, courses, spokes or scatter`},
		{head + "bed: [comb, echo]\n", "job-value", `j.yaml:3:6: bed takes one value, not a list`},
		{head + "bed: {angle: 30 deg}\n", "bed", `j.yaml:3:6: the bed has no style; write it like {style: courses, angle: 30 deg}`},
		{head + "bed: {style: quilt}\n", "choice", `j.yaml:3:14: there is no bed "quilt"; choose comb, echo, courses, spokes or scatter`},
		{head + "bed: {style: courses, colums: line}\n", "job-key", `j.yaml:3:23: bed has no key "colums"; did you mean "columns"?`},
		{head + "bed: {style: comb, angle: 30 deg}\n", "bed", `j.yaml:3:20: angle goes with courses or spokes, not with comb`},
		{head + "bed: {style: courses, density: 50%}\n", "bed", `j.yaml:3:23: density goes with scatter, not with courses`},
		{head + "bed: {style: courses, angle: 30}\n", "bed", `j.yaml:3:30: "30" is no angle; write it in degrees, clockwise, such as 30 deg`},
		{head + "bed: {style: courses, angle: down}\n", "bed", `j.yaml:3:30: "down" is no angle; write it in degrees, clockwise, such as 30 deg`},
		{head + "bed: {style: courses, columns: odd}\n", "choice", `j.yaml:3:32: there is no way of setting columns "odd"; choose even, line or brick`},
		{head + "bed: {style: spokes, centre: 0.5}\n", "job-value", `j.yaml:3:30: a place is two shares of the drawn width and height in square brackets: [0.42, 0.31]`},
		{head + "bed: {style: scatter, density: 60}\n", "bed", `j.yaml:3:32: "60" is no density; write a share of a full bed from 1% to 100%, such as 60%`},
		{head + "bed: {style: scatter, density: 0%}\n", "bed", `j.yaml:3:32: "0%" is no density; write a share of a full bed from 1% to 100%, such as 60%`},
		{head + "bed: {style: scatter, density: {from: 50%}}\n", "bed", `j.yaml:3:32: the density has no end; write it like {from: 100%, to: 20%, towards: down}`},
		{head + "bed: {style: scatter, density: {to: 5%, towards: outwards}}\n", "bed", `j.yaml:3:50: there is no direction "outwards" for a density; choose down, up, right or left, or an angle clockwise from rightwards such as 30 deg`},
		{head + "bed: {style: scatter, seed: -2}\n", "bed", `j.yaml:3:29: "-2" is no seed; write a whole number from 0 to 4294967295: each gives another draw`},
		{head + "plates: few\n", "choice", `j.yaml:3:9: there is no way of sharing out plates "few"; choose fewest or colour`},
		{head + "effort: max\n", "choice", `j.yaml:3:9: there is no effort "max"; choose live or final`},
		{head + "paper: a5\n", "choice", `j.yaml:3:8: there is no paper "a5"; choose a4 or letter`},
		{head + "press: wood\n", "choice", `j.yaml:3:8: there is no material to press onto "wood"; choose undecided, cotton, polyester, nylon, acrylic or glass`},
		{head + "garment: teel\n", "paint", `j.yaml:3:10: "teel" is not a colour; write it as "#1f4e79" in quotes, or as a name such as navy`},
		{head + "garment: #1f4e79\n", "job-value", `j.yaml:3:10: garment has no value (a # starts a comment: put a colour in quotes, "#1f4e79")`},
		{head + "design: \"\"\n", "name", `j.yaml:3:9: the design's name is blank`},
		{head + "design: \"a\\tb\"\n", "name", `j.yaml:3:9: the design's name has characters that cannot be printed`},
		{head + "design: [a]\n", "job-value", `j.yaml:3:9: design takes one value, not a list`},

		{head + "regions: {fill: navy}\n", "job-value", `j.yaml:3:10: regions takes a list; start each rule with a dash: - match: {fill: "#1f4e79"}`},
		{head + "regions:\n  - bed: comb\n", "job-value", `j.yaml:4:5: the rule has no match; say which regions it is for: match: {fill: "#1f4e79"}, or by stroke, id, class or layer`},
		{head + "regions:\n  - fill: \"#1f4e79\"\n    treatment: rim\n", "job-value", `j.yaml:4:5: the rule has no match; say which regions it is for: match: {fill: "#1f4e79"}, or by stroke, id, class or layer`},
		{head + "regions:\n  - match: {}\n", "job-value", `j.yaml:4:5: the rule has no match; say which regions it is for: match: {fill: "#1f4e79"}, or by stroke, id, class or layer`},
		{head + "regions:\n  - match: navy\n", "job-value", `j.yaml:4:12: match takes keys and values: fill, stroke, id, class, layer`},
		{head + "regions:\n  - match: {id: \"\"}\n", "job-value", `j.yaml:4:17: an empty word matches nothing; leave the key out`},
		{head + "regions:\n  - match: {id: a}\n    skip: maybe\n", "choice", `j.yaml:5:11: there is no answer "maybe"; choose no, yes, false or true`},
		{head + "gap: &g 1 mm\n", "job-value", `j.yaml:3:6: anchors, aliases, merges and tags are not read here; write the value out`},

		{head + "hand: {add: {region: eye}}\n", "job-value", `j.yaml:3:7: hand takes a list; start each edit with a dash: - remove: {region: eye, at: [0.42, 0.31]}`},
		{head + "hand:\n  - paint: {region: eye}\n", "job-key", `j.yaml:4:5: an edit by hand has no key "paint"; did you mean "pin"?`},
		{head + "hand:\n  - delete: {region: eye}\n", "job-key", `j.yaml:4:5: an edit by hand has no key "delete"; the keys are add, move, remove, recolour, pin`},
		{head + "hand:\n  - add: {region: eye, at: [0, 1]}\n    pin: {region: eye, at: [0, 1]}\n", "job-value", `j.yaml:4:5: an edit by hand does one thing; give each of add, move, remove, recolour or pin a dash of its own`},
		{head + "hand:\n  - add: eye\n", "job-value", `j.yaml:4:10: add takes keys and values: region, at, stone`},
		{head + "hand:\n  - pin: {region: eye, at: [0, 1], to: [0, 1]}\n", "job-key", `j.yaml:4:36: pin has no key "to"; the keys are region, at`},
		{head + "hand:\n  - move: {region: eye, at: [0, 1]}\n", "job-value", `j.yaml:4:5: move has no to; write it like move: {region: eye, at: [0.42, 0.31], to: [0.44, 0.3]}`},
		{head + "hand:\n  - remove: {at: [0, 1]}\n", "job-value", `j.yaml:4:5: remove has no region; write it like remove: {region: eye, at: [0.42, 0.31]}`},
		{head + "hand:\n  - pin: {region: \"\", at: [0, 1]}\n", "job-value", `j.yaml:4:19: an empty word matches nothing; leave the key out`},
		{head + "hand:\n  - add: {region: eye, at: [0, 1], stone: {size: SS11}}\n", "size-unknown", `j.yaml:4:50: there is no stone size "SS11"; the sizes are SS3, SS4, SS5, SS6, SS7, SS8, SS9, SS10, SS12, SS14, SS16, SS20, SS30, SS34, SS40`},
		{head + "hand:\n  - pin: {region: eye, at: 0.5}\n", "job-value", `j.yaml:4:28: a place is two shares of the drawn width and height in square brackets: [0.42, 0.31]`},
		{head + "hand:\n  - pin: {region: eye, at: [0.5]}\n", "job-value", `j.yaml:4:28: a place is two shares of the drawn width and height in square brackets: [0.42, 0.31]`},
		{head + "hand:\n  - pin: {region: eye, at: [0.5, 42]}\n", "share", `j.yaml:4:34: "42" is no share of the drawing; it goes from 0 (left, top) to 1 (right, bottom), such as 0.42`},
		{head + "hand:\n  - pin: {region: eye, at: [0.5, 10 mm]}\n", "share", `j.yaml:4:34: "10 mm" is no share of the drawing; it goes from 0 (left, top) to 1 (right, bottom), such as 0.42`},
		{head + "hand:\n  - pin: {region: eye, at: [-0.1, 0]}\n", "share", `j.yaml:4:29: "-0.1" is no share of the drawing; it goes from 0 (left, top) to 1 (right, bottom), such as 0.42`},
		{head + "hand:" + strings.Repeat("\n  - pin: {region: e, at: [0, 0]}", maxEdits+1), "job-value", `j.yaml:4:3: there are 1001 edits by hand; at most 1000 are read`},

		{"width: 9.5 in\n", "artwork-missing", `j.yaml: the job names no artwork; add a line such as artwork: heron.svg, or lettering`},
		{"artwork: a.svg\n", "width-missing", `j.yaml: the finished size is missing; say how wide the design shall be, such as width: 9.5 in (on the command line: --width 9.5in), or give its height`},
		{head + "height: 100 mm\n", "width-and-height", `j.yaml: width and height are both given; keep one, the other follows from the artwork`},
		{"", "job-empty", `j.yaml: the job file is empty; it needs at least artwork and width`},
		{"# only a remark\n", "job-empty", `j.yaml: the job file is empty; it needs at least artwork and width`},
		{"heron", "job-value", `j.yaml:1:1: a job file takes keys and values: design, artwork, drawings, width, height, lettering, widths, stone, gap, margin, treatment, bed, colours, accents, fill, plates, web, border, frame, tape, mirror, sheet, flock, cutter, garment, effort, paper, language, press, regions, hand`},
		{head + "---\n" + head, "job-yaml", `j.yaml:4:1: a second document starts here; put each job in its own file`},
		{"artwork: \xff\n", "job-text", `j.yaml: the job file is not plain text in UTF-8; save it again from a text editor`},
		{strings.Repeat("#", maxBytes+1), "job-size", `j.yaml: the job file has 65537 bytes; at most 65536 are read`},
		{"a: " + strings.Repeat("[", 5000), "job-yaml", `j.yaml: the job file nests lists deeper than 32`},
		{strings.Repeat("- ", 5000), "job-yaml", `j.yaml: the job file nests lists deeper than 32`},
	}
}

func TestFaultsSayWhereWhatAndHow(t *testing.T) {
	for _, c := range faultCases() {
		j, err := Parse("j.yaml", []byte(c.text))
		if err == nil {
			t.Errorf("%.60q was read as %+v", c.text, j)
			continue
		}
		if err.Error() != c.want || fault.CodeOf(err) != c.code {
			t.Errorf("%.60q\n got [%s] %v\nwant [%s] %s", c.text, fault.CodeOf(err), err, c.code, c.want)
		}
	}
}

// A colour without quotes breaks a mapping in braces: the message says so.
func TestColourWithoutQuotes(t *testing.T) {
	for _, text := range []string{"regions:\n  - match: {fill: #1f4e79}\n    treatment: rim\n", "regions:\n  - match: {fill: #fff}\n"} {
		_, err := Parse("j.yaml", []byte(head+text))
		if err == nil || fault.CodeOf(err) != "job-yaml" || !strings.HasPrefix(err.Error(), "j.yaml:4:") || !strings.Contains(err.Error(), `put the colour in quotes, "#`) {
			t.Errorf("%q gave %v", text, err)
		}
	}
}

// What the YAML library says of broken YAML is its own; the place is ours.
func TestBrokenYAMLNamesItsPlace(t *testing.T) {
	for text, place := range map[string]string{
		head + "stone: {size: SS10\n":    "j.yaml:3:",
		head + "artwork: b.svg\n":        "j.yaml:3:",
		head + "garment: \"#fff\n":       "j.yaml:3:",
		head + "design: a\n   b: c\n":    "j.yaml:",
		"artwork: a.svg\n\twidth: 1in\n": "j.yaml:",
	} {
		_, err := Parse("j.yaml", []byte(text))
		if err == nil || !strings.HasPrefix(err.Error(), place) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q gave %v, want one line that starts with %s", text, err, place)
		}
	}
}
