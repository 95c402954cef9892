package main

import (
	"io"

	"github.com/spf13/cobra"

	"brushfall/internal/office"
	"brushfall/internal/store"
)

// labelFlags are those of a sheet of labels, as typed.
type labelFlags struct {
	paperFlags
	sheet office.LabelSheet
}

func (a *app) templateLabelCommand() *cobra.Command {
	var path string
	var f labelFlags
	cmd := &cobra.Command{
		Use:   "label CODE...",
		Short: "Print labels for templates, with a QR code",
		Long: `Print a label for each template: its code in letters and as a QR code, the design,
its stones, its place, and where there is room a picture. The QR code holds the code and
nothing else. --each-plate makes one for each plate, with the stones brushed into it.

The labels are 70 × 36 mm, 3 × 8 on A4 and 3 × 7 on Letter, unless --grid, --label,
--corner and --step say how your stickers lie. --first 9 begins at the ninth, on a
sheet that was begun. --outline draws their edges, for plain paper.`,
		Example: "  brushfall template label 7K4M-9AC4 NPCC-RKKF -o labels.pdf --outline\n  brushfall template label 7K4M-9AC4 --each-plate --grid 2x7 --label 99x38mm --corner 4.6x15.5mm --step 101.6x38mm",
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				_, err := theCode(args)
				return err
			}
			how, err := f.print()
			if err != nil {
				return err
			}
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				return a.printed(cmd.Context(), f.out, func(w io.Writer) error { return office.PrintLabels(cmd.Context(), w, b, args, f.sheet, how) })
			})
		},
	}
	f.add(cmd, "labels.pdf")
	fs := cmd.Flags()
	fs.StringVar(&f.sheet.Grid, "grid", "", "labels across and down, a `NUMBERxNUMBER` (default 3x8, on Letter 3x7)")
	fs.StringVar(&f.sheet.Label, "label", office.UsualLabel, "width and height of a label, `WIDTHxHEIGHT`")
	fs.StringVar(&f.sheet.Corner, "corner", "", "where the first label's corner lies on the page, `ACROSSxDOWN` (default: centred)")
	fs.StringVar(&f.sheet.Step, "step", "", "from a label's corner to the next one's, `ACROSSxDOWN` (default: side by side)")
	fs.IntVar(&f.sheet.First, "first", 1, "begin at the label of this `NUMBER`")
	fs.BoolVar(&f.sheet.Outline, "outline", false, "draw the edges of the labels, for plain paper")
	fs.BoolVar(&f.sheet.EachPlate, "each-plate", false, "a label for each plate")
	a.bookFlag(fs, &path)
	return cmd
}
