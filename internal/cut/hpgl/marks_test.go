package hpgl_test

import (
	"slices"
	"testing"

	"brushfall/internal/cut/cuttest"
	"brushfall/internal/cut/hpgl"
)

// Register marks and letters stand in the file, read by the strict reader, after
// the holes of their plate and before its nicks and frame.
func TestMarksByGrammar(t *testing.T) {
	doc := cuttest.Marked()
	for i, s := range cuttest.Plan(t, doc) {
		want := cuttest.Marks(doc, doc.Sheets[i])
		var got [][][2]float64
		rest := strokes(t, hpgl.Options{}, s)
		for _, p := range s.Plates {
			rest = rest[len(p.Holes):]
			for _, stroke := range rest[:len(p.Marks)] {
				var line [][2]float64
				for _, q := range stroke {
					line = append(line, [2]float64{float64(q[0]) / 40, s.Height - float64(q[1])/40})
				}
				got = append(got, line)
			}
			rest = rest[len(p.Marks)+len(p.Nicks):]
			if frame := rest[0]; len(frame) != 8 || !slices.Equal(frame[:1], frame[7:]) {
				t.Errorf("after the marks comes %v, not a frame", frame)
			}
			rest = rest[1:]
		}
		cuttest.CompareMarks(t, "hp-gl, grammar", want, got)
	}
}
