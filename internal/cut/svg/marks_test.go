package svg_test

import (
	"encoding/xml"
	"fmt"
	"strings"
	"testing"

	"brushfall/internal/cut/cuttest"
)

// Register marks and letters stand in the file, read by encoding/xml, after the
// holes and before the nicks; a mirrored file says that it is.
func TestMarksByXML(t *testing.T) {
	doc := cuttest.Marked()
	for i, s := range cuttest.Plan(t, doc) {
		text := write(t, s)
		var file struct {
			Desc   string `xml:"desc"`
			Groups []struct {
				Paths []struct {
					Class string `xml:"class,attr"`
					D     string `xml:"d,attr"`
				} `xml:"path"`
			} `xml:"g"`
		}
		if err := xml.Unmarshal([]byte(text), &file); err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(file.Desc, "Mirrored") {
			t.Errorf("the file says %q of being mirrored", file.Desc)
		}
		var got [][][2]float64
		for _, g := range file.Groups {
			order := ""
			for _, p := range g.Paths {
				if !strings.HasSuffix(order, p.Class+" ") {
					order += p.Class + " "
				}
				if p.Class != "mark" {
					continue
				}
				var line [][2]float64
				for _, part := range strings.Split(strings.TrimPrefix(p.D, "M"), "L") {
					var q [2]float64
					if _, err := fmt.Sscanf(part, "%g %g", &q[0], &q[1]); err != nil {
						t.Fatal(err)
					}
					line = append(line, q)
				}
				got = append(got, line)
			}
			if order != "mark nick frame " {
				t.Errorf("the paths go %s", order)
			}
		}
		cuttest.CompareMarks(t, "svg, xml", cuttest.Marks(doc, doc.Sheets[i]), got)
	}
}
