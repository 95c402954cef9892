package job

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/fault"
)

// twoPlates is a bar in two colours of one size: two plates of about 100 × 40 mm.
const twoPlates = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 88 30"><rect id="a" width="40" height="30"/><rect id="b" x="48" width="40" height="30"/></svg>`

// laidOut makes a job of two plates with the given sheet.
func laidOut(t *testing.T, sheet string) (Draft, error) {
	t.Helper()
	j, err := Parse("bar.yaml", []byte("artwork: bar.svg\nwidth: 88 mm\nregions: [{match: {id: b}, stone: {colour: jet}}]\nsheet: "+sheet+"\n"))
	if err != nil {
		return Draft{}, err
	}
	j.Artwork = []byte(twoPlates)
	return Lay(context.Background(), j, nil, nil)
}

func placesNote(d Draft) string {
	for _, n := range d.Notes {
		if n.Code == "sheet-places" {
			return n.Message
		}
	}
	return ""
}

func TestPlatesLieWhereAPersonLaidThem(t *testing.T) {
	d, err := laidOut(t, "{places: [{plate: 2, right: 150 mm, down: 300 mm, turned: yes}, {plate: 1, right: 1 in, down: 6 mm}]}")
	if err != nil {
		t.Fatal(err)
	}
	if note := placesNote(d); note != "" {
		t.Fatal(note)
	}
	want := []design.Placed{{Design: "bar", Plate: 1, X: 25.4, Y: 6}, {Design: "bar", Plate: 2, X: 150, Y: 300, Turned: true}}
	if len(d.Document.Sheets) != 1 || !slices.Equal(d.Document.Sheets[0].Placed, want) {
		t.Errorf("sheets %+v, want %+v", d.Document.Sheets, want)
	}
	// The inspection shares no code with this: it finds nothing.
	if found := d.Inspect(); len(found) > 0 {
		t.Errorf("findings: %v", found)
	}
}

func TestPlacesOnSheetsOfTheirOwnAndOnARoll(t *testing.T) {
	d, err := laidOut(t, "{places: [{plate: 1, sheet: 2, right: 6 mm, down: 6 mm}, {plate: 2, right: 6 mm, down: 6 mm}]}")
	if err != nil || len(d.Document.Sheets) != 2 || d.Document.Sheets[0].Placed[0].Plate != 2 {
		t.Errorf("sheets %+v, %v", d.Document.Sheets, err)
	}
	d, err = laidOut(t, "{roll: 12 in, places: [{plate: 1, right: 6 mm, down: 6 mm}, {plate: 2, right: 6 mm, down: 100 mm}]}")
	if err != nil {
		t.Fatal(err)
	}
	frame := d.Document.Plates[0].Frame
	if got, want := d.Document.Sheets[0].Height, 100+frame[3]-frame[1]+6; got != want {
		t.Errorf("the piece is %g mm long, want %g: the last plate and the margin", got, want)
	}
}

// Places that cannot be are not used: the plates are placed anew, and a note says why.
func TestPlacesThatDoNotHold(t *testing.T) {
	for name, c := range map[string]struct{ sheet, says string }{
		"over the edge":   {"{places: [{plate: 1, right: 250 mm, down: 6 mm}, {plate: 2, right: 6 mm, down: 100 mm}]}", "reaches over the edge"},
		"in the margin":   {"{places: [{plate: 1, right: 3 mm, down: 6 mm}, {plate: 2, right: 6 mm, down: 100 mm}]}", "its margin"},
		"too near":        {"{places: [{plate: 1, right: 6 mm, down: 6 mm}, {plate: 2, right: 6 mm, down: 40 mm}]}", "nearer than 3 mm"},
		"a plate without": {"{places: [{plate: 1, right: 6 mm, down: 6 mm}]}", "plate 2 has no place"},
		"a place too many": {
			"{places: [{plate: 1, right: 6 mm, down: 6 mm}, {plate: 2, right: 6 mm, down: 100 mm}, {plate: 3, right: 6 mm, down: 200 mm}]}",
			"3 places for 2 plates",
		},
		"an empty sheet": {"{places: [{plate: 1, sheet: 3, right: 6 mm, down: 6 mm}, {plate: 2, right: 6 mm, down: 100 mm}]}", "sheet 2 is empty"},
		"a grain":        {"{turn: no, places: [{plate: 1, right: 6 mm, down: 6 mm, turned: yes}, {plate: 2, right: 6 mm, down: 200 mm}]}", "grain"},
	} {
		t.Run(name, func(t *testing.T) {
			d, err := laidOut(t, c.sheet)
			if err != nil {
				t.Fatal(err)
			}
			if note := placesNote(d); !strings.Contains(note, c.says) {
				t.Errorf("the note %q does not say %q", note, c.says)
			}
			if found := d.Inspect(); len(found) > 0 {
				t.Errorf("findings: %v", found)
			}
		})
	}
}

func TestPlacesAreRefused(t *testing.T) {
	many := strings.Repeat("{plate: 1}, ", mostPlaces+1)
	for _, places := range []string{"{plate: 1}", "[{sheet: 1}]", "[{plate: 1}, {plate: 1}]", "[{plate: 0}]", "[{plate: 1, right: 6}]", "[{plate: 1, left: 6 mm}]", "[" + many + "]"} {
		_, err := laidOut(t, fmt.Sprintf("{places: %s}", places))
		if fault.CodeOf(err) == "" {
			t.Errorf("%.40s was taken: %v", places, err)
		}
	}
}
