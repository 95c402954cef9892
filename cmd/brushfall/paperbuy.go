package main

import (
	"bytes"
	"encoding/json"
	"io"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/office"
)

func (a *app) paperBuyCommand() *cobra.Command {
	var f paperFlags
	var currency, date, book string
	cmd := &cobra.Command{
		Use:     "buy [FILE]",
		Short:   "Print a buy list from what \"brushfall buy --json\" says",
		Example: "  brushfall buy badge=30 --json | brushfall paper buy\n  brushfall paper buy list.json --currency EUR --language es -o buy.pdf",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			p, err := f.print()
			if err != nil {
				return err
			}
			var day time.Time
			if err := flagged("--date", date, office.ParseDay, &day); err != nil {
				return err
			}
			answer, err := a.readBuy(args)
			if err != nil {
				return err
			}
			stones, err := readStones(cmd.Context(), book)
			if err != nil {
				return err
			}
			return a.printed(cmd.Context(), f.out, func(w io.Writer) error { return office.PrintBuyList(w, answer, stones, currency, day, p) })
		},
		ValidArgsFunction: filesOf("json"),
	}
	f.add(cmd, "buy.pdf")
	cmd.Flags().StringVar(&currency, "currency", "", "`CODE` of the currency, such as EUR (default none is printed)")
	cmd.Flags().StringVar(&date, "date", "", "`DAY` of the list, 2031-05-03 (default a line to fill in)")
	stonesFlag(cmd.Flags(), &book)
	a.jsonFlag(cmd.Flags())
	return cmd
}

// readBuy reads the answer of "buy --json" from a file, or from stdin.
func (a *app) readBuy(args []string) (office.BuyAnswer, error) {
	var out office.BuyAnswer
	var text []byte
	var err error
	where := "stdin"
	if len(args) > 0 && args[0] != "-" {
		where = args[0]
		text, err = readFile(args[0])
	} else {
		text, err = io.ReadAll(io.LimitReader(a.in, mostInput))
	}
	if err != nil {
		return out, err
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&out); err != nil {
		return out, fault.New("buy-list", where, "this is not what \"brushfall buy --json\" prints (%v); run it with --json into a file", err)
	}
	return out, nil
}
