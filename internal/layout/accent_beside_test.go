package layout_test

import (
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/layout"
)

// A row that goes round a thin part comes back beside itself: its accents keep
// clear of each other there too.
func TestAccentsKeepClearOfTheirOwnRow(t *testing.T) {
	for _, name := range []string{"cross", "wedge", "weave", "crescent"} {
		for _, treatment := range [][]design.Treatment{nil, {design.Rim, design.Bed}} {
			req := layout.Request{Effort: layout.Live, Regions: []layout.Region{{
				ID: name, Shape: shapes()[name], Treatment: treatment, Size: "SS10", Diameter: 2.9, Gap: 0.9, Margin: 0.4,
				Accents: &layout.Accents{Extra: layout.Extra{Size: jewel.Size, Colour: jewel.Colour, Diameter: jewel.Diameter, Gap: jewelGap}, Every: 4, Corners: true},
			}}}
			res := run(t, req)
			res.Left = make([][]design.Left, 1)
			judgeEdited(t, name, req, res)
		}
	}
}
