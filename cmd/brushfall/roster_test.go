package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"brushfall/internal/job"
)

const crewJob = `design: Badge {name}
artwork: badge.svg
width: "{width} mm"
stone: {size: SS16, colour: {colour|crystal}}
regions:
  - match: {id: sun}
    skip: yes
effort: live
`

const crewList = "name;width;colour;quantity;locker\nEel;30;;2;a\nPike;33;jet;;b\nŁost;30;sun;1;c\nEel;30;;;d\n"

// crewDesk puts a job file with fields and a list on the desk.
func crewDesk(t *testing.T) {
	t.Helper()
	desk(t)
	put(t, "crew.yaml", crewJob)
	put(t, "crew.csv", crewList)
}

// contents gives every file below a folder.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, name := range inFolder(t, dir) {
		path := filepath.Join(dir, name)
		if !isFolder(path) {
			out[name] = get(t, path)
		}
	}
	return out
}

func sameContents(t *testing.T, what string, got, want map[string]string) {
	t.Helper()
	for name := range want {
		if text, ok := got[name]; !ok {
			t.Errorf("%s: %s is missing", what, name)
		} else if text != want[name] {
			t.Errorf("%s: %s differs", what, name)
		}
	}
	for name := range got {
		if _, ok := want[name]; !ok {
			t.Errorf("%s: %s is not of the undisturbed run", what, name)
		}
	}
}

func TestRoster(t *testing.T) {
	crewDesk(t)
	before := tree(t)
	dry := brushfall(t, "roster", "crew.yaml", "crew.csv", "--dry-run")
	dry.wants(t, exitDone, "5 transfers of 3 designs", "Badge Eel", "2, 5", "does not use the column \"locker\"", "nothing was written")
	if after := tree(t); len(after) != len(before) {
		t.Errorf("a dry run has left %v", after)
	}
	brushfall(t, "roster", "crew.yaml", "crew.csv", "-o", "crew").wants(t, exitDone, "5 transfers of 3 designs on 1 new sheet", "In the folder crew:")
	for _, name := range []string{"sheet-1.svg", "sheet-1.plt", "ticket.pdf", "counts.csv", "roster.csv", "sheets.json", "badge-eel/layout.json", "badge-lost/ticket.pdf", "badge-pike/proof.png"} {
		get(t, "crew/"+name)
	}
	brushfall(t, "inspect", "crew").wants(t, exitDone, "3 designs", "no rule is broken")
	for _, path := range tree(t) {
		if strings.Contains(path, ".brushfall-") {
			t.Errorf("%s is left behind", path)
		}
	}
}

func TestRosterAsJSON(t *testing.T) {
	crewDesk(t)
	o := brushfall(t, "roster", "crew.yaml", "crew.csv", "-o", "crew", "--json")
	o.wants(t, exitDone)
	var got rosterSummary
	if err := json.Unmarshal([]byte(o.stdout), &got); err != nil {
		t.Fatal(err)
	}
	if got.Rows != 4 || got.Transfers != 5 || len(got.Designs) != 3 || got.Designs[0].Transfers != 3 || len(got.Files) < 20 || got.Tape.Transfers != 5 {
		t.Errorf("%+v", got)
	}
	for _, name := range got.Files {
		get(t, "crew/"+name)
	}
}

// Every fault of the list is told with its row and column, and nothing is written,
// until the faulty rows are left out.
func TestRosterWithFaults(t *testing.T) {
	crewDesk(t)
	put(t, "crew.csv", crewList+"Ray;30;blurple;many;e\nCarp;900;jet;1;f\n")
	before := strings.Join(tree(t), " ")
	says := []string{"3 rows", "row 6, colour:", "row 6, quantity:", "row 7, width:", "row 8:"}
	put(t, "crew.csv", crewList+"Ray;30;blurple;many;e\nCarp;900;jet;1;f\n;30;;;g\n")
	says[4] = "row 8, name: the cell is empty"
	brushfall(t, "roster", "crew.yaml", "crew.csv", "-o", "crew").wants(t, exitInput, append(says, "nothing was written", "--skip-faulty")...)
	brushfall(t, "roster", "crew.yaml", "crew.csv", "--dry-run").wants(t, exitInput, append(says, "5 transfers of 3 designs")...)
	o := brushfall(t, "roster", "crew.yaml", "crew.csv", "-o", "crew", "--json")
	var told struct {
		Faults []struct {
			Row          int
			Column, Code string
		}
	}
	if err := json.Unmarshal([]byte(o.stdout), &told); err != nil || len(told.Faults) != 4 || o.code != exitInput {
		t.Errorf("%v in %s", err, o.stdout)
	}
	if after := strings.Join(tree(t), " "); after != before {
		t.Errorf("the desk has %s, it had %s", after, before)
	}
	brushfall(t, "roster", "crew.yaml", "crew.csv", "-o", "crew", "--skip-faulty").wants(t, exitDone, append(says, "left out", "5 transfers of 3 designs")...)
}

