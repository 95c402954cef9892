// Package papertest has poppler read papers for tests: where the words of a page stand,
// and whether all are within its margins and none upon another.
package papertest

import (
	"cmp"
	"encoding/xml"
	"math"
	"os/exec"
	"slices"
	"testing"

	"brushfall/internal/outside"
)

// Margin is what papers leave free on the left and right, in mm.
const Margin = 14.0

// Word is a word as poppler finds it on a page, in points from the top left.
type Word struct {
	XMin float64 `xml:"xMin,attr"`
	YMin float64 `xml:"yMin,attr"`
	XMax float64 `xml:"xMax,attr"`
	YMax float64 `xml:"yMax,attr"`
	Text string  `xml:",chardata"`
}

// Page is a page with its words; its sides are points.
type Page struct {
	Width  float64 `xml:"width,attr"`
	Height float64 `xml:"height,attr"`
	Words  []Word  `xml:"word"`
}

// Pages has poppler read the PDF in a file.
func Pages(t *testing.T, path string) []Page {
	t.Helper()
	out, err := exec.Command(outside.Need(t, "pdftotext"), "-bbox", path, "-").CombinedOutput()
	if err != nil {
		t.Fatalf("pdftotext: %v\n%s", err, out)
	}
	var doc struct {
		Pages []Page `xml:"body>doc>page"`
	}
	if err := xml.Unmarshal(out, &doc); err != nil {
		t.Fatal(err)
	}
	return doc.Pages
}

// CheckWords fails the test for words outside the margins of a page and for words that
// are printed upon others.
func CheckWords(t *testing.T, name string, page Page) {
	t.Helper()
	const perMM, slack = 72 / 25.4, 0.6
	edge := Margin*perMM - slack
	slices.SortFunc(page.Words, func(a, b Word) int { return cmp.Compare(a.YMin, b.YMin) })
	for i, w := range page.Words {
		if w.XMin < edge || w.XMax > page.Width-edge || w.YMin < 8*perMM || w.YMax > page.Height-4*perMM {
			t.Errorf("%s: %q stands at %.0f to %.0f, %.0f to %.0f", name, w.Text, w.XMin, w.XMax, w.YMin, w.YMax)
		}
		for _, o := range page.Words[i+1:] {
			// boxes include the room of accents and tails: only deep overlap is overprinting
			across := math.Min(w.XMax, o.XMax) - math.Max(w.XMin, o.XMin)
			down := math.Min(w.YMax, o.YMax) - math.Max(w.YMin, o.YMin)
			if across > slack && down > 0.35*math.Min(w.YMax-w.YMin, o.YMax-o.YMin) {
				t.Errorf("%s: %q is printed upon %q", name, w.Text, o.Text)
			}
		}
	}
}
