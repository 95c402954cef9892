package pdf

import (
	"bytes"
	"fmt"
	"image"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/outside"
	"brushfall/internal/ticket"
	"brushfall/internal/ticket/papertest"
	"brushfall/internal/wording"
)

// saved puts a PDF where outside readers find it.
func saved(t *testing.T, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "ticket.pdf")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(outside.Need(t, name), args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, out)
	}
	return string(out)
}

func popplerPages(t *testing.T, path string) []papertest.Page { return papertest.Pages(t, path) }

// tickets are the papers that every check of the page runs on.
func tickets(t *testing.T) map[string][]byte {
	glass := badgeInput(t)
	glass.Press = ticket.Glass
	glass.Document.Design = strings.Repeat("Unbreakable", 7)
	undecided := badgeInput(t)
	undecided.Press = ticket.Any
	return map[string][]byte{
		"badge, A4":           printed(t, badgeInput(t), Options{}),
		"badge, Letter":       printed(t, badgeInput(t), Options{Paper: Letter}),
		"crowded, A4":         printed(t, crowdedInput(t), Options{}),
		"crowded, Letter":     printed(t, crowdedInput(t), Options{Paper: Letter}),
		"one long word":       printed(t, glass, Options{}),
		"undecided material":  printed(t, undecided, Options{Paper: Letter}),
		"every kind together": printed(t, manyKindsInput(t), Options{}),
	}
}

// qpdf must find no fault in the file; poppler must find every word inside the
// margins and no word upon another.
func TestNothingIsClippedOrOverprinted(t *testing.T) {
	for name, data := range tickets(t) {
		path := saved(t, data)
		if out := run(t, "qpdf", "--check", path); !strings.Contains(out, "No syntax or stream encoding errors") {
			t.Errorf("%s: qpdf says %s", name, out)
		}
		for n, page := range popplerPages(t, path) {
			if len(page.Words) < 5 {
				t.Errorf("%s: page %d has only %d words", name, n+1, len(page.Words))
			}
			papertest.CheckWords(t, fmt.Sprintf("%s, page %d", name, n+1), page)
		}
	}
}

// What a person at the bench needs must be in the text that poppler reads.
func TestTicketSaysItAll(t *testing.T) {
	in := badgeInput(t)
	text := strings.Join(strings.Fields(run(t, "pdftotext", "-layout", saved(t, printed(t, in, Options{})), "-")), " ")
	want := []string{
		"Heron badge", "228 × 228 mm", "8.98 × 8.98 in", ticket.Code(in.Document), "Job no.", "Customer", "Pressed by", "Date",
		"2 sheets, 304.8 × 508 mm", "240 × 280 mm", "SS10 3.3 mm, SS6 2.4 mm",
		"Plate 1", "Plate 2", "1 nick, flock sheet 1", "2 nicks, flock sheet 2", "Page 1 of 2", "Page 2 of 2",
		"160–165 °C (320–330 °F)", "overrules", "Hot platen", "Small parts", "REACH Annex XVII entry 63", "Check the rules where you sell", "Blades",
		ticket.Thousands(len(in.Document.Stones)),
	}
	for _, c := range in.Counts {
		want = append(want, fmt.Sprintf("%s %s", c.Size, c.Colour), fmt.Sprintf("%s %s %d %d %.1f", ticket.Thousands(c.Pieces), ticket.Thousands(c.Take), c.Gross, c.Packs, c.Grams))
	}
	for _, w := range want {
		if !strings.Contains(text, w) {
			t.Errorf("the ticket lacks %q", w)
		}
	}
}

// A two-plate job is one piece of paper, printed on both sides, in every language, with
// all that a job's ticket says.
func TestTwoPlatesTakeTwoPages(t *testing.T) {
	for _, l := range wording.Languages() {
		for _, paper := range []Paper{A4, Letter} {
			pages := popplerPages(t, saved(t, printed(t, timedInput(t, l), Options{Paper: paper})))
			if len(pages) != 2 {
				t.Errorf("%s, %s: %d pages", l, paper, len(pages))
			}
			for n, page := range pages {
				papertest.CheckWords(t, fmt.Sprintf("%s, %s, page %d", l, paper, n+1), page)
			}
		}
	}
}

// The pressing table and all cautions stand on one page: that page hangs at the press.
func TestCautionsStandWithThePressingTable(t *testing.T) {
	for name, data := range tickets(t) {
		for n, page := range popplerPages(t, saved(t, data)) {
			words := map[string]bool{}
			for _, w := range page.Words {
				words[w.Text] = true
			}
			if words["Pressing"] != words["REACH"] || words["Pressing"] != words["burns."] {
				t.Errorf("%s: page %d parts the pressing table from its cautions", name, n+1)
			}
		}
	}
}

// A4 is 210 × 297 mm (ISO 216), Letter 8.5 × 11 in.
func TestPaperSizes(t *testing.T) {
	for paper, want := range map[Paper][2]float64{A4: {595.28, 841.89}, Letter: {612, 792}} {
		page := popplerPages(t, saved(t, printed(t, badgeInput(t), Options{Paper: paper})))[0]
		if math.Abs(page.Width-want[0]) > 0.1 || math.Abs(page.Height-want[1]) > 0.1 {
			t.Errorf("%s is %.2f × %.2f pt", paper, page.Width, page.Height)
		}
	}
}

