package main

import (
	"github.com/spf13/cobra"

	"brushfall/internal/inspect"
)

const measureHelp = `Print how good the layout of a design is, one row for each region and one for
the whole: whether it keeps every rule, how evenly its rows are set, how true
they follow the outline, whether corners hold a stone, how full its beds are.

The columns are explained in docs/measures.md.`

func (a *app) measureCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "measure FOLDER|layout.json",
		Short:   "Print how good the layout of a design is",
		Long:    measureHelp,
		Example: "  brushfall measure badge\n  brushfall measure badge/layout.json --json",
		Args:    oneArgument("the folder of a design, or its layout.json"),
		RunE: func(_ *cobra.Command, args []string) error {
			doc, err := readLayout(args[0])
			if err != nil {
				return err
			}
			report := inspect.Measure(doc)
			if a.json {
				a.print(report)
				return nil
			}
			return report.Table(a.out)
		},
		ValidArgsFunction: filesOf("json"),
	}
	a.jsonFlag(cmd.Flags())
	return cmd
}
