package job

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/roster"
)

// squares is a job file whose rows differ in width, stone and colour.
const squares = `design: "Oar {name}"
artwork: oar.svg
width: "{width} mm"
stone: {size: SS10, colour: {colour|crystal}}
effort: live
regions:
  - match: {id: b}
    stone: {colour: jet}
`

const squaresList = `name,width,colour,quantity,remark
Eel,30,,2,
Łost,36,sun,,
Eel,30,,3,the same again
Pike,24,jet,1,
李,27,,1,
`

// shelf is a store in memory. It fails once there are no more writes left.
type shelf struct {
	mutex sync.Mutex
	parts map[string][]byte
	done  map[string]bool
	files map[string][]byte
	left  int
}

var errFull = errors.New("the shelf is full")

func newShelf(left int) *shelf {
	return &shelf{parts: map[string][]byte{}, done: map[string]bool{}, files: map[string][]byte{}, left: left}
}

func (s *shelf) locked(work func()) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	work()
}

func (s *shelf) Get(key string) (data []byte, ok bool) {
	s.locked(func() { data, ok = s.parts[key] })
	return data, ok
}

func (s *shelf) Put(key string, data []byte) (err error) {
	s.locked(func() {
		if s.left--; s.left < 0 {
			err = errFull
			return
		}
		s.parts[key] = data
	})
	return err
}

func (s *shelf) Done(key string) (ok bool) {
	s.locked(func() { ok = s.done[key] })
	return ok
}

func (s *shelf) Write(key string, files []File) (err error) {
	s.locked(func() {
		if s.left--; s.left < 0 {
			err = errFull
			return
		}
		s.done[key] = true
		for _, f := range files {
			s.files[f.Name] = f.Data
		}
	})
	return err
}

