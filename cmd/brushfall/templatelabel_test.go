package main

import (
	"fmt"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/outside"
)

// scanned gives what a reader of codes finds on the pages of a PDF, printed at 300
// dots an inch, sorted.
func scanned(t *testing.T, file string) []string {
	t.Helper()
	pages := filepath.Join(t.TempDir(), "page")
	if out, err := exec.Command(outside.Need(t, "pdftoppm"), "-r", "300", "-png", file, pages).CombinedOutput(); err != nil {
		t.Fatal(err, string(out))
	}
	images, err := filepath.Glob(pages + "*.png")
	if err != nil || len(images) == 0 {
		t.Fatal(images, err)
	}
	out, err := exec.Command(outside.Need(t, "zbarimg"), append([]string{"--raw", "--quiet", "-Sdisable", "-Sqrcode.enable"}, images...)...).Output()
	if err != nil {
		t.Fatal(err)
	}
	got := strings.Fields(string(out))
	slices.Sort(got)
	return got
}

// The labels of templates, read by ZBar from the printed page, say their codes.
func TestLabelsAreReadByAScanner(t *testing.T) {
	templateDesk(t)
	var codes []string
	for n := range 5 {
		codes = append(codes, enter(t, "--place", fmt.Sprint("drawer ", n)))
	}
	does(t, append([]string{"template", "label", "-o", "labels.pdf", "--outline"}, codes...)...)
	want := slices.Clone(codes)
	slices.Sort(want)
	if got := scanned(t, "labels.pdf"); !slices.Equal(got, want) {
		t.Errorf("ZBar reads %q, want %q", got, want)
	}
	text, err := exec.Command(outside.Need(t, "pdftotext"), "-layout", "labels.pdf", "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range append(codes, "badge", "drawer 4", "SS10 crystal") {
		if !strings.Contains(string(text), part) {
			t.Errorf("no label says %q:\n%s", part, text)
		}
	}
	// A sheet that was begun: the last three cells of one page, two of the next.
	does(t, append([]string{"template", "label", "-o", "rest.pdf", "--paper", "letter", "--first", "19", "--label", "2.5x1in", "--step", "2.7x1.3in"}, codes...)...)
	if got := scanned(t, "rest.pdf"); !slices.Equal(got, want) {
		t.Errorf("on a sheet that was begun ZBar reads %q, want %q", got, want)
	}
	does(t, "template", "label", "--each-plate", "-o", "plates.pdf", codes[0])
	if got := scanned(t, "plates.pdf"); len(got) != 2 || got[0] != codes[0] || got[1] != codes[0] {
		t.Errorf("for each of two plates ZBar reads %q", got)
	}
	for plate, only := range []string{"SS10 sun × 12", "SS10 crystal × 103"} {
		page, err := exec.Command(outside.Need(t, "pdftotext"), "-x", fmt.Sprint(198*plate), "-y", "0", "-W", "198", "-H", "150", "plates.pdf", "-").Output()
		if err != nil || !strings.Contains(string(page), only) || strings.Count(string(page), "SS10") != 1 {
			t.Errorf("the label of plate %d says %q, want %q alone; %v", plate+1, page, only, err)
		}
	}
}

func TestLabelsRefuse(t *testing.T) {
	templateDesk(t)
	code := enter(t)
	for args, says := range map[string]string{
		"":                         "by its code",
		code + " --grid 3":         "is no grid",
		code + " --grid 0x8":       "cannot be on a sheet",
		code + " --label 70":       "no two lengths",
		code + " --label 70x36":    "no two lengths",
		code + " --first 25":       "cannot go to number 25",
		code + " --label 10x36mm":  "too small",
		code + " --grid 4x8":       "do not go on",
		code + " --step 50x36mm":   "lie on each other",
		code + " --paper postcard": "postcard",
		"7K4M-9AC4":                "no template of this code",
	} {
		brushfall(t, append([]string{"template", "label"}, strings.Fields(args)...)...).wants(t, exitInput, says)
	}
	if exists("labels.pdf") {
		t.Error("labels were printed")
	}
}
