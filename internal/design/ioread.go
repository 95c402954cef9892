package design

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"brushfall/internal/fault"
)

// Bounds of a layout.json that is read. A hundred thousand stones on their
// plates take about 15 MB.
const (
	maxBytes  = 128 << 20
	maxStones = 1_000_000
)

// Read reads a layout.json whole. A field that this version does not know is
// refused, not passed over: writing the document again would lose it. Read
// checks the form, the version and that every number is within a kilometre; the
// rules of the trade are inspect's. Faults, code and place (line and column of
// the JSON where known): "layout-size", "layout-json", "layout-version",
// "layout-unit", "layout-number", "layout-stones". Errors of r are passed on.
func Read(r io.Reader) (Document, error) {
	text, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return Document{}, fmt.Errorf("read a layout: %w", err)
	}
	if len(text) > maxBytes {
		return Document{}, fault.New("layout-size", "", "the layout has more than %d MB; it is not one of ours", maxBytes>>20)
	}
	if err := checkVersion(text); err != nil {
		return Document{}, err
	}
	var doc Document
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&doc); err != nil {
		return Document{}, jsonFault(text, err)
	}
	if rest := bytes.TrimSpace(text[d.InputOffset():]); len(rest) > 0 {
		return Document{}, fault.New("layout-json", place(text, d.InputOffset()), "the file goes on after the end of the layout")
	}
	return doc, check(doc)
}

// checkVersion looks at the version alone, so that a layout of a later program
// is named as such whatever else is new in it.
func checkVersion(text []byte) error {
	var head struct {
		Version *int `json:"version"`
	}
	if err := json.Unmarshal(text, &head); err != nil {
		return jsonFault(text, err)
	}
	switch {
	case head.Version == nil:
		return fault.New("layout-version", "", "the file says no version; it is not a layout.json of this program")
	case *head.Version != Version:
		return fault.New("layout-version", "", "the layout has version %d; this program reads version %d: make the design again, or use the program that made it", *head.Version, Version)
	}
	return nil
}

// check refuses what no stage could work with.
func check(d Document) error {
	if d.Unit != "mm" {
		return fault.New("layout-unit", "", "the layout's unit is %q; it must be \"mm\"", d.Unit)
	}
	holes := 0
	for _, p := range d.Plates {
		holes += len(p.Holes)
	}
	if len(d.Stones) > maxStones || holes > maxStones {
		return fault.New("layout-stones", "", "the layout has %d stones and %d holes; at most %d are read", len(d.Stones), holes, maxStones)
	}
	if where := wildNumber(d); where != "" {
		return fault.New("layout-number", where, "a number is beyond %v mm; no design is that large", float64(limit))
	}
	return nil
}

// wildNumber names the first part of the document that holds a number beyond
// the limit, "" if none does.
func wildNumber(d Document) string {
	if wild(d.Width, d.Height, d.Web, d.Border) {
		return "the design's head"
	}
	for i, k := range d.Kinds {
		if wild(k.Diameter, k.Smallest, k.Hole, k.Height) {
			return fmt.Sprintf("kind %d", i+1)
		}
	}
	for _, r := range d.Regions {
		if wild(r.Density, r.Gap, r.Pitch, r.Margin) || wildRings(r.Rings) || wildSizes(r.Sizes) || wildLeft(r.Left) {
			return fmt.Sprintf("region %q", r.ID)
		}
	}
	for i, s := range d.Stones {
		if wild(s.X, s.Y) {
			return fmt.Sprintf("stone %d", i+1)
		}
	}
	for _, p := range d.Plates {
		if wildPlate(p) {
			return fmt.Sprintf("plate %d", p.Number)
		}
	}
	for _, s := range d.Sheets {
		if wild(s.Width, s.Height) || wildPlaced(s.Placed) {
			return fmt.Sprintf("sheet %d", s.Number)
		}
	}
	return ""
}

func wild(values ...float64) bool {
	for _, v := range values {
		if math.Abs(v) > limit {
			return true
		}
	}
	return false
}

func wildRings(rings [][][2]float64) bool {
	for _, ring := range rings {
		for _, p := range ring {
			if wild(p[:]...) {
				return true
			}
		}
	}
	return false
}

func wildSizes(sizes []SizeGap) bool {
	for _, s := range sizes {
		if wild(s.Gap) {
			return true
		}
	}
	return false
}

func wildLeft(left []Left) bool {
	for _, l := range left {
		if wild(l.X, l.Y) {
			return true
		}
	}
	return false
}

func wildPlate(p Plate) bool {
	if wild(p.Frame[:]...) || wild(p.Notch[:]...) {
		return true
	}
	for _, n := range p.Nicks {
		if wild(n[:]...) {
			return true
		}
	}
	for _, h := range p.Holes {
		if wild(h.X, h.Y, h.D) {
			return true
		}
	}
	return false
}

func wildPlaced(placed []Placed) bool {
	for _, p := range placed {
		if wild(p.X, p.Y) {
			return true
		}
	}
	return false
}

// jsonFault puts a JSON error into words, with its line where it has one.
func jsonFault(text []byte, err error) error {
	where, message := "", strings.TrimPrefix(err.Error(), "json: ")
	if e, ok := errors.AsType[*json.SyntaxError](err); ok {
		where, message = place(text, e.Offset), "the file is not JSON: "+e.Error()
	} else if e, ok := errors.AsType[*json.UnmarshalTypeError](err); ok {
		where, message = place(text, e.Offset), fmt.Sprintf("%s holds a %s, where a layout has %s", e.Field, e.Value, e.Type)
	} else if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
		where, message = place(text, int64(len(text))), "the file ends too soon"
	}
	return fault.New("layout-json", where, "%s; is this a layout.json, whole and unchanged?", message)
}

// place gives "line 12, column 5" of a byte offset.
func place(text []byte, offset int64) string {
	before := text[:min(max(offset, 0), int64(len(text)))]
	line := bytes.Count(before, []byte("\n")) + 1
	column := len(before) - bytes.LastIndexByte(before, '\n')
	return fmt.Sprintf("line %d, column %d", line, column)
}
