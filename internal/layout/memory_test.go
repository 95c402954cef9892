package layout

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// blot is a wavy disc.
func blot(x, y, r, wave float64) geom.Shape {
	var ring geom.Ring
	for i := range 120 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 120)
		k := r * (1 + wave*math.Cos(6*math.Pi*float64(i)/120))
		ring = append(ring, geom.Point{X: x + k*cos, Y: y + k*sin})
	}
	return geom.Fill([]geom.Ring{ring}, geom.NonZero)
}

// emblem is a small design: blots that touch, overlap or stand apart, and a line.
func emblem() Request {
	req := Request{Effort: Live}
	beds := []design.BedStyle{design.Comb, design.Echo, design.Courses, design.Spokes, design.Scatter}
	for i := range 7 {
		x, y := 21*float64(i%3), 19*float64(i/3)
		req.Regions = append(req.Regions, Region{
			ID: fmt.Sprint("r", i), Shape: blot(x, y, 11, 0.2), Bed: beds[i%len(beds)],
			Size: "SS10", Colour: "crystal", Diameter: 2.9, Gap: 0.9,
		})
	}
	r := &req.Regions[5]
	r.Shape, r.Lines = geom.Shape{}, []geom.Line{{{X: -12, Y: 8}, {X: 30, Y: 30}, {X: 60, Y: 8}}}
	return req
}

// anyChange changes something of a design, as its owner might.
func anyChange(rnd *rand.Rand, req *Request, stones []design.Stone) {
	r := &req.Regions[rnd.IntN(len(req.Regions))]
	at := func() geom.Point {
		s := stones[rnd.IntN(len(stones))]
		return geom.Point{X: s.X + rnd.NormFloat64(), Y: s.Y + rnd.NormFloat64()}
	}
	colour := []string{"jet", "siam", "crystal"}[rnd.IntN(3)]
	switch rnd.IntN(12) {
	case 0:
		r.Gap = 0.7 + 0.4*rnd.Float64()
	case 1:
		r.Size, r.Diameter = "SS6", 2.1
	case 2:
		r.Colour = colour
	case 3:
		r.Coats = []Coat{{Pattern: Along, Colours: []string{"jet", colour}}, {Pattern: Random, Colours: []string{"a", "b"}, Shares: []float64{1, 2}, Seed: rnd.Uint64()}}
	case 4:
		r.Accents = &Accents{Extra: Extra{"SS16", colour, 4, 1}, Every: 3 + rnd.IntN(3), Corners: rnd.IntN(2) == 0}
	case 5:
		r.Fills = []Extra{{"SS4", colour, 1.6, 0.5}}
	case 6:
		r.Treatment = [][]design.Treatment{nil, {design.Rim, design.Bed}, {design.Bed}, {design.Spine}}[rnd.IntN(4)]
	case 7:
		r.Shape = r.Shape.Transform(geom.Translate(rnd.NormFloat64(), rnd.NormFloat64()))
	case 8: // in place: what a memory holds must not be the caller's
		for _, ring := range r.Shape.Rings {
			ring[0].X += 0.2
		}
	case 9:
		i := rnd.IntN(len(req.Regions) - 1)
		req.Regions[i], req.Regions[i+1] = req.Regions[i+1], req.Regions[i]
	case 10:
		r.BedAs.Seed, r.BedAs.Angle = rnd.Uint64(), rnd.Float64()
	case 11:
		req.Hand = append(req.Hand, Edit{Act: Acts()[rnd.IntN(5)], Region: r.ID, At: at(), To: at(), Colour: colour, Source: fmt.Sprint("line ", len(req.Hand))})
	}
}

// Whatever is changed, one thing after another, the outcome is that of laying out
// everything anew.
func TestMemoryChangesNothing(t *testing.T) {
	t.Parallel()
	laid, regions := 0, 0
	for seed := range uint64(5) {
		rnd := rand.New(rand.NewPCG(seed, 17))
		req, memory := emblem(), &Memory{}
		for step := range 14 {
			alone, with := req, req
			with.Memory = memory
			want, err := layAll(t.Context(), alone, nil)
			if err != nil {
				t.Fatal(err)
			}
			got, err := Run(t.Context(), with, nil)
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(got, want) {
				t.Fatalf("seed %d, step %d: the outcome is not that of a run without memory", seed, step)
			}
			if step > 0 {
				laid, regions = laid+memory.Fresh(), regions+len(req.Regions)
			}
			anyChange(rnd, &req, want.Stones)
		}
	}
	if laid == 0 || laid > regions/2 {
		t.Errorf("of %d regions %d were laid again", regions, laid)
	}
}

