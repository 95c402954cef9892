package job

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/layout"
)

func TestBedsAreRead(t *testing.T) {
	for text, want := range map[string]styled{
		"Courses":           {style: design.Courses},
		"scatter":           {design.Scatter, BedWish{BedSettings: layout.BedSettings{Seed: 1}}},
		"{style: spokes}":   {style: design.Spokes},
		"\n  style: echo\n": {style: design.Echo},
		"{angle: 45 deg, style: courses, columns: Brick}":                        {design.Courses, BedWish{BedSettings: layout.BedSettings{Angle: math.Pi / 4, Columns: layout.Brick}}},
		"{style: courses, columns: even, angle: -90°}":                           {design.Courses, BedWish{BedSettings: layout.BedSettings{Angle: -math.Pi / 2}}},
		"{style: spokes, centre: [0.25, 1], angle: 180 deg}":                     {design.Spokes, BedWish{BedSettings: layout.BedSettings{Angle: math.Pi}, At: &Spot{0.25, 1}}},
		"{style: scatter, density: 50%, seed: 9}":                                {design.Scatter, BedWish{BedSettings: layout.BedSettings{Density: 0.5, Seed: 9}}},
		"{style: scatter, density: 0.3}":                                         {design.Scatter, BedWish{BedSettings: layout.BedSettings{Density: 0.3, Seed: 1}}},
		"{style: scatter, density: {to: 20 %}}":                                  {design.Scatter, BedWish{BedSettings: layout.BedSettings{Density: 1, DensityTo: 0.2, Seed: 1}}},
		"{style: scatter, density: {from: 10%, to: 0.75, towards: up}, seed: 0}": {design.Scatter, BedWish{BedSettings: layout.BedSettings{Density: 0.1, DensityTo: 0.75, Towards: -math.Pi / 2}}},
	} {
		j, err := Parse("j.yaml", []byte(head+"bed: "+text+"\n"))
		if err != nil {
			t.Errorf("%s: %v", text, err)
		} else if got := (styled{j.Bed, j.BedAs}); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: got %+v, want %+v", text, got, want)
		}
	}
}

// A rule that has no bed has the job's; a rule's own bed keeps nothing of it.
func TestARulesBedIsWhole(t *testing.T) {
	j, err := Parse("j.yaml", []byte(head+`bed: {style: courses, angle: 30 deg, columns: line}
regions:
  - match: {id: a}
    margin: 1 mm
  - match: {id: b}
    bed: {style: courses, columns: brick}
  - match: {id: c}
    bed: comb
`))
	if err != nil {
		t.Fatal(err)
	}
	if a := j.Regions[0]; a.Bed != design.Courses || a.BedAs != j.BedAs {
		t.Errorf("without a bed the rule has %+v", a.BedAs)
	}
	if b := j.Regions[1]; b.BedAs != (BedWish{BedSettings: layout.BedSettings{Columns: layout.Brick}}) {
		t.Errorf("with one of its own it has %+v", b.BedAs)
	}
	if c := j.Regions[2]; c.Bed != design.Comb || c.BedAs != (BedWish{}) {
		t.Errorf("with a comb it has %+v", c.BedAs)
	}
}

func TestThePagesBeds(t *testing.T) {
	list := regexp.MustCompile("(?s)```yaml\n(bed:.*?)```").FindStringSubmatch(page(t))
	if list == nil {
		t.Fatal("the page has no beds")
	}
	for line := range strings.Lines(list[1]) {
		if _, err := Parse("heron.yaml", []byte(head+line)); err != nil {
			t.Error(err)
		}
	}
}

// Every bed of the job file comes through the whole pipeline without a finding,
// and the record says which one is sparse.
func TestBedsAreMade(t *testing.T) {
	const art = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 80 60">` +
		`<path d="M40 55C-10 20 12-8 40 14C68-8 90 20 40 55Z"/></svg>`
	for text, density := range map[string]float64{
		"{style: courses, angle: 20 deg, columns: brick}":    0,
		"{style: spokes, centre: [0.5, 0.3], angle: 10 deg}": 0,
		"scatter": 0, "{style: scatter, density: 40%}": 0.4, "{style: scatter, density: {from: 80%, to: 15%}}": 0.15,
	} {
		j, err := Parse("j.yaml", fmt.Appendf(nil, "artwork: a.svg\nwidth: 60 mm\nbed: %s\neffort: live\n", text))
		if err != nil {
			t.Fatal(err)
		}
		j.Artwork = []byte(art)
		res, err := Run(context.Background(), j, nil)
		if err != nil {
			t.Fatal(err)
		}
		if len(res.Findings) > 0 {
			t.Errorf("%s: %v", text, res.Findings)
		}
		if r := res.Document.Regions[0]; r.Bed != j.Bed || math.Abs(r.Density-density) > 1e-9 {
			t.Errorf("%s: the record says %s at %v", text, r.Bed, r.Density)
		}
	}
}
