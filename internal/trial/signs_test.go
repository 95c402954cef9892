package trial

import (
	"bytes"
	"strings"
	"testing"

	"brushfall/internal/advise"
	"brushfall/internal/artwork/lettering"
	"brushfall/internal/catalogue"
	"brushfall/internal/layout"
)

// Some characters of every face: no rule is broken and no room left, and what the
// advice says reads does; a spoilt one is told.
func TestSigns(t *testing.T) {
	signs, err := Signs(lettering.Shipped(), "gR&", []float64{20})
	if err != nil {
		t.Fatal(err)
	}
	if len(signs) != 7*2*3 {
		t.Fatalf("%d signs", len(signs))
	}
	if err := TrySigns(t.Context(), signs, layout.Live, true, nil); err != nil {
		t.Fatal(err)
	}
	read := 0
	for i := range signs {
		s := &signs[i]
		if m := s.Missed(); len(m) > 0 || len(s.Stones) == 0 {
			t.Errorf("%s, %d stones: %v", s.Name(), len(s.Stones), m)
		}
		if s.Advised == advise.Reads {
			read++
		}
		if lined := len(s.Area.Lines) > 0; lined != (s.Reads == nil) {
			t.Errorf("%s: M10 %v", s.Name(), s.Reads)
		}
	}
	if read < 10 || read == len(signs) {
		t.Errorf("%d read", read)
	}
	poor := 0.7
	signs[0].Reads, signs[0].Advised, signs[0].Broken, signs[0].Room = &poor, advise.Reads, 1, 2
	var out bytes.Buffer
	if err := PrintSigns(&out, signs); err != nil || !strings.Contains(out.String(), "Archivo ExtraBold g 20 mm SS6: M1 1 broken, M6 2, M10 0.700") || !strings.Contains(out.String(), "1 of 42 characters miss") {
		t.Errorf("%v in %s", err, out.String())
	}
}

func TestFaceSheet(t *testing.T) {
	size, err := catalogue.FindSize("SS10")
	if err != nil {
		t.Fatal(err)
	}
	sheet := FaceSheet{Text: "Eel\n&", Capital: 20, Size: size, Effort: layout.Live, Scale: 2}
	for _, name := range []string{"Lora Bold", "EMS Allure"} {
		s, err := sheet.Lay(t.Context(), lettering.FindShipped(name))
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := sheet.Write(&out, []FaceSample{s}); err != nil || strings.Count(out.String(), "<circle") != len(s.Stones) || len(s.Stones) < 20 || len(s.Drawing.Regions) != 4 {
			t.Errorf("%s: %v, %d stones, %d regions", name, err, len(s.Stones), len(s.Drawing.Regions))
		}
	}
}

// The names of a list are the same in every run, others with another seed, and none
// is empty.
func TestNames(t *testing.T) {
	a, b := Names(500, 1), Names(500, 1)
	other := Names(500, 2)
	distinct, same := map[string]bool{}, 0
	for i, name := range a {
		distinct[name] = true
		if name != b[i] || len(name) < 3 {
			t.Errorf("%q, %q", name, b[i])
		}
		if name == other[i] {
			same++
		}
	}
	if len(distinct) < 470 || len(distinct) == 500 || same > 20 {
		t.Errorf("%d distinct names, %d as with another seed", len(distinct), same)
	}
}
