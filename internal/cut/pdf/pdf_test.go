package pdf_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"brushfall/internal/cut"
	"brushfall/internal/cut/cuttest"
	"brushfall/internal/cut/pdf"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/outside"
)

const point = 25.4 / 72 // mm

// Every hole of the first page as poppler draws it, in order, each plate's frame
// after its holes.
func TestEveryHoleByPoppler(t *testing.T) {
	for _, doc := range []design.Document{cuttest.Badge(), cuttest.Many()} {
		for i, s := range cuttest.Plan(t, doc) {
			file := write(t, s)
			checkPages(t, file, doc.Sheets[i])
			var holes []cuttest.Hole
			var kinds strings.Builder
			for _, p := range paths(t, file, 1) {
				if p.curved {
					kinds.WriteByte('o')
					holes = append(holes, p.circle())
					continue
				}
				if p.length() > 0 {
					kinds.WriteByte('-')
					continue
				}
				kinds.WriteByte('?')
			}
			cuttest.Compare(t, fmt.Sprintf("pdf, pdftocairo: %s %d", doc.Design, i+1), cuttest.Expected(doc, doc.Sheets[i]), holes)
			cuttest.InOrder(t, s, holes)
			want := ""
			for _, p := range s.Plates {
				want += strings.Repeat("o", len(p.Holes)) + strings.Repeat("-", len(p.Nicks)) + "?"
			}
			if kinds.String() != want {
				t.Errorf("the page goes %s, want %s", kinds.String(), want)
			}
		}
	}
}

// The ruler of the second page is 100 mm long, along either side, or as long as
// a small sheet allows.
func TestRuler(t *testing.T) {
	for _, c := range []struct{ width, height, length float64 }{{304.8, 508, 100}, {508, 304.8, 100}, {60, 40, 50}, {20, 30, 20}} {
		longest := 0.0
		for _, p := range paths(t, write(t, cut.Sheet{Number: 1, Width: c.width, Height: c.height}), 2) {
			longest = math.Max(longest, p.length())
		}
		if math.Abs(longest-c.length) > 0.01 {
			t.Errorf("a sheet of %g × %g mm has a ruler of %.3f mm, want %g", c.width, c.height, longest, c.length)
		}
	}
}

func TestSameBytes(t *testing.T) {
	s := cuttest.Plan(t, cuttest.Badge())[0]
	if !bytes.Equal(write(t, s), write(t, s)) {
		t.Error("two files of one sheet differ")
	}
}

func TestRefuses(t *testing.T) {
	for _, s := range []cut.Sheet{{Width: 6000, Height: 10}, {Width: math.NaN(), Height: 5}, {}} {
		if err := pdf.Write(io.Discard, s); fault.CodeOf(err) != "cut-too-large" {
			t.Errorf("%g × %g mm gives %v", s.Width, s.Height, err)
		}
	}
	if err := pdf.Write(broken{}, cut.Sheet{Width: 100, Height: 100}); fault.CodeOf(err) != "cut-write" {
		t.Errorf("a writer that fails gives %v", err)
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errors.New("disk full") }

// checkPages reads the page sizes with poppler's pdfinfo, and has qpdf check the file.
func checkPages(t *testing.T, file []byte, s design.Sheet) {
	t.Helper()
	name := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(name, file, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(outside.Need(t, "qpdf"), "--check", name).CombinedOutput(); err != nil {
		t.Errorf("qpdf: %v: %s", err, out)
	}
	out, err := exec.Command(outside.Need(t, "pdfinfo"), "-box", "-l", "2", name).Output()
	if err != nil {
		t.Fatal(err)
	}
	boxes := regexp.MustCompile(`MediaBox:\s+(\S+)\s+(\S+)\s+(\S+)\s+(\S+)`).FindAllStringSubmatch(string(out), -1)
	if len(boxes) != 2 {
		t.Fatalf("%d media boxes, want 2:\n%s", len(boxes), out)
	}
	for _, b := range boxes {
		if width, height := number(t, b[3])*point, number(t, b[4])*point; math.Abs(width-s.Width) > 0.005 || math.Abs(height-s.Height) > 0.005 {
			t.Errorf("a page of %.3f × %.3f mm, the sheet is %g × %g", width, height, s.Width, s.Height)
		}
	}
}

// path is a drawn path in mm, y down: its points, and whether curves join them.
type path struct {
	at     [][2]float64
	curved bool
}

// length is that of a straight path of two points, else 0.
func (p path) length() float64 {
	if p.curved || len(p.at) != 2 {
		return 0
	}
	return math.Hypot(p.at[0][0]-p.at[1][0], p.at[0][1]-p.at[1][1])
}

// circle gives the circle whose equal parts the curves are: its centre is the
// middle of their ends.
func (p path) circle() cuttest.Hole {
	ends := p.at[1:]
	var h cuttest.Hole
	for _, e := range ends {
		h.X, h.Y = h.X+e[0]/float64(len(ends)), h.Y+e[1]/float64(len(ends))
	}
	for _, e := range ends {
		h.D += 2 * math.Hypot(e[0]-h.X, e[1]-h.Y) / float64(len(ends))
	}
	return h
}

var step = regexp.MustCompile(`([MLCZ])([^MLCZ]*)`)

// paths reads a page's paths from what pdftocairo makes of it in SVG.
func paths(t *testing.T, file []byte, page int) []path {
	t.Helper()
	cmd := exec.Command(outside.Need(t, "pdftocairo"), "-svg", "-noshrink", "-nocenter", "-f", fmt.Sprint(page), "-l", fmt.Sprint(page), "-", "-")
	cmd.Stdin = bytes.NewReader(file)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var all []path
	for d := xml.NewDecoder(bytes.NewReader(out)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok || e.Name.Local != "path" {
			continue
		}
		at := map[string]string{}
		for _, a := range e.Attr {
			at[a.Name.Local] = a.Value
		}
		if strings.Contains(at["style"], "fill:none") || at["fill"] == "none" {
			all = append(all, readPath(t, at["d"], at["transform"]))
		}
	}
}

func readPath(t *testing.T, d, transform string) path {
	t.Helper()
	m := [6]float64{1, 0, 0, 1, 0, 0}
	if inside, ok := strings.CutPrefix(transform, "matrix("); ok {
		for i, f := range strings.FieldsFunc(strings.TrimSuffix(inside, ")"), func(r rune) bool { return r == ',' || r == ' ' }) {
			m[i] = number(t, f)
		}
	}
	var p path
	for _, s := range step.FindAllStringSubmatch(d, -1) {
		fields := strings.Fields(s[2])
		if len(fields) < 2 {
			continue
		}
		p.curved = p.curved || s[1] == "C"
		x, y := number(t, fields[len(fields)-2]), number(t, fields[len(fields)-1])
		p.at = append(p.at, [2]float64{(m[0]*x + m[2]*y + m[4]) * point, (m[1]*x + m[3]*y + m[5]) * point})
	}
	return p
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func write(t *testing.T, s cut.Sheet) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := pdf.Write(&b, s); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
