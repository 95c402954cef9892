package count

import (
	"bytes"
	"strings"
	"testing"

	"brushfall/internal/fault"
)

func TestReadGivesWhatWasWritten(t *testing.T) {
	lines := []Line{{Size: "SS16", Colour: "jet", Pieces: 10, Take: 11}, {Size: "SS10", Colour: "crystal", Pieces: 1200, Take: 1224}}
	var b bytes.Buffer
	if err := WriteCSV(&b, lines); err != nil {
		t.Fatal(err)
	}
	got, err := ReadCSV(&b)
	if err != nil || len(got) != 2 || got[0] != lines[0] || got[1] != lines[1] {
		t.Errorf("read %+v, %v", got, err)
	}
}

func TestReadRefuses(t *testing.T) {
	head := strings.Join(header, ",") + "\n"
	for _, c := range []struct{ text, where string }{
		{"", "line 1"},
		{"size,colour\n", "line 1"},
		{head + "SS10,jet,ten,11,1,1,0.1\n", "line 2"},
		{head + "SS10,jet,12,11,1,1,0.1\n", "line 2"},
		{head + "SS10,jet,-1,11,1,1,0.1\n", "line 2"},
		{head + "SS10,jet,1,2,1,1,0.1\nSS10,jet\n", "line 3"},
		{head + "SS10,\"jet,1,2,1,1,0.1\n", "line 2"},
	} {
		_, err := ReadCSV(strings.NewReader(c.text))
		if fault.CodeOf(err) != "counts-csv" || !strings.HasPrefix(err.Error(), c.where) {
			t.Errorf("%q: %v, want it at %s", c.text, err, c.where)
		}
	}
}

func FuzzReadCSV(f *testing.F) {
	f.Add([]byte(strings.Join(header, ",") + "\r\nSS10,jet,10,11,1,1,0.16\r\ntotal,,10,11,1,1,0.16\r\n"))
	f.Add([]byte("size"))
	f.Fuzz(func(t *testing.T, text []byte) {
		lines, err := ReadCSV(bytes.NewReader(text))
		if err != nil && fault.CodeOf(err) == "" {
			t.Fatalf("an error that is no fault: %v", err)
		}
		for _, l := range lines {
			if l.Take < l.Pieces || l.Pieces < 0 {
				t.Fatalf("%+v", l)
			}
		}
	})
}
