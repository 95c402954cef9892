package lettering

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"brushfall/internal/outside"
)

// names are spellings that shaping goes wrong at: accents composed and apart,
// apostrophes, hyphens, kerned pairs, ligatures.
func names() []string {
	out := []string{
		"Łukasz", "Siân", "O'Neil", "O’Neil", "Jean-Luc", "Ñandú", "Ömür", "Nguyễn", "Nguye\u0302\u0303n",
		"Saltmarsh", "Herons", "AVATAR", "Tofu", "WAVE", "LTWAy", "fi fl ffi ffl", "office", "Affluent",
		"Ştefan", "Ğüneş", "Øyvind", "Åse", "Þór", "Žižka", "Řehoř", "Đức", "Phương", "Quyền", "27", "1/2", "10th",
		"& ! ? ' -", "Te", "Yo", "P.", "r,", "“Heron”", "co-op", "IJssel", "Straße", "Çelik", "Ægir", "œuvre",
	}
	// Words of no language, by a fixed rule: every pair of an initial, a middle and an end.
	for _, a := range []string{"Bra", "Fjö", "Wy", "Ty", "Va", "Qu", "Żu", "Ke"} {
		for _, b := range []string{"tt", "ff", "rv", "ly", "éa"} {
			for _, c := range []string{"ow", "ing", "ła", "y’s"} {
				out = append(out, a+b+c)
			}
		}
	}
	return out
}

// dejavu is a face with Arabic, of Debian's fonts-dejavu-core.
const dejavu = "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf"

// fontFiles gives eight font files, with the words that each is tried with.
func fontFiles(t *testing.T) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	for _, s := range shippedFiles() {
		if strings.HasSuffix(s[1], ".ttf") {
			out[filepath.Join("faces", s[1])] = names()
		}
	}
	trial := filepath.Join("..", "..", "trial", "testdata", "fonts")
	out[filepath.Join(trial, "arvo", "Arvo_700Bold.ttf")] = names()
	out[filepath.Join(trial, "libre-baskerville", "LibreBaskerville_400Regular_Italic.ttf")] = names()
	out[dejavu] = append(names(), "مريم", "محمد", "السلام", "لا", "شُكْرًا", "דָּוִד", "Мария", "Ελένη")
	return out
}

// HarfBuzz is what browsers and desktops shape text with: hb-shape of Debian's
// libharfbuzz-bin gives the same glyphs with the same advances and offsets.
func TestShapingAgreesWithHarfBuzz(t *testing.T) {
	hb := outside.Need(t, "hb-shape")
	compared := 0
	for file, words := range fontFiles(t) {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatalf("%v: `make test` installs the fonts of the tests", err)
		}
		f, err := ReadFace(file, data)
		if err != nil {
			t.Fatal(err)
		}
		list := filepath.Join(t.TempDir(), "words.txt")
		if err := os.WriteFile(list, []byte(strings.Join(words, "\n")+"\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command(hb, "--font-file="+file, "--text-file="+list, "--output-format=json", "--no-glyph-names", "--language=und")
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("hb-shape: %v", err)
		}
		lines := strings.Split(strings.TrimSpace(string(out)), "\n")
		if len(lines) != len(words) {
			t.Fatalf("hb-shape gave %d lines for %d words", len(lines), len(words))
		}
		for i, w := range words {
			compared++
			got, err := f.Shape([]rune(w), false)
			if err != nil {
				t.Fatal(err)
			}
			if want := theirs(t, lines[i]); asText(got) != want {
				t.Errorf("%s, %q:\nours   %s\ntheirs %s", filepath.Base(file), w, asText(got), want)
			}
		}
	}
	if compared < 8*200 {
		t.Errorf("only %d words were compared", compared)
	}
	t.Logf("%d words shaped alike", compared)
}

// theirs reads a line of hb-shape.
func theirs(t *testing.T, line string) string {
	t.Helper()
	var glyphs []struct {
		G  uint32
		Ax float64
		Dx float64
		Dy float64
	}
	if err := json.Unmarshal([]byte(line), &glyphs); err != nil {
		t.Fatalf("%v in %s", err, line)
	}
	var out []Glyph
	for _, g := range glyphs {
		out = append(out, Glyph{ID: g.G, Advance: g.Ax, X: g.Dx, Y: g.Dy})
	}
	return asText(out)
}

func asText(glyphs []Glyph) string {
	var out []string
	for _, g := range glyphs {
		out = append(out, fmt.Sprintf("%d+%.0f@%.0f,%.0f", g.ID, g.Advance, math.Round(g.X), math.Round(g.Y)))
	}
	return strings.Join(out, " ")
}

// A line of two directions is set in the order of UAX #9: Latin letters stay on the
// left of Hebrew ones that follow them, those read from the right.
func TestLinesOfTwoDirections(t *testing.T) {
	data, err := os.ReadFile(dejavu)
	if err != nil {
		t.Fatal(err)
	}
	f, err := ReadFace("DejaVu Sans", data)
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]string{
		"abc אבג": "abc גבא",
		"אבג abc": "abc גבא", // the paragraph runs from the right: abc comes last, on the left
		"אבג 12":  "12 גבא",
	} {
		glyphs, err := f.Shape([]rune(text), false)
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, g := range glyphs {
			got += string([]rune(text)[g.Cluster])
		}
		if got != want {
			t.Errorf("%q is set as %q, want %q", text, got, want)
		}
	}
}
