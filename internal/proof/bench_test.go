package proof

import (
	"io"
	"testing"
)

// BenchmarkRender draws about 10,000 stones at the default size.
func BenchmarkRender(b *testing.B) {
	doc := badge(150, kind("SS10", "light sapphire"), kind("SS6", "crystal ab"))
	b.ReportMetric(float64(len(doc.Stones)), "stones")
	b.ReportAllocs()
	for b.Loop() {
		if err := Render(io.Discard, doc, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
