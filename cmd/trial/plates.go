package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/layout"
	"brushfall/internal/plate"
)

// What the plans of plates are held to.
const (
	mostKinds    = 12
	casesOfKinds = 200
	tightStones  = 5000
	planSeconds  = 1
)

// platesTable prints the plans of kinds by lot beside the fewest plates by trial,
// and those of tight beds beside their largest sets of stones that all clash.
func platesTable(ctx context.Context, w io.Writer, _ shopOptions) error {
	fmt.Fprintf(w, "Plates of kinds by lot; target: the fewest, proven, in all of %d cases each\n", casesOfKinds)
	fmt.Fprintf(w, "%5s %7s %7s %14s %8s\n", "kinds", "fewest", "proven", "plates (mean)", "slowest")
	rng := rand.New(rand.NewPCG(12, 12))
	for n := 1; n <= mostKinds; n++ {
		fewest, proven, sum, slowest := 0, 0, 0, 0.0
		for range casesOfKinds {
			kinds := kindsByLot(rng, n)
			seconds := stopwatch()
			plan, err := plate.Plan(apartStones(kinds), kinds, planOptions())
			if err != nil {
				return err
			}
			slowest = max(slowest, seconds())
			sum += len(plan.Plates)
			if len(plan.Plates) == fewestPlates(kinds) {
				fewest++
			}
			if plan.Bound.Met {
				proven++
			}
		}
		fmt.Fprintf(w, "%5d %7d %7d %14.2f %6.3f s\n", n, fewest, proven, float64(sum)/casesOfKinds, slowest)
	}
	return tightTable(ctx, w, rng)
}

func planOptions() plate.Options {
	return plate.Options{Web: catalogue.Web, Border: catalogue.Border, TapeStep: catalogue.TapeStep}
}

// kindsByLot draws kinds of the catalogue, of four colours.
func kindsByLot(rng *rand.Rand, n int) []design.Kind {
	sizes, colours := catalogue.Sizes(), catalogue.Colours()[:4]
	var kinds []design.Kind
	for _, i := range rng.Perm(len(sizes) * len(colours))[:n] {
		kinds = append(kinds, kindOf(sizes[i/len(colours)], colours[i%len(colours)].Name))
	}
	return kinds
}

func kindOf(s catalogue.Size, colour string) design.Kind {
	return design.Kind{Size: s.Name, Colour: colour, Diameter: s.Largest, Smallest: s.Smallest, Hole: s.Hole, Height: s.Height}
}

// apartStones gives two stones of each kind, far from all others.
func apartStones(kinds []design.Kind) []design.Stone {
	var out []design.Stone
	for i, k := range kinds {
		for side := range 2 {
			out = append(out, design.Stone{X: 50 * float64(i), Y: 50 * float64(side), Size: k.Size, Colour: k.Colour})
		}
	}
	return out
}

// fewestPlates tries every way to share kinds out over plates; no code of the
// plan is used.
func fewestPlates(kinds []design.Kind) int {
	clash := func(a, b design.Kind) bool {
		if a.Diameter < b.Diameter {
			a, b = b, a
		}
		return a.Size == b.Size || a.Smallest <= b.Hole
	}
	best := len(kinds)
	var plates [][]design.Kind
	var try func(i int)
	try = func(i int) {
		if len(plates) >= best {
			return
		}
		if i == len(kinds) {
			best = len(plates)
			return
		}
		for p := range plates {
			free := true
			for _, k := range plates[p] {
				free = free && !clash(k, kinds[i])
			}
			if free {
				plates[p] = append(plates[p], kinds[i])
				try(i + 1)
				plates[p] = plates[p][:len(plates[p])-1]
			}
		}
		plates = append(plates, []design.Kind{kinds[i]})
		try(i + 1)
		plates = plates[:len(plates)-1]
	}
	try(0)
	return best
}

// tightBed is a bed whose stones stand closer than one plate can hold.
type tightBed struct {
	name   string
	stones []design.Stone
	web    float64
}

// tightTable prints the plans of tight beds.
func tightTable(ctx context.Context, w io.Writer, rng *rand.Rand) error {
	size, err := catalogue.FindSize("SS10")
	if err != nil {
		return err
	}
	kind := kindOf(size, "crystal")
	beds := []tightBed{}
	for _, gap := range []float64{0.8, 0.4, 0} {
		beds = append(beds, tightBed{fmt.Sprintf("honeycomb, gap %.1f mm", gap), honeycomb(rng, kind, gap, 0), catalogue.Web})
		beds = append(beds, tightBed{fmt.Sprintf("shaken by 0.3 mm, gap %.1f mm", gap+0.3), honeycomb(rng, kind, gap+0.3, 0.3), catalogue.Web})
	}
	for _, web := range []float64{3, 5} {
		beds = append(beds, tightBed{fmt.Sprintf("honeycomb, gap 0.4 mm, web %.0f mm", web), honeycomb(rng, kind, 0.4, 0), web})
	}
	laid, err := laidBed(ctx, kind, 0.4)
	if err != nil {
		return err
	}
	beds = append(beds, tightBed{"rim and bed of a disc, gap 0.4 mm", laid, catalogue.Web})
	fmt.Fprintf(w, "\nPlates of tight beds of SS10; targets: within one of the clique bound, %d s each\n", planSeconds)
	fmt.Fprintf(w, "%-36s %7s %7s %7s %7s %8s\n", "bed", "stones", "clique", "bound", "plates", "seconds")
	for _, b := range beds {
		opt := planOptions()
		opt.Web = b.web
		seconds := stopwatch()
		plan, err := plate.Plan(b.stones, []design.Kind{kind}, opt)
		if err != nil {
			return err
		}
		took := seconds()
		fmt.Fprintf(w, "%-36s %7d %7d %7d %7d %8.2f\n", b.name, len(b.stones), plan.Bound.Clique, plan.Bound.Plates, len(plan.Plates), took)
	}
	_, err = fmt.Fprintln(w)
	return err
}

// honeycomb gives a square of a honeycomb, its stones moved by lot within a radius.
func honeycomb(rng *rand.Rand, k design.Kind, gap, shake float64) []design.Stone {
	pitch := k.Diameter + gap
	const across = 70
	out := make([]design.Stone, tightStones)
	for i := range out {
		row, column := i/across, i%across
		sin, cos := math.Sincos(2 * math.Pi * rng.Float64())
		r := shake / 2 * math.Sqrt(rng.Float64())
		out[i] = design.Stone{
			X:    pitch*(float64(column)+float64(row%2)/2) + r*cos,
			Y:    pitch*math.Sqrt(3)/2*float64(row) + r*sin,
			Size: k.Size, Colour: k.Colour,
		}
	}
	return out
}

// laidBed lays a disc of about as many stones as the program does.
func laidBed(ctx context.Context, k design.Kind, gap float64) ([]design.Stone, error) {
	pitch := k.Diameter + gap
	radius := math.Sqrt(tightStones*math.Sqrt(3)/2/math.Pi) * pitch * 1.02
	var ring geom.Ring
	for i := range 720 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 720)
		ring = append(ring, geom.Point{X: radius * cos, Y: radius * sin})
	}
	laid, err := layout.Run(ctx, layout.Request{Effort: layout.Live, Regions: []layout.Region{{
		ID: "disc", Shape: geom.Fill([]geom.Ring{ring}, geom.NonZero), Treatment: []design.Treatment{design.Rim, design.Bed},
		Bed: design.Comb, Size: k.Size, Colour: k.Colour, Diameter: k.Diameter, Gap: gap,
	}}}, nil)
	return laid.Stones, err
}