func composed(t *testing.T, text, list string) Roster {
	t.Helper()
	r, err := Compose(templateOf(t, text), listOf(t, list), nil, "seed", func(j Job) (Job, error) {
		j.Artwork = small("", 60).Artwork
		return j, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func ran(t *testing.T, r Roster, opt RosterOptions) RosterResult {
	t.Helper()
	res, err := RunRoster(context.Background(), r, opt, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range res.Findings {
		t.Error(f)
	}
	return res
}

// A list is a gang of its distinct rows: the sheets and the designs' records are
// the very bytes of a gang of the same jobs, and the counts are those of so many
// transfers.
func TestRosterIsAGang(t *testing.T) {
	r := composed(t, squares, squaresList)
	out := newShelf(1000)
	res := ran(t, r, RosterOptions{Store: out})
	var jobs []GangJob
	for _, d := range r.Designs {
		jobs = append(jobs, GangJob{d.Job, 1})
	}
	gang := made(t, jobs, GangOptions{})
	folders := map[string]string{"oar-eel": "oar-eel", "oar-lost": "oar-łost", "oar-pike": "oar-pike", "oar-li": "oar-李"}
	for ours, theirs := range folders {
		for _, name := range []string{"layout.json", "counts.csv", "proof.png"} {
			if !bytes.Equal(out.files[ours+"/"+name], fileOf(t, gang, theirs+"/"+name)) {
				t.Errorf("%s/%s differs from the gang's", ours, name)
			}
		}
	}
	for _, name := range []string{"sheet-1.svg", "sheet-1.dxf", "sheet-1.plt", "sheet-1.pdf", "offcuts.csv"} {
		if !bytes.Equal(out.files[name], fileOf(t, gang, name)) {
			t.Errorf("%s differs from the gang's", name)
		}
	}
	total := 0
	for folder, transfers := range map[string]int{"oar-eel": 5, "oar-lost": 1, "oar-pike": 1, "oar-li": 1} {
		doc, err := design.Read(bytes.NewReader(out.files[folder+"/layout.json"]))
		if err != nil {
			t.Fatal(err)
		}
		total += transfers * len(doc.Stones)
	}
	if csv := string(out.files["counts.csv"]); !strings.Contains(csv, fmt.Sprintf("total,,%d,", total)) {
		t.Errorf("the counts do not tell %d stones:\n%s", total, csv)
	}
	if res.Tape.Covers != 8 || !slices.Equal(res.Unused, []string{"remark"}) {
		t.Errorf("tape for %d transfers; unused %v", res.Tape.Covers, res.Unused)
	}
	if rows := string(out.files["roster.csv"]); strings.Count(rows, "\r\n") != 6 || !strings.Contains(rows, "4,Eel,30,,3,the same again,3,Oar Eel,oar-eel,") {
		t.Errorf("roster.csv:\n%s", rows)
	}
}

// A run that breaks off after any number of steps goes on to the same files, and
// lays out again only what it had not kept.
func TestRosterGoesOn(t *testing.T) {
	r := composed(t, squares, squaresList)
	whole := newShelf(1000)
	ran(t, r, RosterOptions{Store: whole})
	steps := 1000 - whole.left
	for n := range steps {
		s := newShelf(n)
		if _, err := RunRoster(context.Background(), r, RosterOptions{Store: s}, nil); !errors.Is(err, errFull) {
			t.Fatalf("after %d steps: %v", n, err)
		}
		had := 0
		for key := range s.parts {
			if strings.HasPrefix(key, "laid-") {
				had++
			}
		}
		s.left = 1000
		res := ran(t, r, RosterOptions{Store: s})
		if res.Laid != 4-had {
			t.Errorf("after %d steps: %d designs were laid again, and %d were kept", n, res.Laid, had)
		}
		if !maps.EqualFunc(s.files, whole.files, bytes.Equal) {
			t.Errorf("after %d steps the files differ", n)
		}
	}
}

func TestRosterOnOneCore(t *testing.T) {
	r := composed(t, squares, squaresList)
	many, one := newShelf(1000), newShelf(1000)
	ran(t, r, RosterOptions{Store: many})
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	ran(t, r, RosterOptions{Store: one})
	if !maps.EqualFunc(many.files, one.files, bytes.Equal) {
		t.Error("the files differ on one core")
	}
}

// A dry run and a run tell the same, and all faults of every stage come together.
func TestRosterFaults(t *testing.T) {
	list := squaresList + "Carp,900,,1,too wide for a sheet\n,60,blurple,0,\n"
	r := composed(t, squares, list)
	s := newShelf(1000)
	res := ran(t, r, RosterOptions{Store: s})
	if len(s.files) > 0 || len(res.Sheets) > 0 || len(res.GangResult.Designs) != 4 {
		t.Errorf("%d files were written", len(s.files))
	}
	var got []string
	for _, f := range res.Faults {
		got = append(got, fmt.Sprint(f.Row, f.Column, " ", f.Code))
	}
	want := "[7width design-too-large 8quantity quantity 8name cell-empty 8colour colour-unknown]"
	if fmt.Sprint(got) != want {
		t.Errorf("%v, want %s", got, want)
	}
	dry := ran(t, r, RosterOptions{SkipFaulty: true})
	skipped := ran(t, r, RosterOptions{SkipFaulty: true, Store: s})
	if len(s.files) == 0 || fmt.Sprint(dry.Counts, dry.Sheets) != fmt.Sprint(skipped.Counts, skipped.Sheets) || len(dry.Faults) != 4 {
		t.Errorf("dry %v, made %v", dry.Counts, skipped.Counts)
	}
	for _, row := range []string{"\r\n7,", "\r\n8,"} {
		if strings.Contains(string(s.files["roster.csv"]), row) {
			t.Error("a faulty row is in roster.csv")
		}
	}
}

// What is wrong with the artwork is told once, not for each row.
func TestRosterFaultOfEveryRow(t *testing.T) {
	r, err := Compose(templateOf(t, squares), listOf(t, squaresList), nil, "", func(j Job) (Job, error) {
		j.Artwork = []byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`)
		return j, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	res := ran(t, r, RosterOptions{})
	if len(res.Faults) != 1 || res.Faults[0].Row != 0 || !strings.HasPrefix(res.Faults[0].Message, "every row, such as row 2: ") {
		t.Errorf("%v", res.Faults)
	}
}

func TestNamesOfRosterDesigns(t *testing.T) {
	text := "design: Crew\nartwork: oar.svg\nwidth: \"{width} mm\"\nstone: {colour: {colour}}\n"
	r := composed(t, text, "width,colour\n60,sun\n60,jet\n60.0,jet\n")
	var got []string
	for _, d := range r.Designs {
		got = append(got, d.Job.Design)
	}
	if fmt.Sprint(got) != "[Crew 60 sun Crew 60 jet Crew 60.0 jet]" {
		t.Errorf("%q", got)
	}
	long := strings.Repeat("long ", 15)
	l := roster.List{Columns: []string{"width", "colour"}}
	for i := range 3 {
		l.Rows = append(l.Rows, roster.Row{Number: i + 2, Cells: []string{fmt.Sprint(60 + i), "sun"}})
	}
	r, err := Compose(templateOf(t, strings.Replace(text, "Crew", long+"name", 1)), l, nil, "", func(j Job) (Job, error) { return j, nil })
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, d := range r.Designs {
		if seen[d.Job.Design] || CheckName(d.Job.Design) != nil {
			t.Errorf("%q", d.Job.Design)
		}
		seen[d.Job.Design] = true
	}
}

// No cell leads out of the folder, to a device of Windows, or to a name twice.
func TestFoldersOfARoster(t *testing.T) {
	for name, want := range map[string]string{
		"../../etc": "etc", `..\up`: "up", "/": "design", "con": "design-con", "COM1": "design-com1", "com": "com",
		"Łukasz": "lukasz", "Nguyễn": "nguyen", "O'Neil": "o-neil", "李": "li", "مريم": "mrym", "Ömür Ñandú": "omur-nandu",
		"...": "design", "": "design", "~": "design", "a\x00b": "a-b", "ß": "ss", "layout.json": "layout-json",
		strings.Repeat("x", 100): strings.Repeat("x", 60),
	} {
		if got := plainFolder(name); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
	var designs []GangDesign
	for _, name := range []string{"Eel", "éél", "eel 2", "EEL", "../eel"} {
		designs = append(designs, GangDesign{Result: Result{Document: design.Document{Design: name}}})
	}
	nameFolders(designs, plainFolder)
	seen := map[string]bool{}
	for _, d := range designs {
		if seen[d.Folder] {
			t.Errorf("%s stands twice", d.Folder)
		}
		seen[d.Folder] = true
	}
}

const lettered = `design: Crew {name}
lettering: {text: "{name}", height: 20 mm}
effort: live
`

// The stones of a name are the same whatever stands before it in the list, and as in
// a run of its own.
func TestRosterInAnyOrder(t *testing.T) {
	stones := func(list string) map[string][]design.Stone {
		s := newShelf(1000)
		ran(t, composed(t, lettered, list), RosterOptions{Store: s})
		out := map[string][]design.Stone{}
		for name, data := range s.files {
			if strings.HasSuffix(name, "/layout.json") {
				doc, err := design.Read(bytes.NewReader(data))
				if err != nil {
					t.Fatal(err)
				}
				out[name] = doc.Stones
			}
		}
		return out
	}
	want := stones("name\nTern\nOtter\nNettle\n")
	if got := stones("name\nNettle\nTern\nOtter\n"); len(got) != 3 || !reflect.DeepEqual(got, want) {
		t.Error("in another order the stones are others")
	}
	one := stones("name\nOtter\n")
	if !reflect.DeepEqual(one["crew-otter/layout.json"], want["crew-otter/layout.json"]) || len(one) != 1 {
		t.Error("alone a name has other stones")
	}
	j, err := Parse("crew.yaml", []byte(strings.ReplaceAll(lettered, "{name}", "Otter")))
	if err != nil {
		t.Fatal(err)
	}
	if d, err := Lay(t.Context(), j, nil, nil); err != nil || !reflect.DeepEqual(d.Document.Stones, one["crew-otter/layout.json"]) {
		t.Errorf("a run of its own gives other stones (%v)", err)
	}
}
