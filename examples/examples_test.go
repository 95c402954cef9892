package examples_test

import (
	"context"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"brushfall/examples"
	"brushfall/internal/job"
	"brushfall/internal/layout"
	"brushfall/internal/roster"
)

// made runs an example through the whole pipeline.
func made(t *testing.T, text, drawing examples.File) job.Result {
	t.Helper()
	j, err := job.Parse(text.Name, text.Data)
	if err != nil {
		t.Fatal(err)
	}
	if j.ArtworkName != drawing.Name {
		t.Fatalf("the job is for %s, the drawing is %s", j.ArtworkName, drawing.Name)
	}
	j.Artwork = drawing.Data
	res, err := job.Run(context.Background(), j, nil)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// Every example is made without a finding, a warning or a note.
func TestExamplesAreSound(t *testing.T) {
	for _, example := range []func() (job, drawing examples.File){examples.Heron, examples.Heart} {
		text, drawing := example()
		res := made(t, text, drawing)
		for _, f := range res.Findings {
			t.Errorf("%s: %s", text.Name, f)
		}
		for _, w := range res.Warnings {
			t.Errorf("%s: %+v", text.Name, w)
		}
		for _, n := range res.Notes {
			t.Errorf("%s: %+v", text.Name, n)
		}
	}
}

// The heart has what its job file says that it shows: three sizes in one region,
// three blues in its bed in about equal shares, accents in the rim, rows in turn.
func TestHeartShowsSizesAndPatterns(t *testing.T) {
	text, drawing := examples.Heart()
	res := made(t, text, drawing)
	kinds := map[string]map[string]int{}
	for _, s := range res.Document.Stones {
		key := s.Region + " " + string(s.Role)
		if kinds[key] == nil {
			kinds[key] = map[string]int{}
		}
		kinds[key][s.Size+" "+s.Colour]++
	}
	names := func(key string) []string { return slices.Sorted(maps.Keys(kinds[key])) }
	for key, want := range map[string][]string{
		"heart rim":   {"SS10 cobalt", "SS16 crystal"},
		"heart bed":   {"SS10 cobalt", "SS10 light sapphire", "SS10 sapphire", "SS6 crystal"},
		"pennant rim": {"SS6 sapphire"},
		"pennant bed": {"SS6 crystal", "SS6 sapphire"},
		"staff spine": {"SS10 crystal", "SS10 gold"},
	} {
		if got := names(key); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", key, got, want)
		}
	}
	rim := kinds["heart rim"]
	if share := float64(rim["SS10 cobalt"]) / float64(rim["SS16 crystal"]); share < 3.5 || share > 4.5 {
		t.Errorf("%.2f stones of the rim for an accent, want about 4", share)
	}
	for _, r := range res.Document.Regions {
		if want := r.ID == "heart"; (len(r.Sizes) == 2) != want {
			t.Errorf("region %s lists the sizes %v", r.ID, r.Sizes)
		}
	}
}

// The crew list goes through: twelve designs, one for each row, without a finding or
// a note, and every name in it has its letters.
func TestCrewIsSound(t *testing.T) {
	text, err := os.ReadFile("crew/crew.yaml")
	if err != nil {
		t.Fatal(err)
	}
	list, err := os.Open("crew/crew.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer list.Close()
	tpl, err := job.ParseTemplate("crew.yaml", text)
	if err != nil {
		t.Fatal(err)
	}
	l, faults, err := roster.Read("crew.csv", list)
	if err != nil {
		t.Fatal(err)
	}
	r, err := job.Compose(tpl, l, faults, "", func(j job.Job) (job.Job, error) {
		j.Effort = layout.Live
		return j, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	res, err := job.RunRoster(context.Background(), r, job.RosterOptions{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range append(res.Faults, r.Faults...) {
		t.Error(f)
	}
	for _, f := range res.Findings {
		t.Error(f)
	}
	if len(res.GangResult.Designs) != 12 || res.Tape.Covers != 24 {
		t.Errorf("%d designs, %d transfers", len(res.GangResult.Designs), res.Tape.Covers)
	}
}

// The eight small designs of the regatta go through one run together, without a
// finding, a warning or a note, and share a sheet.
func TestRegattaIsSound(t *testing.T) {
	names, err := filepath.Glob("regatta/*.yaml")
	if err != nil || len(names) != 8 {
		t.Fatalf("%d jobs (%v)", len(names), err)
	}
	var jobs []job.GangJob
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		j, err := job.Parse(name, text)
		if err != nil {
			t.Fatal(err)
		}
		if j.Artwork, err = os.ReadFile(filepath.Join("regatta", j.ArtworkName)); err != nil {
			t.Fatal(err)
		}
		j.Effort = layout.Live
		jobs = append(jobs, job.GangJob{Job: j, Number: 1})
	}
	res, err := job.RunGang(context.Background(), jobs, job.GangOptions{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range res.Findings {
		t.Error(f)
	}
	for _, d := range res.Designs {
		if len(d.Warnings) > 0 || len(d.Notes) > 0 {
			t.Errorf("%s: %v %v", d.Document.Design, d.Warnings, d.Notes)
		}
	}
	if len(res.Sheets) > 2 {
		t.Errorf("%d sheets", len(res.Sheets))
	}
}
