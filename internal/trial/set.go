// Package trial measures layouts on a standard set of shapes that were drawn by
// others, beside plain ways of setting stones, and draws them all on one sheet.
// It has no clock and no files of its own: both are arguments.
package trial

import (
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strings"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// Shape is one outline of the standard set, in mm, its box's corner at the
// origin. Source says whose drawing it is.
type Shape struct {
	Name   string
	Kind   string // "letter", "icon" or "drawn"
	Source string
	Area   geom.Shape
}

// Case is a shape to be set with stones of one size; lengths are mm.
type Case struct {
	Shape
	Size          string
	Diameter, Gap float64
}

// Name tells the case from all others: "arvo-g-60 SS6".
func (c Case) Name() string { return c.Shape.Name + " " + c.Size }

// Pitch gives the least distance between two centres.
func (c Case) Pitch() float64 { return c.Diameter + c.Gap }

// sizes are those that every shape is tried with.
func sizes() []string { return []string{"SS6", "SS10"} }

// chordError is how finely curves are flattened, in mm: a tenth of the least
// length that the inspection knows.
const chordError = 1e-3

// Standard gives the standard set. tree is the module's internal folder, which
// holds the fonts and the icons. The faults, code "trial-set", name the file
// that is missing or cannot be read.
func Standard(tree fs.FS) ([]Shape, error) {
	letters, err := letterShapes(tree)
	if err != nil {
		return nil, err
	}
	icons, err := iconShapes(tree)
	if err != nil {
		return nil, err
	}
	return slices.Concat(letters, icons, drawnShapes()), nil
}

// Cases pairs every shape with every size, in the order of the shapes.
func Cases(shapes []Shape) ([]Case, error) {
	var out []Case
	for _, s := range shapes {
		for _, name := range sizes() {
			size, err := catalogue.FindSize(name)
			if err != nil {
				return nil, err
			}
			out = append(out, Case{Shape: s, Size: size.Name, Diameter: size.Largest, Gap: size.Gap(catalogue.Web)})
		}
	}
	return out, nil
}

// quick names a few cases of every kind that take seconds.
func quick() []string {
	return []string{
		"archivo-black-R-60 SS10", "archivo-black-S-60 SS6", "lora-g-60 SS6", "lora-A-60 SS10",
		"dancing-script-g-120 SS6", "libre-baskerville-&-60 SS6", "arvo-B-60 SS6",
		"fluent-emoji-flat/owl SS10", "lucide-static/anchor SS6", "heart-40 SS6", "star5-60 SS6", "crescent-slim SS6",
	}
}

// Quick picks the cases of a short run.
func Quick(all []Case) []Case {
	return slices.DeleteFunc(slices.Clone(all), func(c Case) bool { return !slices.Contains(quick(), c.Name()) })
}

// Match picks the cases whose name holds the text, in any case of letters. The
// fault when there is none has the code "trial-shape".
func Match(all []Case, text string) ([]Case, error) {
	var out []Case
	for _, c := range all {
		if c.Name() == text {
			return []Case{c}, nil
		}
		if strings.Contains(strings.ToLower(c.Name()), strings.ToLower(text)) {
			out = append(out, c)
		}
	}
	if len(out) == 0 {
		return nil, fault.New("trial-shape", "", "no shape of the standard set is called %q; `go run ./cmd/trial list` gives their names", text)
	}
	return out, nil
}

// broken wraps what kept a part of the set from being read.
func broken(file string, why any) error {
	return fault.New("trial-set", file, "the standard set cannot be read: %s", fmt.Sprint(why))
}

// stand moves a shape to the origin and scales it by k.
func stand(s geom.Shape, k float64) geom.Shape {
	b := s.Bounds()
	return s.Transform(geom.Scale(k, k).Mul(geom.Translate(-b.MinX, -b.MinY)))
}

// longest gives the longer side of a shape's box.
func longest(s geom.Shape) float64 {
	b := s.Bounds()
	return math.Max(b.Width(), b.Height())
}
