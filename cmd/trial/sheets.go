package main

import (
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"brushfall/internal/trial"
)

// sheetsOptions are the flags of sheets.
type sheetsOptions struct {
	bins  string
	quick bool
	json  bool
}

// storedBins is the folder of the sets that are stored beside the code.
const storedBins = "internal/trial/testdata/bins"

// sheetsTable nests every tenth set, as one of the tables of the shop.
func sheetsTable(ctx context.Context, w io.Writer, o shopOptions) error {
	return sheets(ctx, w, sheetsOptions{bins: o.bins, quick: true})
}

func sheetsCommand() *cobra.Command {
	var o sheetsOptions
	cmd := &cobra.Command{
		Use: "sheets", Short: "Nest the published rectangles, beside the best known and a plain way", Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return sheets(cmd.Context(), cmd.OutOrStdout(), o) },
	}
	f := cmd.Flags()
	f.StringVar(&o.bins, "bins", storedBins, "folder with Class_*.2bp and best_known*.csv")
	f.BoolVar(&o.quick, "quick", false, "every tenth set only")
	f.BoolVar(&o.json, "json", false, "print JSON")
	return cmd
}

func sheets(ctx context.Context, w io.Writer, o sheetsOptions) error {
	sets, err := readBins(o.bins)
	if err != nil {
		return err
	}
	if o.quick {
		some := sets[:0]
		for i := 0; i < len(sets); i += 10 {
			some = append(some, sets[i])
		}
		sets = some
	}
	step := bar(len(sets), "sheets")
	var all []trial.Sheets
	for _, s := range sets {
		if err := ctx.Err(); err != nil {
			return err
		}
		got, err := trial.NestBins(s, stopwatch())
		if err != nil {
			return err
		}
		all = append(all, got)
		if step != nil {
			step()
		}
	}
	if o.json {
		e := json.NewEncoder(w)
		e.SetIndent("", " ")
		return e.Encode(all)
	}
	return trial.PrintSheets(w, all)
}

// readBins reads the sets of a folder. Of two tables of best known numbers the one
// for turned rectangles counts.
func readBins(folder string) ([]trial.Bins, error) {
	names, err := filepath.Glob(filepath.Join(folder, "*.2bp"))
	if err != nil {
		return nil, err
	}
	slices.Sort(names)
	var out []trial.Bins
	for _, name := range names {
		f, err := os.Open(name)
		if err != nil {
			return nil, err
		}
		sets, err := trial.ReadBins(f, filepath.Base(name))
		f.Close()
		if err != nil {
			return nil, err
		}
		out = append(out, sets...)
	}
	table := filepath.Join(folder, "best_known.csv")
	if turned := filepath.Join(folder, "best_known_rotation.csv"); exists(turned) {
		table = turned
	}
	f, err := os.Open(table)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return out, trial.ReadBest(f, out)
}

func exists(name string) bool {
	_, err := os.Stat(name)
	return err == nil
}
