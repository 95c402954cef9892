package dxfin

import (
	"strconv"
	"strings"

	"brushfall/internal/fault"
)

// unitLengths are the lengths in mm of the values of $INSUNITS (DXF Reference
// 2018, header variables) that a drawing for stones can be in.
var unitLengths = map[int]float64{
	1: 25.4, 2: 304.8, 4: 1, 5: 10, 6: 1000, 8: 25.4e-6, 9: 0.0254, 10: 914.4, 13: 0.001, 14: 100,
	21: 1200.0 / 3937 * 1000, 22: 100.0 / 3937 * 1000, 23: 3600.0 / 3937 * 1000,
}

// unit gives the length of a drawing unit in mm: the one stated, or the file's,
// or 1 with a warning.
func (d *document) unit(stated float64, notes *notes) (float64, error) {
	if stated > 0 {
		return stated, nil
	}
	t, given := d.header["$INSUNITS"]
	if !given {
		notes.add("dxf-unitless", "", d.unitlessMessage())
		return 1, nil
	}
	n, err := strconv.Atoi(strings.TrimSpace(t.value))
	if err != nil {
		return 0, fault.New("dxf-value", "", "$INSUNITS is %q, not a whole number: the file is damaged, export it again", shorten(t.value))
	}
	if n == 0 {
		notes.add("dxf-unitless", "", d.unitlessMessage())
		return 1, nil
	}
	if mm, known := unitLengths[n]; known {
		return mm, nil
	}
	return 0, fault.New("dxf-units", "", "the drawing's unit ($INSUNITS %d) is none that stones are laid in: set millimetres or inches in the drawing program", n)
}

func (d *document) unitlessMessage() string {
	const message = "the drawing does not say its unit ($INSUNITS), so it is read in millimetres: set the unit in the drawing program, or state the width of the design"
	// $MEASUREMENT is 0 for English, 1 for metric.
	if t, given := d.header["$MEASUREMENT"]; given && strings.TrimSpace(t.value) == "0" {
		return message + "; its $MEASUREMENT says that it may be in inches"
	}
	return message
}
