package design

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
)

// Bounds of a layout.json that is read. A hundred thousand stones on their
// plates take about 15 MB.
const (
	maxBytes  = 128 << 20
	maxStones = 1_000_000
)

// Read reads a layout.json whole. A field that this version does not know is
// refused, not passed over: writing the document again would lose it. One that
// is missing reads as nought, empty or false, but for a plate's frame and notch.
// Read checks the form, the version and that every number is within a kilometre;
// the rules of the trade are inspect's. Faults, code and place (line and column
// of the JSON where known): "layout-size", "layout-json", "layout-version",
// "layout-list", "layout-unit", "layout-number", "layout-stones", "layout-look". Errors
// of r are passed on.
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
	if err := checkLists(text); err != nil {
		return Document{}, err
	}
	var doc Document
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&doc); err != nil {
		return Document{}, jsonFault(text, err)
	}
	if err := check(doc); err != nil {
		return Document{}, err
	}
	return doc, nil
}

// checkVersion looks at the version alone, so that a layout of a later program
// is named as such whatever else is new in it. It also finds what is no JSON at
// all, and what follows the end of the layout.
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

// checkLists holds points, frames, notches and nicks to their two or four
// numbers: encoding/json would fill up a short list and cut a long one.
func checkLists(text []byte) error {
	var lists struct {
		Regions []struct {
			ID    string
			Rings [][][]float64
		}
		Plates []struct {
			Number       int
			Frame, Notch []float64
			Nicks        [][]float64
			Register     [][][]float64
			Letters      [][][]float64
		}
	}
	if err := json.Unmarshal(text, &lists); err != nil {
		return jsonFault(text, err)
	}
	for _, r := range lists.Regions {
		if err := checkPoints(fmt.Sprintf("region %q", r.ID), "ring", r.Rings); err != nil {
			return err
		}
	}
	for _, p := range lists.Plates {
		where := fmt.Sprintf("plate %d", p.Number)
		if len(p.Frame) != 4 {
			return listFault(where+", frame", len(p.Frame), "[x0,y0,x1,y1]")
		}
		if len(p.Notch) != 2 {
			return listFault(where+", notch", len(p.Notch), "[x,y]")
		}
		for i, n := range p.Nicks {
			if len(n) != 4 {
				return listFault(fmt.Sprintf("%s, nick %d", where, i+1), len(n), "[x0,y0,x1,y1]")
			}
		}
		if err := cmp.Or(checkPoints(where, "register mark", p.Register), checkPoints(where, "letter", p.Letters)); err != nil {
			return err
		}
	}
	return nil
}

// checkPoints holds the points of lines to two numbers.
func checkPoints(where, what string, lines [][][]float64) error {
	for _, line := range lines {
		for i, p := range line {
			if len(p) != 2 {
				return listFault(fmt.Sprintf("%s, point %d of a %s", where, i+1, what), len(p), "[x,y]")
			}
		}
	}
	return nil
}

func listFault(where string, length int, want string) error {
	return fault.New("layout-list", where, "a list of length %d stands here; give %s", length, want)
}

// check refuses what no stage could work with.
func check(d Document) error {
	if d.Unit != "mm" {
		return fault.New("layout-unit", "", "the layout's unit is %q; it must be \"mm\"", d.Unit)
	}
	for i, k := range d.Kinds {
		if !k.looks() {
			return fault.New("layout-look", fmt.Sprintf("kind %d", i+1), "%q and %q are no look of a stone; give shown such as #1f4e79 and finish such as clear, or neither", k.Shown, k.Finish)
		}
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

var hexForm = regexp.MustCompile(`^#[0-9a-f]{6}$`)

// looks says whether the kind's own look is whole, or not there.
func (k Kind) looks() bool {
	if k.Shown == "" {
		return k.Finish == ""
	}
	return hexForm.MatchString(k.Shown) && slices.Contains(catalogue.Finishes(), k.Finish)
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
	if wild(p.Frame[:]...) || wild(p.Notch[:]...) || wildRings(p.Register) || wildRings(p.Letters) {
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
		where, message = place(text, e.Offset), fmt.Sprintf("%s must be %s, not %s", cmp.Or(e.Field, "a layout"), typeWord(e.Type.Kind()), valueWord(e.Value))
	}
	return fault.New("layout-json", where, "%s; is this a layout.json, whole and unchanged?", message)
}

// typeWord names what a layout has in a place, in the words of JSON.
func typeWord(k reflect.Kind) string {
	switch k {
	case reflect.Bool:
		return "true or false"
	case reflect.Int:
		return "a whole number"
	case reflect.Float64:
		return "a number"
	case reflect.String:
		return "a text"
	case reflect.Slice, reflect.Array:
		return "a list"
	default:
		return "an object"
	}
}

// valueWord names what encoding/json met instead: "array", "number 1.5", "bool".
func valueWord(value string) string {
	switch value {
	case "array":
		return "a list"
	case "object":
		return "an object"
	case "string":
		return "a text"
	case "bool":
		return "true or false"
	default:
		return "the " + value
	}
}

// place gives "line 12, column 5" of a byte offset.
func place(text []byte, offset int64) string {
	before := text[:min(max(offset, 0), int64(len(text)))]
	line := bytes.Count(before, []byte("\n")) + 1
	column := len(before) - bytes.LastIndexByte(before, '\n')
	return fmt.Sprintf("line %d, column %d", line, column)
}
