package main

import (
	"context"
	"io"

	"github.com/spf13/cobra"
)

// shopOptions are the flags of shop.
type shopOptions struct {
	tours, bins string
}

// shopTable prints one table of the shop's figures.
type shopTable func(ctx context.Context, w io.Writer, o shopOptions) error

func shopCommand() *cobra.Command {
	var o shopOptions
	cmd := &cobra.Command{
		Use: "shop", Short: "Print how plates, sheets and cutting do, beside the best that is known", Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			for _, table := range []shopTable{platesTable, toursTable, sheetsTable} {
				if err := table(cmd.Context(), cmd.OutOrStdout(), o); err != nil {
					return err
				}
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&o.tours, "tours", "internal/cut/tour/testdata", "folder with drilling tours of TSPLIB")
	cmd.Flags().StringVar(&o.bins, "bins", storedBins, "folder with rectangles to be nested, of which every tenth set is; trial sheets takes all")
	return cmd
}
