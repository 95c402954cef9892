package job

import (
	"context"
	"slices"
	"strings"
	"testing"
)

// 32,767 steps of 0.025 mm are 819 mm (HP 7475A Interfacing and Programming
// Manual, 1984): a sheet cut from a roll can be longer, and its other cut files
// must be made all the same.
func TestALongSheetHasNoHPGL(t *testing.T) {
	for height, hpgl := range map[string]bool{"819 mm": true, "820 mm": false} {
		j, err := Parse("a.yaml", []byte("artwork: a.svg\nwidth: 30 mm\nsheet: {width: 12 in, height: "+height+"}\n"))
		if err != nil {
			t.Fatal(err)
		}
		j.Artwork = []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="30" height="30"><circle cx="15" cy="15" r="15"/></svg>`)
		res, err := Run(context.Background(), j, nil)
		if err != nil {
			t.Fatalf("%s: %v", height, err)
		}
		var names []string
		for _, f := range res.Files() {
			names = append(names, f.Name)
		}
		if !slices.Contains(names, "sheet-1.svg") || !slices.Contains(names, "sheet-1.dxf") || slices.Contains(names, "sheet-1.plt") != hpgl {
			t.Errorf("%s: %v", height, names)
		}
		said := false
		for _, n := range res.Notes {
			said = said || n.Code == "cut-left-out" && strings.Contains(n.Message, "use the SVG or DXF file")
		}
		if said == hpgl {
			t.Errorf("%s: notes %v", height, res.Notes)
		}
	}
}
