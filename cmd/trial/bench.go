package main

import (
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"brushfall/internal/layout"
	"brushfall/internal/trial"
)

// benchOptions are the flags of bench.
type benchOptions struct {
	quick, json, live, noSpeed bool
	shape, circles             string
}

func benchCommand() *cobra.Command {
	var o benchOptions
	cmd := &cobra.Command{
		Use: "bench", Short: "Print the measures of the standard set beside their targets", Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return bench(cmd.Context(), cmd.OutOrStdout(), o) },
	}
	f := cmd.Flags()
	f.BoolVar(&o.quick, "quick", false, "a dozen cases only")
	f.BoolVar(&o.json, "json", false, "print JSON")
	f.BoolVar(&o.live, "live", false, "effort live only")
	f.BoolVar(&o.noSpeed, "no-speed", false, "leave out the timings")
	f.StringVar(&o.shape, "shape", "", "only the cases whose name holds this text, each with all its measures")
	f.StringVar(&o.circles, "circles", "", "folder with cci_ratio.csv, the known packings of discs; without it those stored beside the code")
	return cmd
}

func bench(ctx context.Context, w io.Writer, o benchOptions) error {
	all, err := cases()
	if err != nil {
		return err
	}
	switch {
	case o.shape != "":
		if all, err = trial.Match(all, o.shape); err != nil {
			return err
		}
	case o.quick:
		all = trial.Quick(all)
	}
	under := []int{trial.AutoLive, trial.AutoFinal, trial.FullLive, trial.FullFinal}
	if o.live {
		under = []int{trial.AutoLive, trial.FullLive}
	}
	var r trial.Report
	if r.Trials, err = trial.Run(ctx, all, under, stopwatch(), bar(len(all), "shapes")); err != nil {
		return err
	}
	if o.shape == "" {
		some := trial.Quick(all)
		if r.Turned, err = trial.Turn(ctx, some, bar(len(some), "turns")); err != nil {
			return err
		}
		if err := benchRest(ctx, &r, o); err != nil {
			return err
		}
	}
	switch {
	case o.json:
		e := json.NewEncoder(w)
		e.SetIndent("", " ")
		return e.Encode(r.Data())
	case o.shape != "":
		return r.PrintShapes(w)
	}
	return r.Print(w)
}

// benchRest packs the known discs and takes the times.
func benchRest(ctx context.Context, r *trial.Report, o benchOptions) error {
	discs, err := knownDiscs(o)
	if err != nil {
		return err
	}
	r.Discs = map[layout.Effort][]trial.Packed{}
	for _, e := range []layout.Effort{layout.Live, layout.Final} {
		if o.live && e == layout.Final {
			continue
		}
		if r.Discs[e], err = trial.PackDiscs(ctx, discs, e, bar(len(discs), "discs")); err != nil {
			return err
		}
	}
	if o.noSpeed {
		return nil
	}
	if r.Speeds, err = trial.Time(ctx, stopwatch(), bar(4, "speed")); err != nil {
		return err
	}
	shapes, err := trial.Standard(os.DirFS("internal"))
	if err != nil {
		return err
	}
	r.Change, err = trial.TimeChange(ctx, shapes, stopwatch(), bar(trial.QuiltRegions, "changes"))
	return err
}

// quickDiscs are packed in a short run.
func quickDiscs() []int { return []int{7, 19, 31, 37, 61, 91, 127, 187} }

func knownDiscs(o benchOptions) ([]trial.Disc, error) {
	name := "internal/trial/testdata/discs.csv"
	if o.circles != "" {
		name = filepath.Join(o.circles, "cci_ratio.csv")
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	all, err := trial.ReadDiscs(f, name)
	return slices.DeleteFunc(all, func(d trial.Disc) bool {
		return d.N < 7 || d.N > 200 || o.quick && !slices.Contains(quickDiscs(), d.N)
	}), err
}
