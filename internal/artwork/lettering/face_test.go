package lettering

import (
	"encoding/json"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/go-text/typesetting/font"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
	"brushfall/internal/outside"
)

// everyday is what each shipped face must set: the letters, figures and signs of
// names in the languages of Latin letters, Vietnamese among them.
const everyday = "ABCDEFGHIJKLMNOPQRSTUVWXYZ abcdefghijklmnopqrstuvwxyz 0123456789 &!?'’.,-" +
	"ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏÑÒÓÔÕÖØÙÚÛÜÝàáâãäåæçèéêëìíîïñòóôõöøùúûüýÿ" +
	"ĄąĆćČčĎďĘęĚěĞğİıŁłŃńŇňŐőŘřŚśŠšŞşȘșȚțŤťŮůŰűŹźŻżŽžĐđĀāĒēĪīŌōŪūĶķĻļŅņ"

const vietnamese = "ễếềệậấầắằặẩẫổốồộỗơờớởợỡưừứửựữỳỵỷỹảẻỉỏủạẹịọụĂăĨĩŨũ"

func TestShippedFacesHaveTheLetters(t *testing.T) {
	for _, f := range Shipped() {
		want := everyday + vietnamese
		if f.Lined() {
			want = strings.NewReplacer("Æ", "", "æ", "").Replace(want)
		}
		if missing := f.Missing(want); len(missing) > 0 {
			t.Errorf("%s lacks %s", f.Name(), strings.Join(missing, " "))
		}
		if !(f.capital > 0.4 && f.capital < 1.2) {
			t.Errorf("%s has capitals of %g em", f.Name(), f.capital)
		}
	}
	if len(Shipped()) != 7 || FindShipped(" pacifico ") == nil || FindShipped("Pacific") != nil {
		t.Error("the shipped faces are not found by their names")
	}
}

// Each shipped font has the text of its licence beside it.
func TestShippedFacesHaveTheirLicences(t *testing.T) {
	for _, s := range shippedFiles() {
		name, _, _ := strings.Cut(s[1], "_")
		if strings.HasPrefix(name, "EMS") {
			name = "EMS"
		}
		text, err := fs.ReadFile(files, "faces/"+name+".OFL.txt")
		if err != nil || !strings.Contains(string(text), "SIL OPEN FONT LICENSE Version 1.1") {
			t.Errorf("%s: no licence: %v", s[1], err)
		}
	}
}

// fontTools, which the makers of fonts use, gives the same signed area of the
// contours of every letter (its AreaPen), within what flattening leaves.
func TestOutlinesAgreeWithFontTools(t *testing.T) {
	const script = `
import json, sys
from fontTools.ttLib import TTFont
from fontTools.pens.areaPen import AreaPen
font = TTFont(sys.argv[1]); glyphs = font.getGlyphSet(); out = {}
for ch in sys.argv[2]:
    pen = AreaPen(glyphs); glyphs[font.getBestCmap()[ord(ch)]].draw(pen)
    out[ch] = [pen.value / font["head"].unitsPerEm ** 2, font.getGlyphID(font.getBestCmap()[ord(ch)])]
print(json.dumps(out))`
	const some = "ABQRSaegß&8Ðłñễ"
	for _, s := range shippedFiles() {
		if !strings.HasSuffix(s[1], ".ttf") {
			continue
		}
		out, err := exec.Command(outside.Python(t), "-c", script, filepath.Join("faces", s[1]), some).Output()
		if err != nil {
			t.Fatalf("fontTools: %v", err)
		}
		var want map[string][2]float64
		if err := json.Unmarshal(out, &want); err != nil || len(want) != len([]rune(some)) {
			t.Fatalf("%v in %s", err, out)
		}
		face := font.NewFace(FindShipped(s[0]).font)
		for ch, w := range want {
			rings, err := outlineOf(face, font.GID(w[1]), 1e-5)
			if err != nil {
				t.Fatal(err)
			}
			area := 0.0
			for _, r := range rings {
				area += r.Area()
			}
			if math.Abs(area+w[0]) > 2e-4*math.Abs(w[0])+1e-6 && math.Abs(area-w[0]) > 2e-4*math.Abs(w[0])+1e-6 {
				t.Errorf("%s, %s: %.6f em², fontTools %.6f", s[0], ch, area, w[0])
			}
		}
	}
}

