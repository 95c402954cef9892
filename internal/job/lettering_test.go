package job

import (
	"context"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"brushfall/internal/artwork/lettering"
	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
)

func parsed(t *testing.T, text string) Job {
	t.Helper()
	j, err := Parse("crew.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func TestLetteringIsRead(t *testing.T) {
	j := parsed(t, `
artwork: heron.svg
width: 200 mm
lettering:
  - text: "Saltmarsh\nHerons"
    face: Pacifico
    height: 12%
    leading: 150%
    spacing: -0.5 mm
    slant: 10 deg
    arc: {side: below, bend: 90 deg}
    at: {side: above, of: artwork, gap: 4 mm, right: -2 mm}
  - {text: "27", id: number, width: 60 mm, outline: {width: 4 mm, gap: 0.5 mm}, align: left, clear: 2 mm, at: centre}
  - {text: SRC, monogram: yes, fit: {width: 80 mm, height: 1 in}}
  - {text: Row, circle: {radius: 50 mm, letters: inside}, height: 1 cm}
  - {text: Row, path: {id: river, from: 20%, turn: yes, lift: 10%}, height: 1 cm}
`)
	if len(j.Lettering) != 5 {
		t.Fatalf("%d pieces", len(j.Lettering))
	}
	a := lettering.DefaultPiece("Saltmarsh\nHerons")
	a.ID, a.Face, a.Height.Share, a.Leading, a.Spacing.MM, a.Slant = "text", "Pacifico", 0.12, 1.5, -0.5, math.Pi/18
	a.Curve.Arc, a.Curve.Bend = lettering.Below, math.Pi/2
	a.At = lettering.Place{Side: lettering.Above, Of: "artwork", Gap: lettering.Measure{MM: 4}, Right: -2}
	if j.Lettering[0] != a {
		t.Errorf("got  %+v\nwant %+v", j.Lettering[0], a)
	}
	b := j.Lettering[1]
	if b.ID != "number" || b.Outline != (lettering.Outline{Width: 4, Gap: 0.5}) || b.Width.MM != 60 || b.Clear != 2 || b.Align != lettering.Left || b.At.Side != lettering.Middle {
		t.Errorf("%+v", b)
	}
	if c := j.Lettering[2]; !c.Monogram || !c.Fit || c.Width.MM != 80 || c.Height.MM != 25.4 || c.ID != "text-3" {
		t.Errorf("%+v", c)
	}
	if d := j.Lettering[3].Curve; !d.Circle || d.Radius != 50 || !d.Sag {
		t.Errorf("%+v", d)
	}
	if e := j.Lettering[4].Curve; e.Path != "river" || e.From != 0.2 || !e.Turn || e.Lift.Share != 0.1 {
		t.Errorf("%+v", e)
	}
}

func TestLetteringIsRefused(t *testing.T) {
	for text, code := range map[string]string{
		"{text: H, hight: 2 in}":                               "job-key",
		"{height: 2 in}":                                       "lettering-empty",
		"{text: \" \", height: 2 in}":                          "lettering-empty",
		"{text: H, height: 2}":                                 "length-unit",
		"{text: H, height: 0%}":                                "lettering-size",
		"{text: H, height: 2 in, width: 4 in}":                 "lettering",
		"{text: H, height: 2 in, fit: {width: 4 in}}":          "lettering",
		"{text: H, height: 2 in, arc: sideways}":               "choice",
		"{text: H, height: 2 in, arc: {bend: 400 deg}}":        "lettering",
		"{text: H, height: 2 in, arc: above, circle: yes}":     "lettering",
		"{text: H, height: 2 in, at: behind}":                  "choice",
		"{text: H, height: 2 in, leading: 3}":                  "lettering",
		"{text: H, height: 2 in, path: {from: 10%}}":           "lettering",
		"{text: H, height: 2 in, outline: 0 mm}":               "lettering",
		"{text: H, height: 2 in, slant: 80 deg}":               "lettering",
		"{text: H, height: 2 in, slant: yes}":                  "lettering",
		"[]":                                                   "job-value",
		"[{text: H, height: 2 in, id: a}, {text: I, id: a}]":   "lettering",
		"{text: H, height: 2 in, arc: {bend: 9 deg, side: 1}}": "choice",
	} {
		_, err := Parse("crew.yaml", []byte("lettering: "+text+"\n"))
		if fault.CodeOf(err) != code || !strings.Contains(err.Error(), "crew.yaml:1:") {
			t.Errorf("%s: %v (%s), want %s", text, err, fault.CodeOf(err), code)
		}
	}
}

func TestTheFacesAJobWants(t *testing.T) {
	j := parsed(t, "lettering: [{text: A, height: 1 in}, {text: B, face: pacifico, height: 1 in}, {text: C, face: fonts/Crew.ttf, height: 1 in}, {text: D, face: Crew Sans, height: 1 in}, {text: E, face: fonts/Crew.ttf, height: 1 in}]")
	if got := j.FacesWanted(); !slices.Equal(got, []string{"fonts/Crew.ttf", "Crew Sans"}) {
		t.Errorf("%q", got)
	}
}

// Every shipped face gives a name that breaks no rule, with its letters for regions.
func TestANameInEveryFace(t *testing.T) {
	for _, f := range lettering.Shipped() {
		j := parsed(t, fmt.Sprintf("lettering: {text: Łukasz 27, face: %s, height: 22 mm}\nstone: {size: SS6}\neffort: live\n", f.Name()))
		d, err := Lay(context.Background(), j, nil, nil)
		if err != nil {
			t.Errorf("%s: %v", f.Name(), err)
			continue
		}
		if found := d.Inspect(); len(found) > 0 {
			t.Errorf("%s: %v", f.Name(), found)
		}
		if len(d.Document.Stones) < 60 || d.Document.Design != "Łukasz 27" || math.Abs(d.Letters[0].Capital-22) > 1e-9 {
			t.Errorf("%s: %d stones, %q, %+v", f.Name(), len(d.Document.Stones), d.Document.Design, d.Letters)
		}
	}
}

// A rule takes the outline of a number apart from its filling.
func TestRulesForParts(t *testing.T) {
	j := parsed(t, `
lettering: {text: "7", face: Alfa Slab One, height: 60 mm, outline: 5 mm, id: number}
stone: {size: SS6, colour: crystal}
effort: live
regions:
  - match: {id: number-outline}
    stone: {size: SS10, colour: light sapphire}
`)
	d, err := Lay(context.Background(), j, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	if found := d.Inspect(); len(found) > 0 {
		t.Error(found)
	}
	for _, s := range d.Document.Stones {
		if strings.HasPrefix(s.Region, "number-outline") != (s.Size == "SS10" && s.Colour == "light sapphire") {
			t.Errorf("a stone of %s is %s %s", s.Region, s.Size, s.Colour)
		}
	}
}

// An eye that looks shut is told with the height that opens it; set that high, nothing
// is told of it any more.
func TestAShutEyeIsToldAndOpens(t *testing.T) {
	opens := regexp.MustCompile(`an eye of "(.)" looks shut .* from about (\d+) mm`)
	for _, c := range []struct{ face, text string }{{"Lora Bold", "e"}, {"Lora Bold", "A"}, {"Alfa Slab One", "e"}, {"Archivo ExtraBold", "A"}, {"Archivo ExtraBold", "e"}} {
		notes := func(height float64) string {
			j := parsed(t, fmt.Sprintf("lettering: {text: %q, face: %s, height: %g mm}\nstone: {size: SS10}\neffort: live\n", c.text, c.face, height))
			d, err := Lay(context.Background(), j, nil, nil)
			if err != nil {
				t.Fatal(err)
			}
			for _, n := range d.Notes {
				if n.Code == "eye-shut" {
					return n.Message
				}
			}
			return ""
		}
		var told []string
		for h := 10.0; h <= 24 && told == nil; h += 2 { // at the least of these some have no stone near their eye
			told = opens.FindStringSubmatch(notes(h))
		}
		if told == nil || told[1] != c.text {
			t.Errorf("%s, %s: no shut eye is told", c.face, c.text)
			continue
		}
		height, err := strconv.ParseFloat(told[2], 64)
		if err != nil || height > 80 {
			t.Errorf("%s, %s opens from %s mm", c.face, c.text, told[2])
		}
		if still := notes(height); still != "" {
			t.Errorf("%s, %s set %g mm high: %s", c.face, c.text, height, still)
		}
	}
}

// The memory of a page knows one text from another.
func TestMemoryKnowsTheLettering(t *testing.T) {
	var m Memory
	stones := func(text string) int {
		d, err := Lay(context.Background(), parsed(t, "lettering: {text: "+text+", height: 20 mm}\neffort: live\n"), &m, nil)
		if err != nil {
			t.Fatal(err)
		}
		return len(d.Document.Stones)
	}
	if i, w := stones("I"), stones("WWW"); w < 3*i {
		t.Errorf("%d stones for I, %d for WWW", i, w)
	}
}

// Advice on lettering names the height of capitals at which it reads, which lies by
// the smallest width as the capitals lie by the width.
func TestAdviceOnLettering(t *testing.T) {
	size, err := catalogue.FindSize("SS6")
	if err != nil {
		t.Fatal(err)
	}
	j := parsed(t, "lettering: {text: HI, height: 30 mm}\n")
	r, _, err := Advise(context.Background(), j, []catalogue.Size{size}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Letters) != 1 || r.Letters[0].Text != "HI" || math.Abs(r.Letters[0].Capital-30) > 1e-9 {
		t.Fatalf("%+v", r.Letters)
	}
	got := r.Letters[0].Reads[0]
	if got.Size != "SS6" || got.Capital < 5 || got.Capital > 60 || math.Abs(got.Capital-30*r.Sizes[0].Smallest/r.Width) > 1e-9 {
		t.Errorf("%+v of %+v", got, r.Sizes[0])
	}
}