// Names in stones: a letter that the face lacks is told of its column, names of
// several scripts get folders of plain letters, and a face that nobody has is told
// once for all.
func TestRosterOfNames(t *testing.T) {
	t.Chdir(t.TempDir())
	const job = "design: Herons {name}\nlettering: {text: {name}, height: 20 mm, face: \"{face|EMS Readability}\"}\neffort: live\n"
	put(t, "crew.yaml", job)
	put(t, "crew.csv", "name,face\nŁukasz,\nO'Neil,\n李,Lora Bold\nSiân,Nonesuch\n")
	brushfall(t, "roster", "crew.yaml", "crew.csv", "--dry-run").
		wants(t, exitInput, "row 4, name: Lora Bold has no letter \"李\"", "row 5: there is no face \"Nonesuch\"", "2 transfers of 2 designs")
	brushfall(t, "roster", "crew.yaml", "crew.csv", "--skip-faulty", "-o", "crew").wants(t, exitDone, "Herons Łukasz")
	get(t, "crew/herons-lukasz/layout.json")
	get(t, "crew/herons-o-neil/layout.json")
	brushfall(t, "inspect", "crew").wants(t, exitDone, "no rule is broken")
	put(t, "crew.csv", "name,face\nEel,Nonesuch\nPike,Nonesuch\n")
	brushfall(t, "roster", "crew.yaml", "crew.csv", "-o", "none").wants(t, exitInput, "something is wrong with every row", "every row, such as row 2:")
}

