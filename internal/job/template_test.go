package job

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/fault"
	"brushfall/internal/roster"
)

// crewJob is a job file with fields in every form: in the middle of a value,
// without quotes, with what stands for an empty cell, and an escaped brace.
const crewJob = `design: Crew {name} {{best}}
artwork: "{badge|heron}.svg"
width: {Width}
stone: {size: {size}, colour: {colour|crystal}}
regions:
  - match: {id: "{name}"}
    stone: {colour: "{ trim }"}
`

func listOf(t *testing.T, text string) roster.List {
	t.Helper()
	l, faults, err := roster.Read("crew.csv", strings.NewReader(text))
	if err != nil || len(faults) > 0 {
		t.Fatal(err, faults)
	}
	return l
}

func templateOf(t *testing.T, text string) Template {
	t.Helper()
	tpl, err := ParseTemplate("crew.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return tpl
}

func TestFillATemplate(t *testing.T) {
	tpl := templateOf(t, crewJob)
	l := listOf(t, "NAME,width,size,colour,trim,badge\n\"Eel: \"\"#1\"\"\",60 mm,ss6,,jet,\nPike's,4in,SS10,Sun,jet,oar\n")
	if got := fmt.Sprint(tpl.Fields()); got != "[{name 1} {badge 2} {Width 3} {size 4} {colour 4} {trim 7}]" {
		t.Errorf("fields %s", got)
	}
	if err := tpl.CheckFields(l.Columns); err != nil {
		t.Error(err)
	}
	for i, want := range []string{
		`Crew Eel: "#1" {best}|heron.svg|60|SS6|crystal|Eel: "#1"|jet`,
		"Crew Pike's {best}|oar.svg|101.6|SS10|sun|Pike's|jet",
	} {
		f, faults, err := tpl.Fill(l, l.Rows[i])
		if err != nil || len(faults) > 0 {
			t.Fatal(err, faults)
		}
		j := f.Job
		got := strings.Join([]string{j.Design, j.ArtworkName, fmt.Sprint(j.Width.MM()), j.Stone.Size.Name, j.Stone.Colour.Name, j.Regions[0].Match.ID, j.Regions[0].Stone.Colour.Name}, "|")
		if got != want {
			t.Errorf("row %d is %s, want %s", i, got, want)
		}
	}
}

// A row's cells are text wherever they stand: nothing in them is read as YAML, and
// a field in a cell is no field.
func TestCellsAreNotYAML(t *testing.T) {
	tpl := templateOf(t, "design: \"{name}\"\nartwork: a.svg\nwidth: 60 mm\n")
	for _, cell := range []string{"a: b", "- x", "{name}", "*x", "# no remark", "null", "~", "yes", "007", "'quoted'", "{{"} {
		l := roster.List{Columns: []string{"name"}, Rows: []roster.Row{{Number: 2, Cells: []string{cell}}}}
		f, faults, err := tpl.Fill(l, l.Rows[0])
		if err != nil || len(faults) > 0 || f.Job.Design != cell {
			t.Errorf("%q has become %q (%v, %v)", cell, f.Job.Design, faults, err)
		}
	}
}

// Everything that is wrong with a row is told at once, each with its column, its
// row and the place in the job file.
func TestAllFaultsOfARow(t *testing.T) {
	tpl := templateOf(t, crewJob)
	l := listOf(t, "name,width,size,colour,trim,badge\n,60,SS99,blurple,jett,\n")
	_, faults, err := tpl.Fill(l, l.Rows[0])
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range faults {
		got = append(got, f.Column+" "+f.Code)
		if f.Row != 2 || f.Message == "" {
			t.Errorf("%+v", f)
		}
	}
	want := []string{"name cell-empty", "Width length-unit", "size size-unknown", "colour colour-unknown", "trim colour-unknown"}
	slices.Sort(got)
	for i := range want {
		want[i] = strings.Replace(want[i], "Width", "width", 1)
	}
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	for _, f := range faults {
		if f.Column == "size" && !strings.Contains(f.Message, "crew.yaml:4:15") {
			t.Errorf("no place in the job file: %s", f)
		}
	}
}

func TestWrongTemplates(t *testing.T) {
	const rest = "artwork: a.svg\nwidth: 60 mm\n"
	for text, want := range map[string][2]string{
		"design: Crew\n" + rest:         {"job-field", "no field"},
		"design: \"{name\"\n" + rest:    {"job-field", "crew.yaml:1:9"},
		"design: \"{ }\"\n" + rest:      {"job-field", "no name"},
		"design: \"{a{b}\"\n" + rest:    {"job-field", "not closed"},
		"design: {name} crew\n" + rest:  {"job-yaml", "in quotes"},
		"design: {name} {kin}\n" + rest: {"job-yaml", "in quotes"},
		"":                              {"job-empty", ""},
	} {
		_, err := ParseTemplate("crew.yaml", []byte(text))
		if fault.CodeOf(err) != want[0] || !strings.Contains(fmt.Sprint(err), want[1]) {
			t.Errorf("%q: %v, want %v", text, err, want)
		}
	}
	err := templateOf(t, "design: \"{nmae}\"\n"+rest).CheckFields([]string{"Name", "number"})
	if fault.CodeOf(err) != "job-field" || !strings.Contains(err.Error(), `crew.yaml:1: the list has no column "nmae"; did you mean "Name"?`) {
		t.Error(err)
	}
	// what has nothing to do with the row is a fault of the job file
	tpl := templateOf(t, "design: \"{name}\"\nwidht: 60 mm\n")
	l := listOf(t, "name\nEel\n")
	if _, _, err := tpl.Fill(l, l.Rows[0]); fault.CodeOf(err) != "job-key" {
		t.Error(err)
	}
}

func FuzzParseTemplate(f *testing.F) {
	f.Add(crewJob)
	f.Add("design: {a}\nartwork: '{b|c}'\nwidth: |\n  {d}\n")
	f.Add("? {a}\n: {b: {c}}\n")
	f.Add("design: [{a}, {b: null}, {c: ~}]")
	f.Fuzz(func(t *testing.T, text string) {
		tpl, err := ParseTemplate("crew.yaml", []byte(text))
		if err != nil {
			return
		}
		l := roster.List{Name: "crew.csv", Rows: []roster.Row{{Number: 2}}}
		for _, field := range tpl.Fields() {
			l.Columns, l.Rows[0].Cells = append(l.Columns, field.Name), append(l.Rows[0].Cells, "7")
		}
		if err := tpl.CheckFields(l.Columns); err != nil {
			t.Error(err)
		}
		if _, _, err := tpl.Fill(l, l.Rows[0]); err != nil && fault.CodeOf(err) == "" {
			t.Errorf("no fault of ours: %v", err)
		}
	})
}

// Without a list a field is what it says for an empty cell, in words its name where it
// says nothing.
func TestPlain(t *testing.T) {
	j, err := templateOf(t, `design: Crew {name} {{best}}
lettering: {text: "{name|Crew} {{1}}", height: 1 in}
stone: {size: "SS{size|6}", colour: {colour|crystal}}
`).Plain()
	if err != nil {
		t.Fatal(err)
	}
	if j.Design != "Crew name {best}" || j.Lettering[0].Text != "Crew {1}" || j.Stone.Size.Name != "SS6" || j.Stone.Colour.Name != "crystal" {
		t.Errorf("%q, %q, %s %s", j.Design, j.Lettering[0].Text, j.Stone.Size.Name, j.Stone.Colour.Name)
	}
	for words, want := range map[string]string{
		"{name|Mudlark}": "Mudlark", "{name}": "name", "{ first name } {number|7}": "first name 7",
		"{name|} 27": " 27", "{name|}": "name", "{{name}}": "{{name}}", "Herons {27": "Herons {27", "": "",
	} {
		if got := PlainWords(words); got != want {
			t.Errorf("%q is shown as %q, want %q", words, got, want)
		}
	}
	for text, part := range map[string]string{
		"artwork: a.svg\nwidth: 9 in\nstone: {size: {size}}\n":          "{size|…}",
		"artwork: a.svg\nwidth: 9 in\nstone: {size: \"{size|huge}\"}\n": "huge",
	} {
		if _, err := templateOf(t, text).Plain(); err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("%q: %v", text, err)
		}
	}
}
