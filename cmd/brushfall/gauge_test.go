package main

import (
	"encoding/json"
	"math"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"brushfall/internal/outside"
)

// The whole way: trial holes, the answer of the paper, and a design made with it.
func TestGaugeToDesign(t *testing.T) {
	desk(t)
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(t.TempDir(), "settings"))
	o := brushfall(t, "gauge", "--size", "ss10", "--flock", "black velvet", "-o", "trial")
	o.wants(t, exitDone, "7 groups of 24 holes", "group 3  hole 3.25 mm, fit 0.35 mm", "gauge.pdf")
	paper, err := exec.Command(outside.Need(t, "pdftotext"), "-layout", "trial/gauge.pdf", "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	command := regexp.MustCompile(`brushfall (gauge .*--answer) N`).FindStringSubmatch(string(paper))
	if command == nil || !strings.Contains(string(paper), "3.25 mm") || !strings.Contains(string(paper), "now") {
		t.Fatalf("the paper says\n%s", paper)
	}
	args := strings.Fields(strings.ReplaceAll(command[1], `"black velvet"`, "black~velvet"))
	for i := range args {
		args[i] = strings.ReplaceAll(args[i], "~", " ")
	}
	brushfall(t, append(args, "3")...).wants(t, exitDone, "fit 0.35 mm, so holes of 3.25 mm (before: 3.3 mm)")
	brushfall(t, "gauge", "--list").wants(t, exitDone, "black velvet  usual   SS10  0.35 mm  3.25 mm")
	brushfall(t, "make", "badge.svg", "--width", "60mm", "--effort", "live", "-o", "own").wants(t, exitDone, "SS10  3.25 mm: the largest stone and a fit of 0.35 mm, from your trial holes")
	brushfall(t, "make", "badge.svg", "--width", "60mm", "--effort", "live", "--flock", "white", "-o", "white").wants(t, exitDone, "SS10  3.3 mm", "the catalogue", `no fit of SS10 is known for the flock "white"`)
	if text := get(t, "own/sheet-1.svg"); !strings.Contains(text, `r="1.6250"`) || strings.Contains(text, `r="1.6500"`) {
		t.Error("the holes are not 3.25 mm wide")
	}
	brushfall(t, "gauge", "--size", "SS10", "--fit", "0.36", "--fits", "shop.json").wants(t, exitDone, "shop.json")
	brushfall(t, "make", "badge.svg", "--width", "60mm", "--effort", "live", "--fits", "shop.json", "-o", "shop").wants(t, exitDone, "3.26 mm")
}

// Every hole and number of the plate is in the HP-GL, group by group in width.
func TestGaugePlate(t *testing.T) {
	desk(t)
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	brushfall(t, "gauge", "--size", "SS6", "-o", "trial").wants(t, exitDone)
	for name, count := range map[string]int{"svg": 7 * 24, "dxf": 7 * 24} {
		mark := map[string]string{"svg": "<circle", "dxf": "\nCIRCLE\n"}[name]
		if n := strings.Count(strings.ReplaceAll(get(t, "trial/sheet-1."+name), "\r", ""), mark); n != count {
			t.Errorf("%s has %d holes, want %d", name, n, count)
		}
	}
	widths := map[string]int{}
	for _, m := range regexp.MustCompile(`<circle [^>]*r="([0-9.]+)"`).FindAllStringSubmatch(get(t, "trial/sheet-1.svg"), -1) {
		widths[m[1]]++
	}
	for i := range 7 {
		r := strconv.FormatFloat((2.1+0.15+0.05*float64(i))/2, 'f', 4, 64)
		if widths[r] != 24 {
			t.Errorf("%d holes with the radius %s", widths[r], r)
		}
	}
}

func TestGaugeOfMeasuredStones(t *testing.T) {
	desk(t)
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	const list = "2.81,2.84,2.79,2.83,2.80,2.86,2.78,2.82,2.85,2.82"
	put(t, "lot.csv", "no,diameter\n1,"+strings.ReplaceAll(list, ",", "\nx,")+"\n")
	args := []string{"gauge", "--size", "SS10", "--hole-sd", "0.03", "--play", "0.2mm", "--hole", "3.1", "--diameters"}
	// The figures are those of docs/gauge.md, which a test of the model recomputes.
	brushfall(t, append(args, list)...).wants(t, exitDone, "about 2.2 % of the stones refuse (between 0.67 % and 10.3 %", "holes of 3.13 mm, a fit of 0.23 mm", "3.17 mm, a fit of 0.27 mm")
	o := brushfall(t, append(args, "lot.csv", "--json")...)
	var got sampleAnswer
	if err := json.Unmarshal([]byte(o.stdout), &got); err != nil || got.Stones != 10 || math.Abs(got.Refused-0.0216) > 5e-5 {
		t.Errorf("%+v, %v", got, err)
	}
}

func TestGaugeRefusals(t *testing.T) {
	desk(t)
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	put(t, "broken.json", "{")
	for args, says := range map[string]string{
		"gauge":                                              "--size SS10",
		"gauge --size SS10":                                  "say what to do",
		"gauge --size SS11 -o x":                             "SS11",
		"gauge --size SS10 --answer 8":                       "numbered 1 to 7",
		"gauge --size SS10 --fit 0.3 --answer 2":             "keep one",
		"gauge --size SS10 --fit 9":                          "0 to 5 mm",
		"gauge --size SS10 --fit wide":                       "--fit",
		"gauge --size SS10 --step 0 -o x":                    "--step",
		"gauge --size SS10 --steps 40 -o x":                  "2 to 15",
		"gauge --size SS10 --diameters 2.8,2.9":              "too few",
		"gauge --size SS10 --diameters lot.csv":              "no such file",
		"gauge --size SS10 --diameters 1,2,3,wide":           "--diameters",
		"gauge --list --fits broken.json":                    "broken.json",
		"gauge --size SS10 --fits lost.json -o x":            "lost.json",
		"make badge.svg --width 9in --fits broken.json -o x": "broken.json",
		"gauge --size SS10 -o x --paper a5":                  "--paper",
	} {
		t.Run(args, func(t *testing.T) { brushfall(t, strings.Fields(args)...).wants(t, exitInput, says) })
	}
}
