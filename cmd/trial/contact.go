package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"

	"github.com/spf13/cobra"

	"brushfall/internal/trial"
)

// contactOptions are the flags of contact.
type contactOptions struct {
	out, shape, setting string
	quick               bool
	columns             int
	cell                float64
}

func contactCommand() *cobra.Command {
	var o contactOptions
	cmd := &cobra.Command{
		Use: "contact", Short: "Draw the layouts of the standard set on one sheet", Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return contact(cmd.Context(), o) },
	}
	f := cmd.Flags()
	f.StringVarP(&o.out, "out", "o", "contact.png", "file to write: .svg, or .png by rsvg-convert")
	f.StringVar(&o.shape, "shape", "", "only the cases whose name holds this text")
	f.StringVar(&o.setting, "setting", trial.Settings()[trial.AutoFinal].Name, `one of "auto live", "auto final", "rim+bed live", "rim+bed final"`)
	f.BoolVar(&o.quick, "quick", false, "a dozen cases only")
	f.IntVar(&o.columns, "columns", 8, "shapes side by side")
	f.Float64Var(&o.cell, "cell", 0, "side of a shape's square in pixels; default 240, or 900 for one to four shapes")
	return cmd
}

// few is the number of shapes that are drawn large, with the steps of their rows.
const few = 4

func contact(ctx context.Context, o contactOptions) error {
	all, err := cases()
	if err != nil {
		return err
	}
	if o.shape != "" {
		if all, err = trial.Match(all, o.shape); err != nil {
			return err
		}
	} else if o.quick {
		all = trial.Quick(all)
	}
	sheet := trial.Sheet{Setting: -1, Columns: o.columns, Cell: o.cell, Steps: len(all) <= few}
	for i, s := range trial.Settings() {
		if s.Name == o.setting {
			sheet.Setting = i
		}
	}
	if sheet.Setting < 0 {
		return fmt.Errorf("there is no setting %q; contact --help lists them", o.setting)
	}
	if sheet.Cell <= 0 {
		sheet.Cell = map[bool]float64{false: 240, true: 900}[sheet.Steps]
	}
	trials, err := trial.Run(ctx, all, []int{sheet.Setting}, stopwatch(), bar(len(all), "shapes"))
	if err != nil {
		return err
	}
	var svg bytes.Buffer
	if err := sheet.Write(&svg, trials); err != nil {
		return err
	}
	return save(ctx, o.out, svg.Bytes())
}

// save writes the drawing, as a picture if the name asks for one.
func save(ctx context.Context, name string, svg []byte) error {
	if filepath.Ext(name) != ".png" {
		return os.WriteFile(name, svg, 0o644)
	}
	cmd := exec.CommandContext(ctx, "rsvg-convert", "--unlimited", "--output", name)
	cmd.Stdin, cmd.Stderr = bytes.NewReader(svg), os.Stderr
	return cmd.Run()
}
