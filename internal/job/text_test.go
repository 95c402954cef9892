package job

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"brushfall/internal/fault"
)

// unlined is a job without the lines of its file.
func unlined(j Job) Job {
	for i := range j.Regions {
		j.Regions[i].Line = 0
	}
	for i := range j.Hand {
		j.Hand[i].Line = 0
	}
	return j
}

// Every example says the same as JSON, and as the job file made of that.
func TestJobsStayTheSameAsJSON(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "..", "examples", "*", "*.yaml"))
	if err != nil || len(files) < 10 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		want, err := Parse(f, text)
		if err != nil {
			continue // the one for lists has fields
		}
		object, err := ToJSON(f, text)
		if err != nil {
			t.Fatal(err)
		}
		again, err := FromJSON(object)
		if err != nil {
			t.Fatal(f, err)
		}
		got, err := Parse(f, again)
		if err != nil {
			t.Fatalf("%v\n%s", err, again)
		}
		if !reflect.DeepEqual(unlined(got), unlined(want)) {
			t.Errorf("%s is another job as JSON:\n%s", f, again)
		}
		if twice, err := ToJSON(f, again); err != nil || !bytes.Equal(twice, object) {
			t.Errorf("%s: the JSON changes on the way: %v\n%s\n%s", f, err, object, twice)
		}
	}
}

func TestJSONOfWords(t *testing.T) {
	const object = `{"design":"Tom \"T\" \ud83d\ude00 # - : {x}","artwork":"a.svg","width":"9 in","mirror":true,"lettering":[{"text":"no","id":"null"},{"text":"12"}],"hand":[],"bed":{"style":"spokes","centre":[0.5,4e-1]}}`
	text, err := FromJSON([]byte(object))
	if err != nil {
		t.Fatal(err)
	}
	j, err := Parse("job", text)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if want := "Tom \"T\" \U0001F600 # - : {x}"; j.Design != want || !j.Mirror || j.Lettering[0].Text != "no" || j.Lettering[0].ID != "null" || j.Lettering[1].Text != "12" {
		t.Errorf("read as %q, %v, %+v", j.Design, j.Mirror, j.Lettering)
	}
}

func TestNoJSONObject(t *testing.T) {
	deep := bytes.Repeat([]byte("["), 100)
	for _, text := range []string{"", "[]", "7", "{", `{"a":1}{`, `{"a" 1}`, `{"a":}`, `{"a":[1,}`, `{"a":` + string(deep), "null"} {
		if _, err := FromJSON([]byte(text)); fault.CodeOf(err) != "job-json" {
			t.Errorf("%q gives %v", text, err)
		}
	}
}

func FuzzFromJSON(f *testing.F) {
	f.Add([]byte(`{"artwork":"a.svg","width":"9 in","hand":[{"remove":{"region":"eye","at":[0.1,0.2]}}]}`))
	f.Add([]byte(`{"a":[[1,"- x"],{"b":null}],"c":"\u0000"}`))
	f.Fuzz(func(t *testing.T, object []byte) {
		text, err := FromJSON(object)
		if err != nil {
			return
		}
		if !json.Valid(object) {
			t.Fatalf("%q is taken for JSON", object)
		}
		_, _ = Parse("job", text)
	})
}