func TestWrongRosters(t *testing.T) {
	crewDesk(t)
	put(t, "plain.yaml", badgeJob)
	put(t, "sizes.yaml", "design: \"{name}\"\nartwork: badge.svg\nwidths: [30 mm, 40 mm]\n")
	put(t, "other.csv", "nmae,width\nEel,30\n")
	put(t, "empty.csv", "")
	before := strings.Join(tree(t), " ")
	for args, says := range map[string]string{
		"roster crew.yaml -o out":                          "a job file and a list",
		"roster crew.yaml crew.csv":                        "--dry-run",
		"roster crew.csv crew.yaml -o out":                 "first",
		"roster none.yaml crew.csv -o out":                 "there is no such file",
		"roster crew.yaml none.csv -o out":                 "there is no such file",
		"roster plain.yaml crew.csv -o out":                "no field such as {name}",
		"roster sizes.yaml crew.csv -o out":                "widths",
		"roster crew.yaml other.csv -o out":                "did you mean \"nmae\"",
		"roster crew.yaml empty.csv -o out":                "no rows",
		"roster crew.yaml crew.csv -o crew.csv":            "not a folder",
		"roster crew.yaml crew.csv -o out --paper a5":      "--paper",
		"roster crew.yaml crew.csv -o out --sheet 9x9mm":   "no room",
		"roster crew.yaml crew.csv -o out --fits none.csv": "there is no such file",
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

// parts tells how many lines the journal of a run in the current folder has.
func parts(t *testing.T) int {
	t.Helper()
	found, err := filepath.Glob(".brushfall-roster-*/journal")
	if err != nil || len(found) == 0 {
		return -1
	}
	text, err := os.ReadFile(found[0])
	if err != nil { // it has just gone
		return -1
	}
	return bytes.Count(text, []byte("\n"))
}

// A run that is killed outright, at whatever moment, goes on to the very files of
// an undisturbed one, and leaves nothing behind.
func TestKilledRosterGoesOn(t *testing.T) {
	crewDesk(t)
	brushfall(t, "roster", "crew.yaml", "crew.csv", "-o", "crew").wants(t, exitDone)
	want := contents(t, "crew")
	killed := 0
	for at := range 9 {
		t.Chdir(t.TempDir())
		put(t, "badge.svg", badge)
		put(t, "crew.yaml", crewJob)
		put(t, "crew.csv", crewList)
		cmd := program(t, "roster", "crew.yaml", "crew.csv", "-o", "crew")
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		ended := make(chan error, 1)
		go func() { ended <- cmd.Wait() }()
		for run := true; run; {
			select {
			case <-ended:
				run = false
			case <-time.After(time.Millisecond):
				if parts(t) >= at {
					if cmd.Process.Kill() == nil {
						<-ended
					}
					run = false
				}
			}
		}
		if !isThere("crew") {
			killed++
		}
		brushfall(t, "roster", "crew.yaml", "crew.csv", "-o", "crew").wants(t, exitDone)
		sameContents(t, "killed", contents(t, "crew"), want)
		for _, path := range tree(t) {
			if strings.Contains(path, ".brushfall-") {
				t.Errorf("%s is left behind", path)
			}
		}
	}
	if killed == 0 {
		t.Error("every run had ended before it was killed")
	}
}

// A run that is stopped keeps what is finished. What the next run does not want any
// more, as the list has changed, does not come into its folder; a journal and files
// that were damaged do no harm.
func TestStoppedRosterGoesOn(t *testing.T) {
	crewDesk(t)
	brushfall(t, "roster", "crew.yaml", "crew.csv", "-o", "want").wants(t, exitDone)
	put(t, "longer.csv", crewList+"Ray;36;;;e\n")
	store, err := openStore("crew")
	if err != nil {
		t.Fatal(err)
	}
	brushfall(t, "roster", "crew.yaml", "crew.csv", "-o", "crew").wants(t, exitInput, "another run")
	store.close()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	brushfallIn(t, ctx, "roster", "crew.yaml", "longer.csv", "-o", "crew").wants(t, exitStopped, "goes on from there")
	if isThere("crew") || parts(t) < 0 {
		t.Errorf("after a stop: %v", tree(t))
	}
	if store, err = openStore("crew"); err != nil {
		t.Fatal(err)
	}
	a := &app{out: &bytes.Buffer{}, err: &bytes.Buffer{}}
	f := rosterFlags{gangFlags: gangFlags{out: "crew"}}
	r, err := a.composed(t.Context(), "crew.yaml", "longer.csv", f)
	if err != nil {
		t.Fatal(err)
	}
	if err := runInto(store, r); err != nil {
		t.Fatal(err)
	}
	store.close()
	staging := store.staging
	put(t, filepath.Join(staging, "whole", "badge-eel", "ticket.pdf"), "damaged")
	put(t, filepath.Join(staging, "whole", "badge-eel", "ticket.pdf.part"), "half")
	put(t, filepath.Join(staging, "journal"), get(t, filepath.Join(staging, "journal"))+`{"key":"half`)
	brushfall(t, "roster", "crew.yaml", "crew.csv", "-o", "crew").wants(t, exitDone)
	sameContents(t, "stopped", contents(t, "crew"), contents(t, "want"))
}

// runInto makes a list up to the last step, which would put the files in place.
func runInto(store *rosterStore, r job.Roster) error {
	_, err := job.RunRoster(context.Background(), r, job.RosterOptions{Store: store}, nil)
	return err
}

// A job file with fields is made with a list; without one it says so.
func TestAListsJobFileAlone(t *testing.T) {
	crewDesk(t)
	put(t, "alone.yaml", "artwork: badge.svg\nwidth: {width}\nstone: {size: SS6, colour: crystal}\n")
	brushfall(t, "make", "alone.yaml", "-o", "out").wants(t, exitInput, "alone.yaml:2", "{width} stands for a column", "brushfall roster alone.yaml")
	put(t, "broken.yaml", "artwork: badge.svg\nwidth: {width}\nstone: [\n")
	if o := brushfall(t, "make", "broken.yaml", "-o", "out"); o.code != exitInput || strings.Contains(o.stderr, "roster") {
		t.Errorf("exit %d: %s", o.code, o.stderr)
	}
}
