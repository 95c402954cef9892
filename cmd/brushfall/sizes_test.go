package main

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func TestMakeSizes(t *testing.T) {
	desk(t)
	brushfall(t, "make", "badge.yaml", "--widths", "50mm,3in", "--effort", "live", "-o", "out").
		wants(t, exitDone, "badge in 2 sizes", "50mm", "3in", "sizes.csv", "Please look at", "text")
	brushfall(t, "make", "badge.yaml", "--width", "3in", "--effort", "live", "-o", "one").wants(t, exitDone)
	for _, name := range outputs() {
		if get(t, filepath.Join("out/3in", name)) != get(t, filepath.Join("one", name)) {
			t.Errorf("3in/%s is not what one run makes", name)
		}
		if _, err := os.Stat(filepath.Join("out/50mm", name)); err != nil {
			t.Error(err)
		}
	}
	if table := get(t, "out/sizes.csv"); strings.Count(table, "\r\n") != 3 || !strings.Contains(table, "\r\n3in,76.2,") {
		t.Errorf("sizes.csv has %q", table)
	}
	brushfall(t, "inspect", "out/50mm").wants(t, exitDone, "no rule is broken")
	if folders := slices.DeleteFunc(inFolder(t, "out"), func(name string) bool { return strings.Contains(name, "/") }); !slices.Equal(folders, []string{"3in", "50mm", "sizes.csv"}) {
		t.Errorf("the folder has %v", folders)
	}
}

func TestMakeSizesOfAJobAsJSON(t *testing.T) {
	desk(t)
	put(t, "run.yaml", strings.Replace(badgeJob, "width: 60 mm", "widths: [45 mm, 60 mm]\neffort: live", 1))
	o := brushfall(t, "make", "run.yaml", "-o", "out", "--json")
	o.wants(t, exitDone)
	var got sizesSummary
	if err := json.Unmarshal([]byte(o.stdout), &got); err != nil {
		t.Fatalf("%v in %s", err, o.stdout)
	}
	if len(got.Sizes) != 2 || got.Sizes[0].Name != "45mm" || got.Sizes[0].Stones == 0 || got.Sizes[0].Stones >= got.Sizes[1].Stones ||
		len(got.Files) != 2*len(outputs())+1 || got.Sizes[1].Folder != filepath.Join("out", "60mm") {
		t.Errorf("%+v", got)
	}
	for _, name := range got.Files {
		get(t, filepath.Join("out", name))
	}
	// a width on the command line takes the place of the file's run
	brushfall(t, "make", "run.yaml", "--width", "50mm", "-o", "one").wants(t, exitDone, "50 mm")
	if layoutOf(t, "one").Width != 50 {
		t.Errorf("%v mm wide", layoutOf(t, "one").Width)
	}
}

// What is wrong with a size run is told with the width, and nothing is written.
func TestWrongSizes(t *testing.T) {
	desk(t)
	put(t, "badge.svg", badge)
	put(t, "out/notes.txt", "keep me")
	put(t, "taken/50mm", "a file in the way")
	put(t, "small.yaml", badgeJob+"sheet: {width: 4 in, height: 4 in}\n")
	put(t, "both.yaml", badgeJob+"widths: [7 in]\n")
	before := tree(t)
	for _, c := range []struct {
		args string
		says []string
	}{
		{"make small.yaml --widths 50mm,5in --effort live -o out", []string{"width 5in", "sheet"}},
		{"make badge.svg --widths 7in,9 -o out", []string{"--widths", "9 mm or 9 in"}},
		{"make badge.svg --widths 10in,254mm -o out", []string{"--widths", "10in and 254mm", "keep one"}},
		{"make badge.svg --widths 7in --width 9in -o out", []string{"keep widths"}},
		{"make badge.svg --widths 7in,9in", []string{"-o"}},
		{"make both.yaml -o out", []string{"both.yaml", "keep widths"}},
		{"make badge.svg --widths 50mm,60mm --effort live -o taken", []string{"50mm", "cannot write here"}},
	} {
		o := brushfall(t, strings.Fields(c.args)...)
		o.wants(t, exitInput, c.says...)
		if o.stdout != "" {
			t.Errorf("%s: stdout has %q", c.args, o.stdout)
		}
		after := slices.DeleteFunc(tree(t), func(name string) bool { return name == filepath.Join("taken", "60mm") })
		if !slices.Equal(after, before) {
			t.Errorf("%s: the folder has become %v", c.args, after)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	brushfallIn(t, ctx, "make", "badge.svg", "--widths", "50mm,60mm", "-o", "new").wants(t, exitStopped, "nothing was written")
}

// A second run takes away the sheets that a size no longer has, and no other file.
func TestSizesAreReplacedCarefully(t *testing.T) {
	desk(t)
	args := []string{"make", "badge.yaml", "--widths", "50mm,60mm", "--effort", "live", "-o", "out"}
	brushfall(t, args...).wants(t, exitDone)
	put(t, "out/50mm/sheet-7.svg", "an old sheet")
	put(t, "out/50mm/notes.txt", "not ours")
	put(t, "out/sheet-7.svg", "not ours either: no design lies here")
	brushfall(t, args...).wants(t, exitDone)
	want := append(outputs(), "notes.txt")
	slices.Sort(want)
	if got := inFolder(t, "out/50mm"); !slices.Equal(got, want) {
		t.Errorf("the folder has %v, want %v", got, want)
	}
	get(t, "out/sheet-7.svg")
}
