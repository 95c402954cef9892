package design

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"brushfall/internal/fault"
)

var update = flag.Bool("update", false, "write the golden files anew")

// sample has no empty field, so that a field that is not written shows.
func sample() Document {
	return Document{
		Version: Version, Unit: "mm", Design: `Heron "badge" \ ü`, Width: 241.3, Height: 180.5, Web: 0.5, Border: 6,
		Kinds: []Kind{
			{"SS10", "crystal ab", 2.9, 2.7, 3.3, 1.2, "#dfe6f5", "ab"},
			{"SS6", "jet", 2.1, 1.9, 2.4, 0.95, "#17171b", "opaque"},
		},
		Regions: []Region{
			{"eye", [][][2]float64{{{0.5, 0}, {10, 0}, {10, 10.25}}, {{1, 1}, {2, 1}, {2, 2}}}, true, []Treatment{Rim, Bed}, Comb, 0.4, "SS10", "crystal ab", 0.9, 3.8, 0.1, []SizeGap{{"SS6", 0.8}}, []Left{{4.5, 3, "SS6"}}},
		},
		Stones: []Stone{
			{1.4567, 2, "SS10", "crystal ab", "eye", RoleRim, 1},
			{-5.25, 2.5, "SS6", "jet", "eye", RoleBed, 2},
		},
		Plates: []Plate{{
			1,
			[4]float64{-6, -7, 247.3, 187},
			[2]float64{120, -3.5},
			[][4]float64{{1, -7, 1, -5}},
			[][][2]float64{{{-4.5, -5.5}, {-2.25, -5.5}}, {{-3, -6.5}, {-3, -4}}},
			"HERON 1/2",
			[][][2]float64{{{100, 181}, {100, 185}, {102.5, 185}}},
			[]string{"SS10 crystal ab"},
			[]Hole{{1.4567, 2, 3.3}, {5, 6, 2.4}},
		}},
		Sheets:   []Sheet{{1, 304.8, 508, []Placed{{"Heron", 1, 6, 7, true}}}},
		Least:    &Least{2, "SS10 comes in two colours"},
		Mirrored: true,
	}
}

// needsEvery fails on an empty field anywhere in the value.
func needsEvery(t *testing.T, v reflect.Value, path string) {
	t.Helper()
	if v.IsZero() {
		t.Errorf("the sample leaves %s empty", path)
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			needsEvery(t, v.Field(i), path+"."+v.Type().Field(i).Name)
		}
	case reflect.Slice:
		if v.Len() > 0 {
			needsEvery(t, v.Index(0), path+"[0]")
		}
	}
}

func written(t testing.TB, doc Document) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, doc); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// encoding/json is the outside reader: it finds every field by the tags of the
// types, which Write does not use.
func TestWriteLosesNothing(t *testing.T) {
	want := sample()
	needsEvery(t, reflect.ValueOf(want), "Document")
	text := written(t, want)
	var got Document
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	again, err := Read(bytes.NewReader(text))
	if err != nil || !reflect.DeepEqual(again, want) {
		t.Errorf("Read gives %+v, %v", again, err)
	}
	if !bytes.Equal(written(t, again), text) {
		t.Error("what was read is not written the same again")
	}
}