// poppler must see the picture and the plates: page 1 holds the navy of the
// garment and the slate of the flock over a good part of it.
func TestPictureAndPlatesShow(t *testing.T) {
	path := saved(t, printed(t, badgeInput(t), Options{}))
	out := run(t, "pdftoppm", "-r", "40", "-f", "1", "-l", "1", path)
	var w, h, depth int
	if _, err := fmt.Sscanf(out, "P6\n%d %d\n%d", &w, &h, &depth); err != nil {
		t.Fatal(err)
	}
	pix := []byte(out[len(out)-3*w*h:])
	navy, slate := 0, 0
	for i := 0; i < len(pix); i += 3 {
		switch r, g, b := int(pix[i]), int(pix[i+1]), int(pix[i+2]); {
		case r < 45 && g < 50 && b > 40 && b < 80:
			navy++
		case r > 45 && r < 65 && g > 50 && g < 75 && b > 60 && b < 90:
			slate++
		}
	}
	share := func(n int) float64 { return float64(n) / float64(w*h) }
	if share(navy) < 0.03 || share(slate) < 0.015 {
		t.Errorf("the picture's cloth covers %.3f of the page, the plates' flock %.3f", share(navy), share(slate))
	}
}

// A shrunk picture is the mean of its pixels, whatever kind of picture it is.
// A plate of a high number, or a slim one, has all its nicks on its thumbnail.
func TestNicksStayOnTheThumbnail(t *testing.T) {
	for _, c := range []struct {
		room float64
		n    int
		want float64
	}{{18.5, 0, markStep}, {18.5, 3, markStep}, {18.5, 20, 18.5 / 21}, {0.9, 2, 0.3}, {-1, 2, 0}} {
		if got := nickStep(c.room, c.n); got != c.want {
			t.Errorf("%d nicks in %g mm: a step of %g, want %g", c.n, c.room, got, c.want)
		}
	}
}

func TestShrinkKeepsTheMean(t *testing.T) {
	grid := image.NewGray(image.Rect(0, 0, 300, 100))
	for i := range grid.Pix {
		grid.Pix[i] = byte(200 * (i % 2))
	}
	small := shrink(grid, 150)
	if size := small.Bounds().Size(); size != image.Pt(150, 50) {
		t.Fatalf("shrunk to %v", size)
	}
	for _, at := range []image.Point{{0, 0}, {149, 49}, {70, 20}} {
		if r, g, b, a := small.At(at.X, at.Y).RGBA(); r>>8 != 100 || g != r || b != r || a>>8 != 255 {
			t.Errorf("pixel %v is %d %d %d %d", at, r>>8, g>>8, b>>8, a>>8)
		}
	}
	if shrink(grid, 300) != image.Image(grid) {
		t.Error("a picture that is small enough is changed")
	}
}

func TestSameTicketSameBytes(t *testing.T) {
	in := crowdedInput(t)
	first := printed(t, in, Options{})
	for range 3 {
		if !bytes.Equal(first, printed(t, in, Options{})) {
			t.Fatal("two runs differ")
		}
	}
	dated := printed(t, in, Options{Created: time.Date(2031, 5, 6, 7, 8, 9, 0, time.UTC)})
	if !bytes.Contains(dated, []byte("20310506070809")) {
		t.Error("the date that was given is not in the file")
	}
}

// A name in another script prints; what no face has shows that it is missing.
func TestForeignNamesPrint(t *testing.T) {
	in := badgeInput(t)
	in.Document.Design = "Čajka Ørn Şahin 鷺 🪶"
	text := run(t, "pdftotext", saved(t, printed(t, in, Options{})), "-")
	if !strings.Contains(text, "Čajka Ørn Şahin 鷺 ?") {
		t.Errorf("the name prints as %.60q", text)
	}
}

func TestFaults(t *testing.T) {
	tk, err := ticket.Build(badgeInput(t))
	if err != nil {
		t.Fatal(err)
	}
	if err := Write(io.Discard, tk, nil, Options{Paper: "foolscap"}); fault.CodeOf(err) != "ticket-paper" {
		t.Errorf("paper: %v", err)
	}
	if err := Write(io.Discard, tk, image.NewRGBA(image.Rectangle{}), Options{}); fault.CodeOf(err) != "ticket-picture" {
		t.Errorf("picture: %v", err)
	}
	var out bytes.Buffer
	if err := Write(&out, tk, nil, Options{}); err != nil || out.Len() == 0 {
		t.Errorf("without a picture: %v", err)
	}
}

func FuzzNames(f *testing.F) {
	for _, s := range []string{"Heron badge", "", "鷺", strings.Repeat("W", 300), "a\x00b\n\tc", "\xff\xfe", "({\\)}", "{pages}"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, name string) {
		name = name[:min(len(name), 2000)]
		tk := ticket.Ticket{Design: name, Code: "AAAA-AAAA", Steps: []ticket.Step{{Title: name, Text: name}}, Cautions: []ticket.Caution{{Title: name, Text: name}}}
		var out bytes.Buffer
		if err := Write(&out, tk, nil, Options{}); err != nil || !bytes.HasPrefix(out.Bytes(), []byte("%PDF-")) {
			t.Errorf("%q: %v", name, err)
		}
	})
}
