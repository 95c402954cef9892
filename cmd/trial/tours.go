package main

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"

	"brushfall/internal/cut/tour"
	"brushfall/internal/geom"
)

// What a tour through the holes is held to, as shares over the shortest and
// seconds.
const (
	tourMean, tourWorst    = 0.02, 0.04
	tourSeconds            = 2
	manyHoles, manySeconds = 100_000, 10
)

// knownTour is a drilling tour of TSPLIB with its shortest length (Reinelt 1991).
type knownTour struct {
	name     string
	shortest int
}

func knownTours() []knownTour {
	return []knownTour{{"d198", 15780}, {"pcb442", 50778}, {"u574", 36905}, {"u1060", 224094}, {"d1291", 50801}, {"pr2392", 378032}}
}

// toursTable prints the tours beside the shortest, and the time for very many holes.
func toursTable(ctx context.Context, w io.Writer, o shopOptions) error {
	fmt.Fprintf(w, "Tours through holes; targets: %.0f %% over the shortest on average, %.0f %% at worst, %d s each\n", 100*tourMean, 100*tourWorst, tourSeconds)
	fmt.Fprintf(w, "%-10s %8s %10s %10s %8s %8s\n", "tour", "holes", "shortest", "ours", "over", "seconds")
	sum, worst, slowest, n := 0.0, 0.0, 0.0, 0
	for _, k := range knownTours() {
		points, err := readTour(filepath.Join(o.tours, k.name+".tsp"))
		if os.IsNotExist(err) {
			continue // not every folder holds them all
		}
		if err != nil {
			return err
		}
		seconds := stopwatch()
		order := tour.Closed(points, tour.Thorough())
		took := seconds()
		ours := tour.WholeLength(points, order)
		over := float64(ours)/float64(k.shortest) - 1
		fmt.Fprintf(w, "%-10s %8d %10d %10d %7.2f%% %8.2f\n", k.name, len(points), k.shortest, ours, 100*over, took)
		sum, worst, slowest, n = sum+over, max(worst, over), max(slowest, took), n+1
		if err := ctx.Err(); err != nil {
			return err
		}
	}
	fmt.Fprintf(w, "%d tours: mean %.2f %%, worst %.2f %%, slowest %.2f s\n", n, 100*sum/float64(max(n, 1)), 100*worst, slowest)
	return manyTable(w)
}

func readTour(name string) ([]geom.Point, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return tour.ReadTSPLIB(f)
}

// manyTable takes the time for very many holes, by lot and in a honeycomb.
func manyTable(w io.Writer) error {
	r := rand.New(rand.NewPCG(3, 4))
	loose, comb := make([]geom.Point, manyHoles), make([]geom.Point, manyHoles)
	for i := range manyHoles {
		row := i / 316
		loose[i] = geom.Point{X: r.Float64() * 1000, Y: r.Float64() * 1000}
		comb[i] = geom.Point{X: 3.8 * (float64(i%316) + float64(row%2)/2), Y: 3.29 * float64(row)}
	}
	for _, c := range []struct {
		name   string
		points []geom.Point
	}{{"by lot", loose}, {"honeycomb", comb}} {
		seconds := stopwatch()
		order := tour.Path(c.points, geom.Point{X: -5, Y: 1000}, geom.Point{}, tour.Thorough())
		_, err := fmt.Fprintf(w, "%-10s %8d %38.2f s, target %d s\n", c.name, len(order), seconds(), manySeconds)
		if err != nil {
			return err
		}
	}
	return nil
}
