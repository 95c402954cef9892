package send

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/cut"
	"brushfall/internal/cut/cuttest"
	"brushfall/internal/cut/svg"
	"brushfall/internal/fault"
	"brushfall/internal/outside"
)

func TestPlatesAreFound(t *testing.T) {
	text := sheet(t)
	s := stream(t, text)
	if s.Plates() != 2 || !s.Marked() {
		t.Fatalf("%d plates, marked %v", s.Plates(), s.Marked())
	}
	if all, ends := s.From(0); !bytes.Equal(all, text) || len(ends) != 2 {
		t.Error("the parts are not the whole")
	}
	// Plate 1 has 29 holes, 1 nick and a frame, plate 2 27 holes, 2 nicks and a frame.
	rest, _ := s.From(1)
	if n := len(cuts(t, string(rest))); n != 30 {
		t.Errorf("plate 2 has %d strokes, want 30", n)
	}
}

// What is left after a plate is a file of its own: it begins with the settings,
// also those made on the way, and hp2xx, which is not ours, draws all of it.
func TestTheRestIsAWholeFile(t *testing.T) {
	const text = "IN;SP1;VS4;\n\nPU0,0;PD40,0;\n\nFS20;PR;PU0,40;PD40,0;PA;VS9;\n\nPU0,80;PD40,80;\n\nPU0,0;SP0;\n"
	s := stream(t, []byte(text))
	rest, _ := s.From(2)
	if want := "IN;SP1;VS4;\nFS20;\nPR;\nPA;\nVS9;\n\nPU0,80;PD40,80;\n\nPU0,0;SP0;\n"; string(rest) != want {
		t.Errorf("the rest is %q", rest)
	}
	all := stream(t, sheet(t))
	part, _ := all.From(1)
	file := filepath.Join(t.TempDir(), "rest.plt")
	if err := os.WriteFile(file, part, 0o600); err != nil {
		t.Fatal(err)
	}
	drawn := file + ".eps"
	cmd := exec.Command(outside.Need(t, "hp2xx"), "-t", "-q", "-m", "eps", "-f", drawn, file)
	if answer, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("hp2xx: %v\n%s", err, answer)
	}
	eps, err := os.ReadFile(drawn)
	if err != nil {
		t.Fatal(err)
	}
	segments := 0
	for _, c := range cuts(t, string(part)) {
		segments += strings.Count(c, " ")
	}
	if n := len(regexp.MustCompile(`[0-9] D\b`).FindAll(eps, -1)); n != segments {
		t.Errorf("hp2xx draws %d segments of %d", n, segments)
	}
}

func TestFilesWithoutMarksAreOnePlate(t *testing.T) {
	s := stream(t, []byte("IN;SP1;PU0,0;PD40,0;PU;\r\n"))
	if s.Plates() != 1 || s.Marked() {
		t.Errorf("%d plates, marked %v", s.Plates(), s.Marked())
	}
}

func TestWhatIsNoCutFileIsRefused(t *testing.T) {
	for _, c := range []struct{ text, code, where string }{
		{"", "send-empty", ""},
		{"  \n", "send-empty", ""},
		{"IN;PU0,0;PD40", "send-short", "line 1"},
		{"IN;\nPU0,0;\nPD40,0;\n", "send-short", ""},
		{"<svg xmlns=\"x\">;</svg>", "send-text", "line 1"},
		{"IN;\n\x1b.K;", "send-text", "line 2"},
		{"IN;PU0,0;\x00\x01;", "send-text", "line 1"},
	} {
		_, err := Read(strings.NewReader(c.text))
		if fault.CodeOf(err) != c.code || !strings.HasPrefix(err.Error(), c.where) {
			t.Errorf("%q: %v, want %s", c.text, err, c.code)
		}
	}
}

// Long lists of coordinates are cut between pairs only, and the pieces are the text.
func TestPieces(t *testing.T) {
	text := []byte("IN;PU0,0;PD1,2,3,4,5,6,7,8,9,10,11,12;PU;")
	var got []string
	for _, p := range pieces(text, 12) {
		got = append(got, string(p))
	}
	want := []string{"IN;PU0,0;", "PD1,2,3,4,5,6"[:9], ",5,6,7,8", ",9,10,11,12;", "PU;"}
	if strings.Join(got, "") != string(text) {
		t.Errorf("the pieces %q are not the text", got)
	}
	if !slices.Equal(got, want) {
		t.Errorf("pieces %q, want %q", got, want)
	}
}

func TestNamesOfASheet(t *testing.T) {
	doc := cuttest.Badge()
	doc.Sheets[0].Placed = append(doc.Sheets[0].Placed, doc.Sheets[0].Placed[0])
	sheets, err := cut.Plan(doc, cut.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := svg.Write(&b, sheets[0]); err != nil {
		t.Fatal(err)
	}
	names, err := Names(&b)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, n := range names {
		got = append(got, n.String())
	}
	if want := []string{"Heron <& badge>/1", "Heron <& badge>/2", "Heron <& badge>/1/2"}; !slices.Equal(got, want) {
		t.Errorf("names %q, want %q", got, want)
	}
	if _, err := Names(strings.NewReader("<svg><g data-plate=")); fault.CodeOf(err) != "send-names" {
		t.Errorf("a broken SVG: %v", err)
	}
}

func FuzzRead(f *testing.F) {
	f.Add(sheet(f))
	f.Add([]byte("IN;SP1;\n\nPU0,0;PD1,2,3,4;\n\nPU;"))
	f.Add([]byte("\n\n\n;"))
	f.Add([]byte("PR;PD1,,2;PU;\r\n\r\n\r\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := Read(bytes.NewReader(text))
		if err != nil {
			return
		}
		all, ends := s.From(0)
		if !bytes.Equal(all, text) || len(ends) != s.Plates() {
			t.Fatalf("the parts are not the whole")
		}
		for _, block := range []int{1, 7, 512} {
			if !bytes.Equal(bytes.Join(pieces(all, block), nil), text) {
				t.Fatalf("the pieces are not the whole")
			}
		}
		if rest, _ := s.From(s.Plates() - 1); len(rest) > 0 {
			if _, err := commands(rest); err != nil {
				t.Fatalf("the rest cannot be read: %v", err)
			}
		}
	})
}

func FuzzNames(f *testing.F) {
	f.Add(`<svg><g data-design="Heron" data-plate="2"/></svg>`)
	f.Add(`<svg><g data-plate="x"`)
	f.Fuzz(func(t *testing.T, text string) {
		names, err := Names(strings.NewReader(text))
		for _, n := range names {
			if err == nil && (n.Plate < 1 || n.Copy < 1) {
				t.Errorf("name %+v", n)
			}
		}
	})
}
