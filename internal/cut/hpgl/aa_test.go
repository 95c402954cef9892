package hpgl_test

import (
	"fmt"
	"testing"

	"brushfall/internal/cut/blade"
	"brushfall/internal/cut/cuttest"
	"brushfall/internal/cut/hpgl"
)

// Circles as AA, found again by the strict reader and by hp2xx.
func TestEveryHoleAsArcs(t *testing.T) {
	doc := cuttest.Badge()
	for i, s := range cuttest.Plan(t, doc) {
		opt := hpgl.Options{Arcs: true, Knife: blade.Knife{}}
		var lines [][][2]float64
		for _, stroke := range strokes(t, opt, s) {
			var line [][2]float64
			for _, p := range stroke {
				line = append(line, [2]float64{p[0] / 40, s.Height - p[1]/40})
			}
			lines = append(lines, line)
		}
		cuttest.Compare(t, fmt.Sprintf("hp-gl, AA, grammar: %s %d", doc.Design, i+1), cuttest.Expected(doc, doc.Sheets[i]), circles(t, lines))
		cuttest.Compare(t, fmt.Sprintf("hp-gl, AA, hp2xx: %s %d", doc.Design, i+1), cuttest.Expected(doc, doc.Sheets[i]), circles(t, convert(t, write(t, opt, s), doc.Sheets[i])))
	}
}