// A WOFF file as fontTools packs it is the same face as its TTF.
func TestWOFF(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lora.woff")
	const script = `
import sys
from fontTools.ttLib import TTFont
font = TTFont(sys.argv[1]); font.flavor = "woff"; font.save(sys.argv[2])`
	if out, err := exec.Command(outside.Python(t), "-c", script, "faces/Lora_700Bold.ttf", path).CombinedOutput(); err != nil {
		t.Fatalf("fontTools: %v\n%s", err, out)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	f, err := ReadFace("packed", data)
	if err != nil {
		t.Fatal(err)
	}
	got, err := f.lettersOf("Nguyễn & Łukasz", false, 1e-3, nil)
	if err != nil {
		t.Fatal(err)
	}
	want, err := FindShipped("Lora Bold").lettersOf("Nguyễn & Łukasz", false, 1e-3, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != len(want) {
		t.Fatalf("%d letters, want %d", len(got), len(want))
	}
	for i := range got {
		if got[i].from != want[i].from || (geom.Shape{Rings: got[i].rings}).Area() != (geom.Shape{Rings: want[i].rings}).Area() {
			t.Errorf("letter %q differs", want[i].text)
		}
	}
}

func TestBrokenFontsAreRefused(t *testing.T) {
	whole, err := os.ReadFile("faces/DancingScript_700Bold.ttf")
	if err != nil {
		t.Fatal(err)
	}
	woff := append([]byte("wOFF\x00\x01\x00\x00"), make([]byte, 60)...)
	woff[13] = 1 // one table
	copy(woff[44+12:], "\xff\xff\xff\xff")
	for name, data := range map[string][]byte{
		"nothing": nil, "prose": []byte("Dear Herons, here is our font"), "a picture": []byte("\x89PNG\r\n\x1a\n0000"),
		"half": whole[:len(whole)/2], "a head": whole[:300], "woff2": []byte("wOF2\x00\x01\x00\x00"), "bomb": woff,
	} {
		if _, err := ReadFace(name, data); fault.CodeOf(err) != "font-unreadable" {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := ReadFace("huge", make([]byte, mostFontBytes+1)); fault.CodeOf(err) != "font-size" {
		t.Errorf("too large: %v", err)
	}
}

func FuzzReadFace(f *testing.F) {
	whole, err := os.ReadFile("faces/AlfaSlabOne_400Regular.ttf")
	if err != nil {
		f.Fatal(err)
	}
	for _, n := range []int{0, 12, 100, 1000, 20_000, len(whole) - 1, len(whole)} {
		f.Add(whole[:n])
	}
	for _, at := range []int{5, 40, 300, 5000, 30_000, 70_000} { // bytes turned over
		bad := append([]byte(nil), whole...)
		for i := range 40 {
			bad[at+i] ^= 0xff
		}
		f.Add(bad)
	}
	f.Add([]byte("wOFF\x00\x01\x00\x00"))
	f.Fuzz(func(t *testing.T, data []byte) {
		face, err := ReadFace("fuzzed", data)
		if err != nil {
			if fault.CodeOf(err) == "" {
				t.Errorf("no fault: %v", err)
			}
			return
		}
		letters, err := face.lettersOf("Hg ễ2", false, 1e-3, nil)
		if err != nil && fault.CodeOf(err) == "" {
			t.Errorf("no fault: %v", err)
		}
		for _, l := range letters {
			for _, r := range l.rings {
				for _, p := range r {
					if math.IsNaN(p.X) || math.IsNaN(p.Y) {
						t.Errorf("a point of %q is no number", l.text)
					}
				}
			}
		}
	})
}

// A missing letter is named with its code point, and the faces that have it.
func TestAMissingLetterIsNamed(t *testing.T) {
	data, err := os.ReadFile(dejavu)
	if err != nil {
		t.Fatal(err)
	}
	arabic, err := ReadFace("DejaVu Sans", data)
	if err != nil {
		t.Fatal(err)
	}
	known := append(Shipped(), arabic)
	_, err = FindShipped("Lora Bold").lettersOf("李 مر", false, 1e-3, known)
	if fault.CodeOf(err) != "letter-missing" {
		t.Fatalf("%v", err)
	}
	for _, says := range []string{"Lora Bold", `"李" (U+674E); no face at hand has it`, `"م" (U+0645); it is in DejaVu Sans`, "U+0631"} {
		if !strings.Contains(err.Error(), says) {
			t.Errorf("%q does not say %q", err, says)
		}
	}
	if _, err := FindShipped("Lora Bold").lettersOf("a\tb", false, 1e-3, known); fault.CodeOf(err) != "letter-missing" {
		t.Errorf("a tab: %v", err)
	}
}