// What has not changed is not laid again; nor is anything when only colours do.
func TestMemoryLaysWhatHasChanged(t *testing.T) {
	t.Parallel()
	req := emblem()
	req.Memory = &Memory{}
	lay := func() int {
		t.Helper()
		if _, err := Run(t.Context(), req, nil); err != nil {
			t.Fatal(err)
		}
		return req.Memory.Fresh()
	}
	first := lay() // a region near others may be laid alone, and then among them
	if first < len(req.Regions) || first > len(req.Regions)+1 {
		t.Errorf("at first %d regions are laid", first)
	}
	if n := lay(); n != 0 {
		t.Errorf("without a change %d regions are laid", n)
	}
	req.Regions[0].Colour = "jet"
	req.Regions[2].Coats = []Coat{{Pattern: Gradient, Colours: []string{"a", "b"}}}
	if n := lay(); n != 0 {
		t.Errorf("in other colours %d regions are laid", n)
	}
	req.Regions[6].Gap = 1
	if n := lay(); n != 1 {
		t.Errorf("another gap of the last region lays %d", n)
	}
	req.Regions[6].Gap = 0.9
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := Run(ctx, req, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled run says %v", err)
	}
	if n := lay(); n > 1 {
		t.Errorf("after a cancelled run %d regions are laid", n)
	}
	if n := len(req.Memory.last); n != first {
		t.Errorf("%d layouts are remembered of %d", n, first)
	}
}

// leaves calls f with every single value that v holds, lists of no elements among them.
func leaves(v reflect.Value, name string, f func(name string, v reflect.Value)) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			leaves(v.Field(i), name+"."+v.Type().Field(i).Name, f)
		}
	case reflect.Pointer:
		leaves(v.Elem(), name, f)
	case reflect.Slice:
		f(name+" as a list", v)
		for i := range v.Len() {
			leaves(v.Index(i), fmt.Sprint(name, i), f)
		}
	default:
		f(name, v)
	}
}

// Every value of a region counts: none can change without the digests telling.
func TestDigestsHoldEverything(t *testing.T) {
	full := Region{
		Shape: blot(0, 0, 1, 0), Lines: []geom.Line{{{X: 1}, {Y: 2}}}, Treatment: []design.Treatment{design.Rim}, BedAs: BedSettings{Centre: &geom.Point{}},
		Coats:   []Coat{{Roles: []design.Role{design.RoleBed}, Colours: []string{"a"}, Shares: []float64{1}}},
		Accents: &Accents{}, Fills: []Extra{{}},
	}
	sums := func() [2]digest {
		task := task{frame: frame{Region: full, drawn: full.outline()}}
		return [2]digest{task.places(), task.colours()}
	}
	plain, n := sums(), 0
	leaves(reflect.ValueOf(&full), "Region", func(name string, v reflect.Value) {
		n++
		was := reflect.New(v.Type()).Elem()
		was.Set(v)
		switch v.Kind() {
		case reflect.String:
			v.SetString("other")
		case reflect.Float64:
			v.SetFloat(12.5)
		case reflect.Int:
			v.SetInt(7)
		case reflect.Uint64:
			v.SetUint(7)
		case reflect.Bool:
			v.SetBool(!v.Bool())
		case reflect.Slice:
			v.SetZero()
		default:
			t.Fatalf("%s is of a kind that this test does not know", name)
		}
		if sums() == plain {
			t.Errorf("the digests do not tell %s", name)
		}
		v.Set(was)
	})
	if sums() != plain || n < 250 {
		t.Errorf("%d values were changed", n)
	}
	full.Accents = nil
	if sums() == plain {
		t.Error("the digests do not tell whether there are accents")
	}
	full.Accents, full.BedAs.Centre = &Accents{}, nil
	if sums() == plain {
		t.Error("the digests do not tell whether there is a centre")
	}
}
