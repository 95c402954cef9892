package dxf_test

import (
	"slices"
	"strings"
	"testing"

	"brushfall/internal/cut/cuttest"
	"brushfall/internal/cut/dxf"
)

// Register marks and letters stand in the file, read and audited by ezdxf, each
// plate's on a layer of their own.
func TestMarksByEzdxf(t *testing.T) {
	doc := cuttest.Marked()
	planned := cuttest.Plan(t, doc)
	for k, f := range slices.Concat(read(t, dxf.R12, planned...), read(t, dxf.R2000, planned...)) {
		sheet := doc.Sheets[k%len(planned)]
		checkHead(t, f, sheet, dxf.Release(k/len(planned)))
		var got [][][2]float64
		for _, e := range f.Entities {
			if !strings.HasSuffix(e.Layer, "-MARKS") {
				continue
			}
			if want := len(e.Points) == 2; (e.Kind == "LINE") != want || e.Closed {
				t.Errorf("a mark is %s, closed %v", e.Kind, e.Closed)
			}
			var line [][2]float64
			for _, q := range e.Points {
				line = append(line, [2]float64{q[0], sheet.Height - q[1]})
			}
			got = append(got, line)
		}
		cuttest.CompareMarks(t, "dxf, ezdxf", cuttest.Marks(doc, sheet), got)
	}
}
