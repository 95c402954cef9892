package job

import (
	"fmt"
	"math"
	"testing"

	"brushfall/internal/fault"
	"brushfall/internal/sheet"
	"brushfall/internal/unit"
)

func unitOf(mm float64) unit.Length { return unit.Length(mm) }

// An inch is 25.4 mm (international yard and pound agreement, 1959).
func TestAreasAndPieces(t *testing.T) {
	for text, want := range map[string]string{
		"8x11in":         "203.2 279.4",
		"8 in × 11 in":   "203.2 279.4",
		"203 x 279 mm":   "203 279",
		"8 1/2X11in":     "215.9 279.4",
		"20cmx11in":      "200 279.4",
		"12.5 x 20 inch": "317.5 508",
	} {
		w, h, err := ParseArea(text)
		if got := fmt.Sprintf("%.5g %.5g", w.MM(), h.MM()); err != nil || got != want {
			t.Errorf("%s: %s (%v), want %s", text, got, err, want)
		}
	}
	for text, code := range map[string]string{"8in": "area", "8x11": "length-unit", "x11in": "", "8x": "", "8x11in:two": "pieces", "8x11in:0": "pieces", "8x11in:9999": "pieces"} {
		if _, err := ParsePiece(text); err == nil || code != "" && fault.CodeOf(err) != code {
			t.Errorf("%s: %v, want %s", text, err, code)
		}
	}
	if p, err := ParsePiece("8x11in:2"); err != nil || len(p) != 2 || math.Abs(p[1].Height-279.4) > 1e-9 {
		t.Errorf("%v (%v)", p, err)
	}
}

func TestListsOfPieces(t *testing.T) {
	want := []sheet.Piece{{Width: 100, Height: 200}, {Width: 100, Height: 200}, {Width: 50.8, Height: 76.2}}
	for name, text := range map[string]string{
		"left.csv":  "width mm,height mm,number,of sheet\r\n100,200,2,1\r\n50.8,76.2,1,3\r\n",
		"left.yaml": "pieces:\n  - {width: 100 mm, height: 200 mm, number: 2}\n  - 2x3in\n",
	} {
		got, err := ParsePieces(name, []byte(text))
		if err != nil || fmt.Sprintf("%.3f", got) != fmt.Sprintf("%.3f", want) {
			t.Errorf("%s: %v (%v)", name, got, err)
		}
	}
	for name, text := range map[string]string{
		"a.csv":  "width,height\n1,2\n",
		"b.csv":  "width mm,height mm\n-1,2\n",
		"c.csv":  "width mm,height mm,number\n10,20,many\n",
		"d.yaml": "pieces:\n  - {width: 8 in}\n",
		"e.yaml": "peices: []\n",
		"f.yaml": "pieces: [{width: 8 in, height: 9 in, number: x}]\n",
	} {
		if got, err := ParsePieces(name, []byte(text)); err == nil {
			t.Errorf("%s is read as %v", name, got)
		} else if fault.CodeOf(err) == "" {
			t.Errorf("%s: %v is no fault of ours", name, err)
		}
	}
}

// FuzzParsePieces: no list of odd pieces stops the program, and what is read are
// real pieces.
func FuzzParsePieces(f *testing.F) {
	f.Add("a.csv", []byte("width mm,height mm,number\n100,200,2\n"))
	f.Add("a.yaml", []byte("pieces: [8x11in:2, {width: 1 in, height: 2 in}]"))
	f.Add("a.csv", []byte("\"\n"))
	f.Fuzz(func(t *testing.T, name string, text []byte) {
		pieces, err := ParsePieces(name, text)
		for _, p := range pieces {
			if err == nil && !(p.Width > 0 && p.Height > 0) {
				t.Fatalf("%+v", p)
			}
		}
	})
}
