package dxfin_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"brushfall/internal/artwork/dxfin"
	"brushfall/internal/fault"
)

// FuzzRead feeds anything: a drawing that keeps its promises comes out, or an
// input fault with a code.
func FuzzRead(f *testing.F) {
	seeds, err := filepath.Glob("testdata/*.dxf")
	if err != nil || len(seeds) == 0 {
		f.Fatalf("no seeds: %v", err)
	}
	for _, name := range seeds {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
		f.Add(text[:len(text)/2])
	}
	f.Add([]byte(withBlocks([]string{block("a", insert("a", 0, 0))}, insert("a", 0, 0))))
	f.Add([]byte(drawing(groups(0, "SPLINE", 70, 1, 11, 0, 21, 0, 11, 5, 21, 5, 11, 9, 21, 0))))
	f.Add([]byte(drawing(groups(0, "LWPOLYLINE", 70, 1, 42, 1e300, 10, 0, 20, 0, 42, 1e-300, 10, 5, 20, 5, 42, -1))))
	f.Add([]byte(drawing(groups(0, "ELLIPSE", 10, 0, 20, 0, 11, 1e-9, 21, 1e6, 40, 1e9, 41, 5, 42, 5))))
	limits := dxfin.Limits{Bytes: 1 << 20, Entities: 2000, Points: 50_000, Depth: 8}
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := dxfin.Read(bytes.NewReader(data), dxfin.Options{Limits: limits})
		if err != nil {
			e, ok := errors.AsType[*fault.Error](err)
			if !ok || e.Kind != fault.Input || e.Code == "" {
				t.Fatalf("not a fault of the input: %v", err)
			}
			return
		}
		if len(d.Regions) == 0 {
			t.Fatal("a drawing without regions")
		}
		checkDrawing(t, "fuzz", d)
	})
}