func TestWriteGolden(t *testing.T) {
	path := filepath.Join("testdata", "layout.json")
	got := written(t, sample())
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func schema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	s, err := jsonschema.NewCompiler().Compile(filepath.Join("..", "..", "docs", "formats", "layout.schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func validate(t *testing.T, s *jsonschema.Schema, text []byte) error {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(v)
}

func TestWriteKeepsTheSchema(t *testing.T) {
	s := schema(t)
	empty := Document{Version: Version, Unit: "mm", Design: "d", Width: 1, Height: 1, Web: 1, Border: 1}
	for _, doc := range []Document{sample(), empty} {
		if err := validate(t, s, written(t, doc)); err != nil {
			t.Error(err)
		}
	}
}

// The schema and the types know the same fields: one more or one less in
// either is refused by the other.
func TestSchemaRefusesWhatReadRefuses(t *testing.T) {
	s := schema(t)
	text := string(written(t, sample()))
	for old, wrong := range map[string]string{
		`"role":"rim"`:    `"role":"rim","weight":1`,
		`"unit":"mm"`:     `"unit":"in"`,
		`"version":1`:     `"version":2`,
		`"plate":2`:       `"plate":"two"`,
		`"turned":true`:   `"turned":true,"by":90`,
		`"web":0.5`:       `"web":1e7`,
		`"x":5,"y":6`:     `"x":"5","y":6`,
		`"notch":[120,`:   `"notch":["120",`,
		`"width":241.3`:   `"widht":241.3`,
		`"design":"Heron`: `"design":7,"x":"Heron`,
		`[0.5,0]`:         `[0.5]`,
		`[10,10.25]`:      `[10,10.25,0]`,
		`[-6,-7,247.3,`:   `[-6,-7,`,
		`[120,-3.5]`:      `null`,
		`[[1,-7,1,-5]]`:   `[[1,-7,1,-5,9]]`,
		`[-4.5,-5.5]`:     `[-4.5]`,
		`[100,181]`:       `[100,181,0]`,
		`"mirrored":true`: `"mirrored":"yes"`,
		`"why":"SS10`:     `"how":"SS10`,
	} {
		broken := strings.Replace(text, old, wrong, 1)
		if broken == text {
			t.Fatalf("the sample has no %s", old)
		}
		if validate(t, s, []byte(broken)) == nil {
			t.Errorf("the schema takes %s", wrong)
		}
		if _, err := Read(strings.NewReader(broken)); err == nil {
			t.Errorf("Read takes %s", wrong)
		}
	}
}

func TestWriteRoundsAndCounts(t *testing.T) {
	doc := sample()
	doc.Stones = []Stone{{X: 1.23456789, Y: -0.00001}, {X: 0.1 + 0.2, Y: 1e-9}}
	text := string(written(t, doc))
	for _, want := range []string{`{"x":1.234568,"y":-0.00001,`, `{"x":0.3,"y":0,`} {
		if !strings.Contains(text, want) {
			t.Errorf("no %s in\n%s", want, text)
		}
	}
	if !strings.HasSuffix(text, "}\n") {
		t.Error("no newline at the end")
	}
	if n := strings.Count(text, "\n {\"x\":"); n != len(doc.Stones) {
		t.Errorf("%d lines of stones, want %d", n, len(doc.Stones))
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no room left") }

func TestWriteFaults(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), 2e6} {
		doc := sample()
		doc.Stones[0].X = v
		if err := Write(&bytes.Buffer{}, doc); fault.CodeOf(err) != "layout-number" {
			t.Errorf("%v gave %v", v, err)
		}
	}
	if err := Write(full{}, sample()); err == nil || err.Error() != "no room left" {
		t.Errorf("a full disk gave %v", err)
	}
}

func TestReadFaults(t *testing.T) {
	text := string(written(t, sample()))
	cases := []struct{ name, text, code, says string }{
		{"empty", "", "layout-json", "line 1, column 1: the file is not JSON: unexpected end"},
		{"cut off", text[:len(text)/2], "layout-json", "unexpected end of JSON input"},
		{"not JSON", "<svg/>", "layout-json", "line 1, column 2: the file is not JSON"},
		{"two documents", text + "{}", "layout-json", "not JSON"},
		{"a list", "[]", "layout-json", "line 1, column 2: a layout must be an object, not a list; is this a layout.json"},
		{"half a version", `{"version":1.5}`, "layout-json", "version must be a whole number, not the number 1.5"},
		{"stones as an object", `{"version":1,"unit":"mm","stones":{}}`, "layout-json", "stones must be a list, not an object"},
		{"no version", "{}", "layout-version", "says no version"},
		{"later version", `{"version":2,"new":[]}`, "layout-version", "the layout has version 2; this program reads version 1"},
		{"inches", strings.Replace(text, `"mm"`, `"in"`, 1), "layout-unit", `"mm"`},
		{"unknown field", strings.Replace(text, `"role"`, `"roll"`, 1), "layout-json", `unknown field "roll"`},
		{"text for number", strings.Replace(text, `"x":1.4567`, `"x":"left"`, 1), "layout-json", "stones.x must be a number, not a text"},
		{"wild stone", strings.Replace(text, `"x":-5.25`, `"x":1e9`, 1), "layout-number", "stone 2: a number is beyond"},
		{"wild hole", strings.Replace(text, `"d":2.4`, `"d":1e9`, 1), "layout-number", "plate 1"},
		{"wild gap of a size", strings.Replace(text, `"SS6","gap":0.8`, `"SS6","gap":1e9`, 1), "layout-number", `region "eye"`},
		{"wild place left free", strings.Replace(text, `"x":4.5,`, `"x":1e9,`, 1), "layout-number", `region "eye"`},
		{"wild ring", strings.Replace(text, `10.25`, `1e9`, 1), "layout-number", `region "eye"`},
		{"wild nick", strings.Replace(text, `[[1,-7`, `[[1e9,-7`, 1), "layout-number", "plate 1"},
		{"wild place", strings.Replace(text, `"x":6,"y":7`, `"x":6,"y":-1e9`, 1), "layout-number", "sheet 1"},
		{"wild kind", strings.Replace(text, `"hole":2.4`, `"hole":1e9`, 1), "layout-number", "kind 2"},
		{"short point", strings.Replace(text, `[10,0]`, `[10]`, 1), "layout-list", `region "eye", point 2 of a ring: a list of length 1 stands here; give [x,y]`},
		{"long frame", strings.Replace(text, `247.3,187]`, `247.3,187,0]`, 1), "layout-list", "plate 1, frame: a list of length 5 stands here; give [x0,y0,x1,y1]"},
		{"no notch", strings.Replace(text, `"notch":[120,-3.5],`, ``, 1), "layout-list", "plate 1, notch: a list of length 0 stands here"},
		{"short nick", strings.Replace(text, `[[1,-7,1,-5]]`, `[[1,-7,1]]`, 1), "layout-list", "plate 1, nick 1: a list of length 3 stands here"},
		{"short register mark", strings.Replace(text, `[-4.5,-5.5]`, `[-4.5]`, 1), "layout-list", "plate 1, point 1 of a register mark: a list of length 1 stands here; give [x,y]"},
		{"long letter", strings.Replace(text, `[100,185]`, `[100,185,1]`, 1), "layout-list", "plate 1, point 2 of a letter"},
		{"wild letter", strings.Replace(text, `[100,185]`, `[100,1e9]`, 1), "layout-number", "plate 1"},
		{"wild head", strings.Replace(text, `"border":6`, `"border":1e9`, 1), "layout-number", "head"},
	}
	for _, c := range cases {
		doc, err := Read(strings.NewReader(c.text))
		if err == nil || fault.CodeOf(err) != c.code || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: [%s] %v; want [%s] …%s… (%v)", c.name, fault.CodeOf(err), err, c.code, c.says, doc.Design)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(written(f, sample()))
	f.Add([]byte(`{"version":1,"unit":"mm"}`))
	f.Add([]byte(`{"version":1,"unit":"mm","stones":[{"x":1e400}]}`))
	f.Add([]byte(`[[[[`))
	f.Fuzz(func(t *testing.T, text []byte) {
		doc, err := Read(bytes.NewReader(text))
		if err != nil {
			if fault.CodeOf(err) == "" {
				t.Fatalf("a fault without a code: %v", err)
			}
			return
		}
		first := written(t, doc)
		again, err := Read(bytes.NewReader(first))
		if err != nil {
			t.Fatalf("what was written does not read: %v", err)
		}
		if !bytes.Equal(written(t, again), first) {
			t.Fatal("writing is not stable")
		}
	})
}

func BenchmarkWrite100k(b *testing.B) {
	doc := sample()
	for i := range 100_000 {
		doc.Stones = append(doc.Stones, Stone{float64(i) * 0.377, float64(i) * 0.731, "SS10", "crystal ab", "eye", RoleBed, 1})
	}
	for b.Loop() {
		written(b, doc)
	}
}
