package fit

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"brushfall/internal/fault"
)

func entered(t *testing.T, fits ...Fit) Book {
	t.Helper()
	var b Book
	for _, f := range fits {
		var err error
		if b, err = b.With(f); err != nil {
			t.Fatal(err)
		}
	}
	return b
}

func TestFitsAreKeptBySizeFlockAndCutter(t *testing.T) {
	b := entered(t,
		Fit{"SS10", "black", "desk", 0.35}, Fit{"ss 6", "", "", 0.3},
		Fit{"SS10", "white", "desk", 0.45}, Fit{"SS10", "Black", "DESK", 0.36})
	for _, c := range []struct {
		size, flock, cutter string
		fit                 float64
	}{{"SS10", "", "", 0.36}, {"SS10", "white", "", 0.45}, {"SS6", "black", "desk", 0.3}} {
		if f, ok := b.Find(c.size, c.flock, c.cutter); !ok || f.Fit != c.fit {
			t.Errorf("%+v: found %+v, %v", c, f, ok)
		}
	}
	if _, ok := b.Find("SS10", "black", "other"); ok || len(b.Fits) != 3 || b.Flock != "black" {
		t.Errorf("%+v", b)
	}
	var first, second bytes.Buffer
	if err := b.Write(&first); err != nil {
		t.Fatal(err)
	}
	again, err := Read(bytes.NewReader(first.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	if err := again.Write(&second); err != nil || first.String() != second.String() || !reflect.DeepEqual(again.Sorted(), b.Sorted()) {
		t.Errorf("written %s\nagain %s", first.String(), second.String())
	}
}

func TestWrongBooks(t *testing.T) {
	const head = `{"version":1,"unit":"mm","flock":"a","cutter":"b","fits":[`
	one := `{"size":"SS10","flock":"a","cutter":"b","fit":0.3}`
	for text, code := range map[string]string{
		"":                                  "fit-file",
		"[]":                                "fit-file",
		head + one + "]} x":                 "fit-file",
		`{"version":2,"unit":"mm"}`:         "fit-file",
		`{"version":1,"unit":"in"}`:         "fit-file",
		`{"version":1,"unit":"mm","fit":3}`: "fit-file",
		head + one + "," + one + "]}":       "fit-twice",
		head + strings.Replace(one, "SS10", "SS11", 1) + "]}":    "size-unknown",
		head + strings.Replace(one, "0.3", "-0.1", 1) + "]}":     "fit-range",
		head + strings.Replace(one, `"a"`, `" "`, 1) + "]}":      "fit-name",
		head + strings.Replace(one, `"a"`, `"\u0007"`, 1) + "]}": "fit-name",
	} {
		if _, err := Read(strings.NewReader(text)); fault.CodeOf(err) != code {
			t.Errorf("%s: %v, want %s", text, err, code)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(`{"version":1,"unit":"mm","flock":"a","cutter":"b","fits":[{"size":"SS10","flock":"a","cutter":"b","fit":0.35}]}`)
	f.Add(`{"version":1,"unit":"mm","fits":[{}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		b, err := Read(strings.NewReader(text))
		if err != nil {
			return
		}
		var out bytes.Buffer
		if err := b.Write(&out); err != nil {
			t.Fatal(err)
		}
		again, err := Read(&out)
		if err != nil || !reflect.DeepEqual(again.Sorted(), b.Sorted()) {
			t.Fatalf("%+v was read again as %+v, %v", b, again, err)
		}
	})
}
